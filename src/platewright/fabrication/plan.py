"""The plan of cutting one part: order of its cuts, sizes that are really cut, and holding bridges. Lengths in mm.

Inside first: holes, the smallest first, then openings, then the outer edge, so that nothing is cut in a part that no
longer holds. A loop inside an opening does not occur: it would be a part of its own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from platewright.fabrication.bit import Bit
from platewright.geometry.curves import curves_of
from platewright.geometry.loops import Outline, bounding_box, outline_area, perimeter

__all__ = ["Bridge", "Cut", "CutPlan", "bridges", "cut_plan"]

_GENTLE = 15.0  # radius of the sharpest arc that may carry a bridge [mm]
_SMALL = 400.0  # a part of less area is held by two bridges [mm^2]
_APART = 120.0  # one more bridge for so much outer edge [mm]


@dataclass(frozen=True)
class Cut:
    """One contour.

    Parameters
    ----------
    kind : str
        drill, hole, opening or outside.
    x, y : float
        Its middle [mm].
    length : float
        Along the contour; 0 for a drilled hole [mm].
    diameter : float
        Nominal diameter of a hole; 0 for others [mm].
    cut_diameter : float
        What is cut so that it comes out right [mm].
    """

    kind: Literal["drill", "hole", "opening", "outside"]
    x: float
    y: float
    length: float
    diameter: float = 0.0
    cut_diameter: float = 0.0


@dataclass(frozen=True)
class Bridge:
    """A holding bridge on the outer edge: its middle [mm], and the direction of the edge there [rad]."""

    x: float
    y: float
    direction: float


@dataclass(frozen=True)
class CutPlan:
    """Cuts in their order and bridges."""

    cuts: tuple[Cut, ...]
    bridges: tuple[Bridge, ...]


def cut_plan(outline: Outline, bit: Bit, compensation: float, bridge_width: float | None) -> CutPlan:
    """Plan the cuts of a part.

    Parameters
    ----------
    outline : Outline
        The part as it shall be [mm].
    bit : Bit
        The bit that cuts all contours.
    compensation : float
        Added to the diameter of round holes that are routed, because the bit bends away from the cut [mm].
    bridge_width : float or None
        Width of a holding bridge [mm]; None where vacuum or tape holds.
    """
    holes = sorted(outline.circles, key=lambda c: (c.radius, c.x, c.y))
    cuts = []
    for c in holes:
        drilled = 2 * c.radius < bit.smallest_hole - 1e-9
        length = 0.0 if drilled else 2 * math.pi * c.radius
        diameter = 2 * c.radius
        cut = diameter if drilled else diameter + compensation
        cuts.append(Cut("drill" if drilled else "hole", c.x, c.y, length, diameter, cut))
    for loop in sorted(outline.inner, key=perimeter):
        cuts.append(Cut("opening", *_middle(bounding_box(loop)), perimeter(loop)))
    cuts.append(Cut("outside", *_middle(bounding_box(outline)), perimeter(outline.outer)))
    return CutPlan(tuple(cuts), () if bridge_width is None else bridges(outline, bridge_width, bit.diameter))


def bridges(outline: Outline, width: float, diameter: float) -> tuple[Bridge, ...]:
    """Return places of holding bridges, spread over the straight and gentle edges; fewer where there is no room.

    Parameters
    ----------
    outline : Outline
        The part [mm].
    width : float
        Of a bridge [mm].
    diameter : float
        Of the bit, which needs that much edge on either side [mm].

    Notes
    -----
    Two bridges for a part of less than 4 cm^2, else three, and one more for each 120 mm of edge beyond 360 mm. Of the
    edges that can carry one, the middle of the longest comes first, then always the one farthest from all chosen.
    """
    edges = curves_of([outline.outer.vertices])
    need = width + 2 * diameter
    fit = (edges.length >= need) & (~edges.is_arc | (edges.radius >= _GENTLE))
    if not fit.any():
        return ()
    chosen_edges = edges.take(fit)
    places: list[tuple[complex, float, float]] = []
    for k, length in enumerate(chosen_edges.length.tolist()):
        steps = max(1, int(length / (3 * need)))
        for j in range(steps):
            fraction = (j + 0.5) / steps
            one = chosen_edges.take([k])  # type: ignore[arg-type]
            along = complex(one.tangent(fraction)[0])
            places.append((complex(one.at(fraction)[0]), math.atan2(along.imag, along.real), length))
    count = 2 if outline_area(outline) < _SMALL else 3 + max(0, int((perimeter(outline.outer) - 3 * _APART) / _APART))
    first = max(range(len(places)), key=lambda k: places[k][2])
    chosen = [first]
    while len(chosen) < min(count, len(places)):
        away = [min(abs(p[0] - places[c][0]) for c in chosen) for p in places]
        best = max(range(len(places)), key=away.__getitem__)
        if away[best] < need:
            break
        chosen.append(best)
    return tuple(Bridge(places[k][0].real, places[k][0].imag, places[k][1]) for k in chosen)


def _middle(box: tuple[float, float, float, float]) -> tuple[float, float]:
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
