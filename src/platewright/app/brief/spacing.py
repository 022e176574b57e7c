"""Rotor spacing: propellers clear of each other and of the body between them, by the trade's rules.

Propellers of a small frame turn at the height of its deck, so what stands that high must stay out of their discs as
seen from above. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from platewright.app.brief.brief import Brief, BriefError
from platewright.app.brief.kit import Kit
from platewright.model.catalogue import Catalogue

__all__ = ["Disc", "Spacing", "choose_spacing", "least_clearance"]


@dataclass(frozen=True)
class Disc:
    """A round point of the body that propellers must clear: name, centre and radius [mm]."""

    name: str
    x: float
    y: float
    radius: float


@dataclass(frozen=True)
class Spacing:
    """Rotor spacing [mm] and why."""

    fore_aft_mm: float
    lateral_mm: float
    why_fore_aft: str
    why_lateral: str
    reason: str


def least_clearance(fore_aft: float, lateral: float, propeller_d: float, discs: Sequence[Disc]) -> tuple[float, str]:
    """Least distance from a propeller disc to the body, and to which point of it.

    Parameters
    ----------
    fore_aft, lateral, propeller_d : float
        Rotor spacing and propeller diameter [mm].
    discs : sequence of Disc
        The body, left half.

    Examples
    --------
    >>> least_clearance(160, 160, 130, [Disc("nose", 80, 10, 0)])
    (5.0, 'nose')
    """
    found = []
    for disc in discs:
        rotor_x = math.copysign(fore_aft / 2, disc.x)
        apart = math.hypot(rotor_x - disc.x, lateral / 2 - disc.y)
        found.append((apart - propeller_d / 2 - disc.radius, disc.name))
    return min(found)


def choose_spacing(brief: Brief, kit: Kit, stretch: float, discs: Sequence[Disc], catalogue: Catalogue) -> Spacing:
    """Choose the spacing, or check that of the brief.

    Raises
    ------
    BriefError
        If the spacing of the brief lets propellers touch each other or the body.
    """
    d = kit.propeller.diameter_mm
    rules = {
        name: catalogue.rule(f"propeller_clearance.{name}").value
        for name in (
            "tip_to_tip_min_mm",
            "tip_to_tip_usual_mm",
            "tip_to_plate_or_standoff_min_mm",
            "tip_to_plate_usual_mm",
        )
    }
    if brief.fore_aft_mm is None and brief.lateral_mm is None:
        return _by_rule(kit, stretch, discs, d, rules)
    fore_aft = brief.fore_aft_mm or (brief.lateral_mm or 0.0) + stretch
    lateral = brief.lateral_mm or (brief.fore_aft_mm or 0.0) - stretch
    own = "of the brief"
    derived = f"the other spacing of the brief, and {stretch:+g} mm of stretch for the style"
    tips = min(fore_aft, lateral) - d
    if tips < rules["tip_to_tip_min_mm"]:
        msg = (
            f"rotor spacing must be at least {d + rules['tip_to_tip_min_mm']:.1f} mm (got {min(fore_aft, lateral):g}): "
            f"propellers of {d:g} mm need {rules['tip_to_tip_min_mm']:g} mm between tips."
        )
        raise BriefError(msg)
    room, what = least_clearance(fore_aft, lateral, d, discs)
    if room < rules["tip_to_plate_or_standoff_min_mm"]:
        least = rules["tip_to_plate_or_standoff_min_mm"]
        usable = _clearing(d, stretch, discs, least, min(fore_aft, lateral))
        msg = (
            f"with {fore_aft:g} x {lateral:g} mm between rotors {least:g} mm are needed from propellers to the "
            f"{what} (got {room:.1f}); give {usable[0]:g} x {usable[1]:g} mm or more, or a smaller camera."
        )
        raise BriefError(msg)
    reason = f"{tips:.1f} mm between tips, {room:.1f} mm from the discs to the {what}"
    return Spacing(
        fore_aft,
        lateral,
        own if brief.fore_aft_mm else derived,
        own if brief.lateral_mm else derived,
        reason,
    )


def _by_rule(kit: Kit, stretch: float, discs: Sequence[Disc], d: float, rules: dict[str, float]) -> Spacing:
    """Tips apart as usual and the body clear as usual; where the class is smaller, the body clear by the least."""
    low, high = kit.frame_class.wheelbase_range_mm
    start = math.ceil(d + rules["tip_to_tip_usual_mm"])
    wide = _clearing(d, stretch, discs, rules["tip_to_plate_usual_mm"], start)
    limited = ""
    if math.hypot(*wide) > high:
        least = _clearing(d, stretch, discs, rules["tip_to_plate_or_standoff_min_mm"], start)
        wide = max(least, _within(high, stretch))
        limited = f", less so as not to outgrow the class's {high:g} mm from motor to motor"
    elif math.hypot(*wide) < low:
        wide = _from(low, stretch)
        limited = f", more to reach the class's {low:g} mm from motor to motor"
    fore_aft, lateral = wide
    room, what = least_clearance(fore_aft, lateral, d, discs)
    tips = min(wide) - d
    lateral_why = f"{tips:.1f} mm between tips ({rules['tip_to_tip_usual_mm']:g} usual, rule propeller_clearance.*)"
    lateral_why += f", {room:.1f} mm from the discs to the {what} ({rules['tip_to_plate_usual_mm']:g} usual{limited})"
    word = "longer than wide" if stretch > 0 else "wider than long" if stretch < 0 else "a true X"
    fore_aft_why = f"{word}, stretch {stretch:+g} mm for the style (common practice, no source)"
    reason = f"wheelbase {math.hypot(*wide):.0f} mm, {tips:.1f} mm between tips, {room:.1f} mm from discs to the {what}"
    return Spacing(fore_aft, lateral, fore_aft_why, lateral_why, reason)


def _pair(least: float, stretch: float) -> tuple[float, float]:
    return least + max(stretch, 0.0), least + max(-stretch, 0.0)


def _clearing(d: float, stretch: float, discs: Sequence[Disc], room: float, start: float) -> tuple[float, float]:
    """Return the smallest spacing in whole millimetres, from `start`, that leaves `room` beside the body."""
    for step in range(400):
        pair = _pair(math.ceil(start) + step, stretch)
        if least_clearance(*pair, d, discs)[0] >= room:
            return pair
    msg = "the body is too wide for the propellers; give a smaller camera."
    raise BriefError(msg)


def _within(wheelbase: float, stretch: float) -> tuple[float, float]:
    """Return the largest whole spacing whose diagonal is within a wheelbase."""
    least = math.floor(wheelbase / math.sqrt(2)) + abs(stretch)
    while math.hypot(*_pair(least, stretch)) > wheelbase:
        least -= 1
    return _pair(least, stretch)


def _from(wheelbase: float, stretch: float) -> tuple[float, float]:
    """Return the smallest whole spacing whose diagonal reaches a wheelbase."""
    least = math.floor(wheelbase / math.sqrt(2)) - abs(stretch)
    while math.hypot(*_pair(least, stretch)) < wheelbase:
        least += 1
    return _pair(least, stretch)
