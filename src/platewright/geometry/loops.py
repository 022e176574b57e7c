"""Closed outlines of exact lines and arcs, their properties and their transformation.

An edge is written at its start as (x, y, bulge) with bulge = tan(included angle / 4), positive counter-clockwise, as in
DXF. Outer and inner loops of an `Outline` are both stored counter-clockwise. Lengths are in mm, angles in rad.
Areas and second moments are integrals round the boundary (Green's theorem), exact to rounding on lines and arcs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from platewright.foundation.errors import GeometryError
from platewright.geometry.curves import Curves, Floats, Spans, Vertex, curves_of
from platewright.geometry.isometry import Isometry

__all__ = [
    "Circle",
    "Isometry",
    "Loop",
    "Outline",
    "PlaneProperties",
    "Vertex",
    "boundary",
    "bounding_box",
    "circle_loop",
    "contains",
    "cut_length",
    "distance_to_edge",
    "flatten",
    "loop_area",
    "outline_area",
    "outline_properties",
    "perimeter",
    "reverse_loop",
    "to_shapely",
    "transform_circle",
    "transform_loop",
    "transform_outline",
]

QUADRANT_SEGMENTS = 256  # most straight segments in a quarter circle given to shapely
# 24 nodes integrate the fourth powers of x and y over a whole turn to rounding.
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)


@dataclass(frozen=True)
class Loop:
    """A closed run of edges; the last vertex leads back to the first."""

    vertices: tuple[Vertex, ...]

    def __post_init__(self) -> None:
        if len(self.vertices) < 2:
            msg = f"a loop needs at least 2 vertices (got {len(self.vertices)})."
            raise GeometryError(msg)


@dataclass(frozen=True)
class Circle:
    """A round hole at (x, y) with its radius [mm]."""

    x: float
    y: float
    radius: float

    def __post_init__(self) -> None:
        if not self.radius > 0:
            msg = f"a circle's radius must be greater than 0 mm (got {self.radius})."
            raise GeometryError(msg)


@dataclass(frozen=True)
class Outline:
    """Material within `outer`, less the inner loops and the round holes.

    Loops may be given in either direction; they are stored counter-clockwise.
    """

    outer: Loop
    inner: tuple[Loop, ...] = ()
    circles: tuple[Circle, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "outer", _counter_clockwise(self.outer))
        object.__setattr__(self, "inner", tuple(_counter_clockwise(loop) for loop in self.inner))


@dataclass(frozen=True)
class PlaneProperties:
    """Area properties of a plane figure.

    Parameters
    ----------
    area : float
        Area [mm^2].
    cx, cy : float
        Centroid [mm].
    ixx, iyy, ixy : float
        Integrals of y^2, x^2 and x y over the area, about the centroid [mm^4].
    """

    area: float
    cx: float
    cy: float
    ixx: float
    iyy: float
    ixy: float


def boundary(outline: Outline) -> Curves:
    """Return every edge of an outline: outer loop, inner loops, then circles as two half turns each."""
    loops = [outline.outer, *outline.inner, *(circle_loop(c) for c in outline.circles)]
    return curves_of([loop.vertices for loop in loops])


def circle_loop(circle: Circle) -> Loop:
    """Return a circle as a loop of two half turns, counter-clockwise."""
    x, y, r = circle.x, circle.y, circle.radius
    return Loop(((x - r, y, 1.0), (x + r, y, 1.0)))


def loop_area(loop: Loop) -> float:
    """Return the signed area of a loop [mm^2], positive counter-clockwise.

    Examples
    --------
    >>> round(loop_area(Loop(((-1.0, 0.0, 1.0), (1.0, 0.0, 1.0)))), 6)
    3.141593
    """
    x0, y0, _ = loop.vertices[0]
    total = 0.0
    for (xa, ya, bulge), (xb, yb, _) in zip(loop.vertices, (*loop.vertices[1:], loop.vertices[0]), strict=True):
        total += ((xa - x0) * (yb - y0) - (xb - x0) * (ya - y0)) / 2
        if bulge:
            total += _segment(bulge) * ((xb - xa) ** 2 + (yb - ya) ** 2)
    return total


def outline_area(outline: Outline) -> float:
    """Return the area of material [mm^2]."""
    inner = sum(loop_area(loop) for loop in outline.inner)
    return loop_area(outline.outer) - inner - sum(math.pi * c.radius**2 for c in outline.circles)


@lru_cache(maxsize=512)  # kept by content, as everything of a part that is asked again and again
def outline_properties(outline: Outline) -> PlaneProperties:
    """Return area, centroid and second moments of the material."""
    x0, y0, x1, y1 = bounding_box(outline.outer)
    origin = complex((x0 + x1) / 2, (y0 + y1) / 2)
    total = _moments(curves_of([outline.outer.vertices]), origin)
    for loop in outline.inner:
        total = total - _moments(curves_of([loop.vertices]), origin)
    for c in outline.circles:
        x, y, area = c.x - origin.real, c.y - origin.imag, math.pi * c.radius**2
        own = area * c.radius**2 / 4
        total = total - np.array([1.0, x, y, y * y, x * x, x * y]) * area - np.array([0.0, 0, 0, own, own, 0])
    area, sx, sy, ixx, iyy, ixy = total.tolist()
    cx, cy = sx / area, sy / area
    return PlaneProperties(
        area, cx + origin.real, cy + origin.imag, ixx - area * cy**2, iyy - area * cx**2, ixy - area * cx * cy
    )


def perimeter(loop: Loop) -> float:
    """Return the length of a loop [mm]."""
    return float(curves_of([loop.vertices]).length.sum())


def cut_length(outline: Outline) -> float:
    """Return the length of all boundaries, outer, inner and round [mm]."""
    loops = sum(perimeter(loop) for loop in (outline.outer, *outline.inner))
    return loops + sum(2 * math.pi * c.radius for c in outline.circles)


@lru_cache(maxsize=1024)
def bounding_box(shape: Loop | Outline) -> tuple[float, float, float, float]:
    """Return x_min, y_min, x_max, y_max [mm], exact on arcs."""
    loop = shape.outer if isinstance(shape, Outline) else shape
    x0, y0, x1, y1 = curves_of([loop.vertices]).boxes()
    return float(x0.min()), float(y0.min()), float(x1.max()), float(y1.max())


def reverse_loop(loop: Loop) -> Loop:
    """Return the same loop run the other way."""
    v = loop.vertices
    return Loop(tuple((v[i][0], v[i][1], -v[i - 1][2]) for i in range(len(v) - 1, -1, -1)))


def transform_loop(loop: Loop, motion: Isometry) -> Loop:
    """Return the loop moved; a mirrored loop runs the other way, so its bulges change sign."""
    sign = -1.0 if motion.flip else 1.0
    return Loop(tuple((*motion.apply(x, y), sign * bulge) for x, y, bulge in loop.vertices))


def transform_circle(circle: Circle, motion: Isometry) -> Circle:
    """Return the circle moved."""
    return Circle(*motion.apply(circle.x, circle.y), circle.radius)


def transform_outline(outline: Outline, motion: Isometry) -> Outline:
    """Return the outline moved, its loops counter-clockwise again."""
    return Outline(
        transform_loop(outline.outer, motion),
        tuple(transform_loop(loop, motion) for loop in outline.inner),
        tuple(transform_circle(c, motion) for c in outline.circles),
    )


def contains(outline: Outline, x: float, y: float) -> bool:
    """Return whether a point [mm] lies in material."""
    edges = boundary(outline)
    return bool(Spans(edges, np.zeros(len(edges), dtype=np.intp)).inside(np.array([complex(x, y)]))[0, 0])


def distance_to_edge(outline: Outline, x: float, y: float, skip: tuple[float, float] | None = None) -> float:
    """Return the distance from a point to the nearest boundary curve [mm].

    Parameters
    ----------
    outline : Outline
        The plate.
    x, y : float
        The point [mm].
    skip : (float, float) or None
        Centre of a round hole that does not count, within 0.01 mm [mm].
    """
    best = float(_loop_edges(outline).distance(np.array([complex(x, y)])).min())
    for c in outline.circles:
        if skip is None or math.hypot(c.x - skip[0], c.y - skip[1]) > 0.01:
            best = min(best, abs(math.hypot(c.x - x, c.y - y) - c.radius))
    return best


def flatten(loop: Loop, tolerance: float) -> tuple[tuple[float, float], ...]:
    """Return points along the loop; chords stay within `tolerance` of the arcs [mm], and end on them."""
    edges = curves_of([loop.vertices])
    ratio = np.clip(1 - tolerance / np.maximum(edges.radius, tolerance), -1.0, 1.0)
    step = np.maximum(2 * np.arccos(ratio), 0.5 * math.pi / QUADRANT_SEGMENTS)
    points = _points(edges, np.ceil(np.abs(edges.sweep) / step - 1e-9))
    return tuple((x, y) for x, y in points.tolist())


def to_shapely(outline: Outline, quadrant_segments: int = QUADRANT_SEGMENTS) -> shapely.Polygon:
    """Return the outline as a polygon of chords, at most 256 to a quarter circle."""
    step = 0.5 * math.pi / min(quadrant_segments, QUADRANT_SEGMENTS)
    rings = []
    for loop in (outline.outer, *outline.inner, *(circle_loop(c) for c in outline.circles)):
        edges = curves_of([loop.vertices])
        rings.append(shapely.linearrings(_points(edges, np.ceil(np.abs(edges.sweep) / step - 1e-9))))
    return shapely.polygons(rings[0], rings[1:] or None)


def _points(edges: Curves, counts: Floats) -> Floats:
    """Return (n_points, 2) [mm] along closed edges, each divided into its count of chords."""
    n = np.maximum(counts, 1).astype(np.intp)
    edge = np.repeat(np.arange(len(n)), n)
    step = (np.arange(len(edge)) - np.repeat(np.cumsum(n) - n, n)) / n[edge]
    points = edges.take(edge).at(step)
    return np.column_stack([points.real, points.imag])


def _loop_edges(outline: Outline) -> Curves:
    return curves_of([loop.vertices for loop in (outline.outer, *outline.inner)])


def _counter_clockwise(loop: Loop) -> Loop:
    return loop if loop_area(loop) >= 0 else reverse_loop(loop)


def _segment(bulge: float) -> float:
    """Return the area between an arc and its chord, for a chord of length 1."""
    if abs(bulge) < 1e-5:
        return bulge / 3
    angle, square = 4 * math.atan(bulge), bulge * bulge
    sine = 4 * bulge * (1 - square) / (1 + square) ** 2
    return (1 + square) ** 2 / (32 * square) * (angle - sine)


def _moments(edges: Curves, origin: complex = 0j) -> Floats:
    """Return area and the integrals of x, y, y^2, x^2 and x y about `origin`."""
    fraction = (_NODES[:, None] + 1) / 2
    z = edges.at(fraction) - origin
    dz = edges.tangent(fraction) * edges.length * (_WEIGHTS[:, None] / 2)
    x, y, dx, dy = z.real, z.imag, dz.real, dz.imag
    terms: Iterable[Floats] = (
        (x * dy - y * dx) / 2,
        x**2 / 2 * dy,
        -(y**2) / 2 * dx,
        -(y**3) / 3 * dx,
        x**3 / 3 * dy,
        x**2 * y / 2 * dy,
    )
    return np.array([term.sum() for term in terms])
