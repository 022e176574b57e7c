"""Frames whose strength several tests look at, each solved once in a run."""

from __future__ import annotations

from functools import cache

from frames import PARTS, arms_on_a_base, assembled, equipment, two_plates
from platewright.assembly.assemble import Assembly
from platewright.study.strength import frame_strength
from platewright.study.strength_results import StrengthStudy

__all__ = ["box", "quad", "solved"]

_POST = ("screw M3 socket 12.9", "base", "standoff M3x25", "deck", "screw M3x6 button 10.9")


def quad(mirrored: bool = False, battery: tuple[float, float] = (6, 4), extra: str = "") -> Assembly:
    """Return four arms on a base, the battery off the middle."""
    sign = -1 if mirrored else 1
    return assembled(
        *arms_on_a_base(),
        equipment("propeller", {"propeller": "prop_5in", "nut": "prop_nut_m5_right_low"}, at="rotors", on="motor"),
        equipment("battery", {"battery": "lipo_6s_1100"}, on="base", at_mm=[battery[0], battery[1] * sign, 8]),
        extra,
        rotors='follow = "arm"',
    )


@cache
def solved(mirrored: bool = False, ratio: float = 8.0) -> StrengthStudy:
    """Return the strength of `quad`."""
    return frame_strength(quad(mirrored), ratio, PARTS)


@cache
def box() -> Assembly:
    return assembled(*two_plates(*_POST), equipment("battery", {"battery": "lipo_6s_1100"}, on="deck", at_mm=[0, 0, 2]))
