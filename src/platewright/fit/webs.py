"""What a router must leave and can reach: webs between openings and edges, and inside corners against the cutter.

Widths of plate beside bolt holes are a matter of `FinishedPart.plate_beside`; webs here have an opening on one side at
least. Lengths in mm, in the part's own axes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np

from platewright.fit.proximity import edge_distance
from platewright.geometry.curves import Curves, Floats, curves_of
from platewright.geometry.loops import Circle, Loop, Outline

__all__ = ["InsideCorner", "Web", "inside_corners", "webs"]

_CORNER = math.radians(5)  # a turn that is less is no corner [rad]


@dataclass(frozen=True)
class Web:
    """Plate between an opening and its neighbour: the middle of each (None for the outer edge), and the width [mm]."""

    opening: tuple[float, float]
    neighbour: tuple[float, float] | None
    width: float


@dataclass(frozen=True)
class InsideCorner:
    """A corner a cutter must turn within: where, its radius (0 for a sharp one), and whether in an opening [mm]."""

    x: float
    y: float
    radius: float
    in_opening: bool


@lru_cache(maxsize=256)  # the same parts are asked for again and again
def webs(outline: Outline, within: float) -> tuple[Web, ...]:
    """Return webs narrower than some width, each opening with each neighbour, the narrowest first.

    Parameters
    ----------
    outline : Outline
        The part as it is cut [mm].
    within : float
        Wider ones are not of interest [mm].

    Examples
    --------
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> plate = Outline(rectangle_loop(0, 0, 20, 10), (rectangle_loop(0, 0, 8, 5),), (Circle(7, 0, 1),))
    >>> [(web.neighbour, web.width) for web in webs(plate, 2.6)]
    [((7, 0), 2.0), (None, 2.5)]
    """
    outer = _Ring(curves_of([outline.outer.vertices]))
    rings = [_Ring(curves_of([loop.vertices])) for loop in outline.inner]
    made = []
    for ring in rings:
        made.append(Web(ring.middle, None, ring.apart(outer, within)))
        made += [
            Web(ring.middle, (c.x, c.y), width)
            for c, width in zip(outline.circles, ring.beside(outline.circles), strict=True)
        ]
    made += [Web(a.middle, b.middle, a.apart(b, within)) for a, b in combinations(rings, 2)]
    return tuple(sorted((web for web in made if web.width < within), key=lambda web: web.width))


@lru_cache(maxsize=256)
def inside_corners(outline: Outline, least: float) -> tuple[InsideCorner, ...]:
    """Return corners within which a cutter must turn on less than some radius, sharp ones with radius 0.

    Outside corners of the outline may be sharp; so may those of an opening that point into it. Round holes are left
    out.

    Parameters
    ----------
    outline : Outline
        The part as it is cut [mm].
    least : float
        Smallest radius that is of no interest [mm].

    Examples
    --------
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> len(inside_corners(Outline(rectangle_loop(0, 0, 20, 10), (rectangle_loop(0, 0, 8, 5),)), 1.0))
    4
    """
    made = _corners(outline.outer, -1.0, least, False)
    for loop in outline.inner:
        made += _corners(loop, 1.0, least, True)
    return tuple(made)


def _corners(loop: Loop, sign: float, least: float, in_opening: bool) -> list[InsideCorner]:
    """Corners of one loop that turn left (sign 1) or right (-1)."""
    edges = curves_of([loop.vertices])
    tight = edges.is_arc & (edges.radius < least) & (edges.sweep * sign > _CORNER)
    middle = edges.at(0.5)
    made = [_corner(middle[n], float(edges.radius[n]), in_opening) for n in np.nonzero(tight)[0].tolist()]
    arriving = np.roll(edges.tangent(1.0), 1)
    turn: Floats = np.angle(edges.tangent(0.0) * arriving.conj()) * sign
    sharp = np.nonzero(turn > _CORNER)[0].tolist()
    return made + [_corner(edges.start[n], 0.0, in_opening) for n in sharp]


def _corner(point: complex, radius: float, in_opening: bool) -> InsideCorner:
    return InsideCorner(float(point.real), float(point.imag), radius, in_opening)


class _Ring:
    """A closed boundary with the boxes of its edges."""

    def __init__(self, curves: Curves) -> None:
        self.curves = curves
        self.boxes = np.array(curves.boxes())

    @property
    def middle(self) -> tuple[float, float]:
        """Middle of its box."""
        x0, y0, x1, y1 = self._box()
        return (x0 + x1) / 2, (y0 + y1) / 2

    def apart(self, other: _Ring, within: float) -> float:
        """Distance to another boundary; infinite where it is surely more than of interest."""
        own, theirs = self._near(other, within), other._near(self, within)
        return edge_distance(own, theirs) if len(own) and len(theirs) else math.inf

    def beside(self, circles: Sequence[Circle]) -> list[float]:
        """Distance to each round hole."""
        if not circles:
            return []
        centres = np.array([complex(c.x, c.y) for c in circles])
        near = self.curves.distance(centres).min(axis=1).tolist()
        return [d - c.radius for d, c in zip(near, circles, strict=True)]

    def _near(self, other: _Ring, within: float) -> Curves:
        """Edges whose boxes come near another boundary's box."""
        x0, y0, x1, y1 = other._box()
        a0, b0, a1, b1 = self.boxes
        return self.curves.take((a0 < x1 + within) & (a1 > x0 - within) & (b0 < y1 + within) & (b1 > y0 - within))

    def _box(self) -> tuple[float, float, float, float]:
        x0, y0, x1, y1 = self.boxes
        return float(x0.min()), float(y0.min()), float(x1.max()), float(y1.max())
