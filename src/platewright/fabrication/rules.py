"""What a router bit can do to a plate: holes it cannot enter, passages too narrow, corners that stop it. Lengths in mm.

Corners sharper than the bit and webs between openings belong to `fit.webs`. Narrow passages are found on polygons of
chords within 5 um: an opening is made smaller by half a width, and what falls apart or vanishes is narrower than that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import shapely

from platewright.fabrication.bit import Bit
from platewright.geometry.curves import curves_of
from platewright.geometry.loops import Circle, Loop, Outline, bounding_box, flatten

__all__ = ["Passage", "countersink_depth", "narrow_passages", "small_holes", "stopping_corners"]

_CHORD = 0.005  # [mm]
_HALVINGS = 12  # of the width that is searched
_SLIGHT = 0.015  # a corner sharper by less than this is not said to stop a bit [mm]
_ARC = math.radians(20)  # an arc that turns less stops no bit [rad]
_SLIVER = 3.0  # area that a notch must have to be more than a corner, in squares of the radius [-]


@dataclass(frozen=True)
class Passage:
    """A place too narrow for a bit: where, how wide, and whether in an opening or in the outer edge [mm]."""

    x: float
    y: float
    width: float
    in_opening: bool


def small_holes(outline: Outline, bit: Bit) -> tuple[Circle, ...]:
    """Return round holes that the bit cannot enter; they are drilled."""
    return tuple(c for c in outline.circles if 2 * c.radius < bit.smallest_hole - 1e-9)


def countersink_depth(diameter: float, hole: float, angle: float) -> float:
    """Return how deep a countersink goes [mm].

    Parameters
    ----------
    diameter, hole : float
        At the face and at its bottom [mm].
    angle : float
        Of the cone [rad].

    Examples
    --------
    >>> round(countersink_depth(6.0, 3.0, math.pi / 2), 9)
    1.5
    """
    return (diameter - hole) / 2 / math.tan(angle / 2)


@lru_cache(maxsize=256)  # the same parts are asked for again and again
def stopping_corners(outline: Outline, bit: Bit) -> tuple[tuple[float, float, float], ...]:
    """Return inside corners that the bit reaches but in which it stops, with their radius: x, y, radius [mm]."""
    found = []
    for loop, sign in ((outline.outer, -1.0), *((loop, 1.0) for loop in outline.inner)):
        edges = curves_of([loop.vertices])
        fits = (edges.radius > bit.diameter / 2 - 1e-3) & (edges.radius < bit.inner_radius - _SLIGHT)
        tight = edges.is_arc & fits & (edges.sweep * sign > _ARC)
        middle = edges.at(0.5)
        found += [
            (p.real, p.imag, r) for p, r in zip(middle[tight].tolist(), edges.radius[tight].tolist(), strict=True)
        ]
    return tuple(found)


@lru_cache(maxsize=256)  # the same parts are asked for again and again
def narrow_passages(outline: Outline, width: float) -> tuple[Passage, ...]:
    """Return openings and notches of the outer edge, or parts of them, narrower than a width.

    Parameters
    ----------
    outline : Outline
        The part as it is cut [mm].
    width : float
        What the bit needs [mm].

    Examples
    --------
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> slit = Outline(rectangle_loop(0, 0, 40, 20), (rectangle_loop(0, 0, 12, 1.5),))
    >>> [(p.in_opening, round(p.width, 2)) for p in narrow_passages(slit, 2.2)]
    [(True, 1.5)]
    """
    found = [p for loop in outline.inner for p in _opening(loop, width)]
    return tuple(sorted([*found, *_notches(outline.outer, width)], key=lambda p: p.width))


def _opening(loop: Loop, width: float) -> list[Passage]:
    x0, y0, x1, y1 = bounding_box(loop)
    opening = shapely.Polygon(flatten(loop, _CHORD))
    whole = opening.buffer(-width / 2)
    if whole.geom_type == "Polygon" and not whole.is_empty:
        return []
    low, high = 0.0, width
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        rest = opening.buffer(-middle / 2)
        low, high = (middle, high) if rest.geom_type == "Polygon" and not rest.is_empty else (low, middle)
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    pieces = opening.buffer(-(high + 1e-3) / 2)
    if pieces.geom_type == "MultiPolygon":
        neck = shapely.shortest_line(pieces.geoms[0], shapely.MultiPolygon(pieces.geoms[1:])).centroid
        x, y = neck.x, neck.y
    return [Passage(x, y, low, True)]


def _notches(outer: Loop, width: float) -> list[Passage]:
    """Notches that a disc of the width cannot enter, from outside; a mere corner leaves less area than they do."""
    plate = shapely.Polygon(flatten(outer, _CHORD))
    closed = shapely.Polygon(plate.buffer(width / 2).exterior).buffer(-width / 2)
    left = closed.difference(plate.buffer(2 * _CHORD))
    radius = width / 2
    found = []
    for piece in getattr(left, "geoms", [left]):
        if piece.geom_type != "Polygon" or piece.area < _SLIVER * radius * radius:
            continue
        box = piece.minimum_rotated_rectangle.exterior.coords
        sides = [math.dist(box[k], box[k + 1]) for k in range(2)]
        point = piece.representative_point()
        found.append(Passage(point.x, point.y, min(*sides, width), False))
    return found
