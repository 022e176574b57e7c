"""Everything that can be recognised in a plate, each opening in one pattern at most."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from platewright.geometry.recognise.holes import round_holes
from platewright.geometry.recognise.pattern import Doubt, Pattern
from platewright.geometry.recognise.sheet import SheetPlate
from platewright.geometry.recognise.singles import antennas, bolts, standoff_pairs, straps
from platewright.geometry.recognise.squares import hole_patterns, wrong_measures
from platewright.geometry.recognise.symmetry import mirror_lines
from platewright.model.catalogue import Catalogue

__all__ = ["MOST_HOLES", "Recognised", "recognise"]

MOST_HOLES = 1500  # of more round holes in one plate no pattern is looked for [-]
_KINDS = ("motor", "board", "standoff pair", "strap", "antenna", "bolt")


@dataclass(frozen=True)
class Recognised:
    """What was seen in one plate.

    Parameters
    ----------
    patterns : tuple of Pattern
        By kind, the surest first.
    doubts : tuple of Doubt
        What may be meant otherwise.
    left : tuple of int
        Numbers of the openings that are in no pattern and no doubt.
    looked : bool
        False for a plate of too many holes.
    """

    patterns: tuple[Pattern, ...]
    doubts: tuple[Doubt, ...]
    left: tuple[int, ...]
    looked: bool


def recognise(plate: SheetPlate, catalogue: Catalogue) -> Recognised:
    """Look for the patterns of the catalogue in a plate; motors and boards first, lone bolts last.

    Parameters
    ----------
    plate : SheetPlate
        The plate.
    catalogue : Catalogue
        Patterns, straps, antennas, standoffs and clearance holes.
    """
    everything = tuple(range(len(plate.openings)))
    holes = round_holes(plate)
    if len(holes) > MOST_HOLES:
        return Recognised((), (), everything, looked=False)
    if not everything:
        return Recognised((), (), (), looked=True)
    mirrors = mirror_lines(plate.outline)
    chosen: list[Pattern] = []
    used: set[int] = set()

    def choose(found: Iterable[Pattern]) -> None:
        for pattern in sorted(found, key=lambda p: (-p.confidence, p.openings)):
            if not used & set(pattern.openings):
                chosen.append(pattern)
                used.update(pattern.openings)

    choose(hole_patterns(holes, mirrors, catalogue))
    doubts = wrong_measures(holes, used, catalogue)
    used.update(k for doubt in doubts for k in doubt.openings)
    choose(straps(plate, mirrors, catalogue))
    choose(antennas([h for h in holes if h.opening not in used], mirrors, catalogue))
    choose(standoff_pairs([h for h in holes if h.opening not in used], plate, mirrors, catalogue))
    choose(bolts([h for h in holes if h.opening not in used], mirrors, catalogue))
    chosen.sort(key=lambda p: _KINDS.index(p.kind))
    return Recognised(tuple(chosen), tuple(doubts), tuple(k for k in everything if k not in used), looked=True)
