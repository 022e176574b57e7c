"""Time and wear of cutting one part: length of its contours, passes, travel, bits worn. Lengths in mm, times in s.

Each contour is cut in n = ceil(thickness / depth of a pass) passes along its whole length at the feed of the bit; a
hole too small for the bit is drilled. The length counts the contour itself: the path of the bit's middle differs from
it by pi times the bit's diameter a closed contour, shorter inside and longer outside.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.fabrication.bit import Bit
from platewright.fabrication.plan import CutPlan

__all__ = ["CutTime", "Pace", "cut_time"]


@dataclass(frozen=True)
class Pace:
    """What a machine adds to each cut.

    Parameters
    ----------
    approach : float
        Travel to one contour, down and up [s].
    drill : float
        One drilled hole, its travel included [s].
    """

    approach: float
    drill: float


@dataclass(frozen=True)
class CutTime:
    """What cutting one part takes.

    Parameters
    ----------
    length : float
        Of all routed contours [mm].
    path : float
        What the bit's middle travels in one pass, bit's radius inside holes and openings, outside the edge [mm].
    passes : int
        Of each contour.
    cutting : float
        Time in the plate [s].
    travel : float
        Time between contours, and drilling [s].
    wear : float
        Share of a bit's life [-].
    holes, drilled, openings, bridges : int
        Counts.
    """

    length: float
    path: float
    passes: int
    cutting: float
    travel: float
    wear: float
    holes: int
    drilled: int
    openings: int
    bridges: int

    @property
    def seconds(self) -> float:
        """All time at the machine [s]."""
        return self.cutting + self.travel


def cut_time(plan: CutPlan, thickness: float, bit: Bit, pace: Pace) -> CutTime:
    """Return what a part takes.

    Parameters
    ----------
    plan : CutPlan
        Its contours.
    thickness : float
        Of the plate [mm].
    bit : Bit
        That cuts them.
    pace : Pace
        Of the machine.

    Examples
    --------
    >>> from platewright.fabrication.plan import Cut
    >>> bit = Bit(2.0, 1.05, 2.5, 8.0, 10.0, 1.0, 25_000.0)
    >>> found = cut_time(CutPlan((Cut("outside", 0, 0, 200.0),), ()), 3.0, bit, Pace(5.0, 4.0))
    >>> found.passes, round(found.path, 2), round(found.cutting, 2), found.travel
    (3, 206.28, 61.88, 5.0)
    """
    kinds = [cut.kind for cut in plan.cuts]
    drilled = kinds.count("drill")
    around = math.pi * bit.diameter
    path = sum(max(cut.length + (around if cut.kind == "outside" else -around), 0.0) for cut in plan.cuts if cut.length)
    length = sum(cut.length for cut in plan.cuts)
    passes = max(1, math.ceil(thickness / bit.depth_per_pass - 1e-9))
    routed = len(kinds) - drilled
    return CutTime(
        length,
        path,
        passes,
        path * passes / bit.feed,
        routed * pace.approach + drilled * pace.drill,
        length * thickness / bit.life,
        kinds.count("hole"),
        drilled,
        kinds.count("opening"),
        len(plan.bridges),
    )
