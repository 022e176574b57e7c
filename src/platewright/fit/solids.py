"""Prisms in space, ready for questions of distance and overlap.

Every solid of a body is a prism: a plane section of exact lines and arcs, drawn along an axis from one height to
another. Sections are prepared once for all copies of a body. Lengths in mm, frame axes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import product

import numpy as np
import shapely

from platewright.assembly.bodies import Body, Box, Cylinder, Frame3, Shape, profile_of
from platewright.geometry.curves import Bools, Curves, Floats, Points, Spans
from platewright.geometry.loops import Outline, boundary, circle_loop, flatten

__all__ = [
    "CHORD",
    "Prism",
    "Section",
    "axes_of",
    "boxes_of_round",
    "prism_of",
    "prisms_of_body",
    "section_of",
]

CHORD = 0.005  # largest distance between an arc and the chords that stand for it where axes are oblique [mm]


class Section:
    """A plane region with its edges prepared.

    Parameters
    ----------
    outline : Outline
        The region [mm].
    radius : float
        Outer radius, if the region is a disc or a ring about its own origin; else 0 [mm].
    bore : float
        Inner radius of a ring [mm].
    half_sides : (float, float) or None
        Half of length and width, if the region is a rectangle about its own origin [mm].

    Examples
    --------
    >>> disc = Section(profile_of(Cylinder(3.0, 5.0)), 3.0)
    >>> disc.distance(np.array([5 + 0j])).tolist(), disc.inside(np.array([1 + 1j])).tolist()
    ([2.0], [True])
    """

    def __init__(
        self,
        outline: Outline,
        radius: float = 0.0,
        bore: float = 0.0,
        half_sides: tuple[float, float] | None = None,
    ) -> None:
        self.outline = outline
        self.radius = radius
        self.bore = bore
        self.half_sides = half_sides

    @cached_property
    def curves(self) -> Curves:
        """Every edge: lines and arcs."""
        return boundary(self.outline)

    @cached_property
    def rings(self) -> tuple[Points, ...]:
        """Corners of the chords that stand for the edges, ring by ring; within `CHORD` of them."""
        loops = (self.outline.outer, *self.outline.inner, *(circle_loop(c) for c in self.outline.circles))
        return tuple(np.array([complex(x, y) for x, y in flatten(loop, CHORD)]) for loop in loops)

    @cached_property
    def corners(self) -> Points:
        """All corners of the chords."""
        return np.concatenate(self.rings)

    @cached_property
    def chords(self) -> tuple[Points, Points]:
        """Start and end of every chord."""
        return self.corners, np.concatenate([np.roll(ring, -1) for ring in self.rings])

    @cached_property
    def polygon(self) -> shapely.Polygon:
        """The region between the chords."""
        rings = [np.column_stack([ring.real, ring.imag]) for ring in self.rings]
        made = shapely.polygons(rings[0], [shapely.linearrings(r) for r in rings[1:]] or None)
        shapely.prepare(made)
        return made

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Return x_min, y_min, x_max, y_max [mm]."""
        if self.radius:
            return -self.radius, -self.radius, self.radius, self.radius
        x0, y0, x1, y1 = self.curves.boxes()
        return float(x0.min()), float(y0.min()), float(x1.max()), float(y1.max())

    @cached_property
    def inner(self) -> tuple[float, float]:
        """Return a place in material."""
        point = shapely.point_on_surface(self.polygon)
        return float(point.x), float(point.y)

    @cached_property
    def hull(self) -> Points:
        """Corners of the chords that lie on their convex hull."""
        points = shapely.get_coordinates(shapely.convex_hull(self.polygon))[:-1]
        corners: Points = points[:, 0] + 1j * points[:, 1]
        return corners

    def inside(self, points: Points) -> Bools:
        """Return whether each point lies in material."""
        if self.radius:
            apart = np.abs(points)
            within: Bools = (apart < self.radius) & (apart >= self.bore)
            return within
        result: Bools = self._spans.inside(points)[:, 0]
        return result

    def distance(self, points: Points) -> Floats:
        """Return the distance from each point to the nearest edge [mm]."""
        if self.radius:
            apart = np.abs(points)
            outer = np.abs(apart - self.radius)
            nearest: Floats = np.minimum(outer, np.abs(apart - self.bore)) if self.bore else outer
            return nearest
        return np.asarray(self.curves.distance(points).min(axis=1))

    def nearest(self, point: complex) -> complex:
        """Return the place on an edge that is nearest to a point."""
        distances = self.curves.distance(np.array([point]))[0]
        edge = self.curves.take(np.array([int(distances.argmin())]))
        return complex(edge.at(np.clip(edge.fraction_of(np.array([point])), 0.0, 1.0))[0])

    @cached_property
    def _spans(self) -> Spans:
        return Spans(self.curves, np.zeros(len(self.curves), dtype=np.intp))


@dataclass(frozen=True, eq=False)
class Prism:
    """A section drawn along an axis.

    Parameters
    ----------
    section : Section
        In the prism's own axes.
    origin : (3,) float [mm]
        Where the own axes stand in the frame.
    axes : (3, 3) float
        Rows: the section's x and y, and the direction of the prism; a right-handed set of unit vectors.
    low, high : float
        From where to where along its direction [mm].
    """

    section: Section
    origin: Floats
    axes: Floats
    low: float
    high: float

    @cached_property
    def box(self) -> Floats:
        """Least and greatest x, y and z, (2, 3) [mm]."""
        if self.section.radius:
            return np.asarray(boxes_of_round([self])[0])
        ends = np.array([self.low, self.high])[:, None] * self.axes[2]
        if np.abs(self.axes).max(axis=1).min() == 1.0:  # along the frame's own axes: exact
            x0, y0, x1, y1 = self.section.bounds
            low, high = np.array([x0, y0, self.low]) @ self.axes, np.array([x1, y1, self.high]) @ self.axes
            return np.array([self.origin + np.minimum(low, high), self.origin + np.maximum(low, high)])
        corners = self.section.corners
        flat = corners.real[:, None] * self.axes[0] + corners.imag[:, None] * self.axes[1]
        low, high = flat.min(axis=0) - CHORD, flat.max(axis=0) + CHORD
        return np.array([self.origin + ends.min(axis=0) + low, self.origin + ends.max(axis=0) + high])

    @cached_property
    def corners(self) -> Floats:
        """Corners of the prism over the chords, lower ones first, (2 n, 3) [mm]."""
        return self._world(self.section.corners, (self.low, self.high))

    def hull_at(self, heights: Sequence[float]) -> Floats:
        """Return corners of the section's convex hull at some heights along the axis, (n_heights n, 3) [mm]."""
        return self._world(self.section.hull, heights)

    def edges_near(self, box: Floats, within: float = 0.0, probing: bool = False) -> tuple[Floats, Floats]:
        """Return start and end of the edges that may come as near as `within` [mm] to a box, (n, 3) each [mm].

        Parameters
        ----------
        box : (2, 3) float
            Least and greatest x, y and z [mm].
        within : float
            Distance [mm].
        probing : bool
            Add the rim at half height and a line through the inside: one of all these enters whatever the prism
            overlaps. Edges alone would not, where they lie in the other's faces.
        """
        places, _ = self.local(np.array([(box[i, 0], box[j, 1], box[k, 2]) for i, j, k in product((0, 1), repeat=3)]))
        low = complex(places.real.min() - within, places.imag.min() - within)
        high = complex(places.real.max() + within, places.imag.max() + within)
        start, end = self.section.chords
        near = (np.minimum(start.real, end.real) <= high.real) & (np.maximum(start.real, end.real) >= low.real)
        near &= (np.minimum(start.imag, end.imag) <= high.imag) & (np.maximum(start.imag, end.imag) >= low.imag)
        ends = [self._world(points[near], (self.low, self.high)) for points in (start, end)]
        n = int(near.sum())
        rows = [[ends[0], ends[0][:n]], [ends[1], ends[0][n:]]]
        if probing:
            point = complex(*self.section.inner)
            for k, height in enumerate((self.low, self.high)):
                rows[k] += [(ends[k][:n] + ends[k][n:]) / 2, self.point(point, height)[None]]
        return np.concatenate(rows[0]), np.concatenate(rows[1])

    def local(self, points: Floats) -> tuple[Points, Floats]:
        """Return points [mm] in the prism's own axes: place in the section, and height along its direction."""
        own = (points - self.origin) @ self.axes.T
        return own[:, 0] + 1j * own[:, 1], own[:, 2]

    def depth(self, points: Floats) -> Floats:
        """Return how far each point lies under the surface; negative outside by some lower bound [mm]."""
        flat, height = self.local(points)
        beside = np.where(self.section.inside(flat), 1.0, -1.0) * self.section.distance(flat)
        return np.minimum(np.minimum(height - self.low, self.high - height), beside)

    def gap(self, points: Floats) -> Floats:
        """Return the distance from each point to the prism; 0 inside [mm]."""
        flat, height = self.local(points)
        along = np.maximum(np.maximum(self.low - height, height - self.high), 0.0)
        beside = np.where(self.section.inside(flat), 0.0, self.section.distance(flat))
        return np.hypot(along, beside)

    def point(self, flat: complex, height: float) -> Floats:
        """Return the point of the frame at a place of the section and a height [mm]."""
        place: Floats = self.origin + np.array([flat.real, flat.imag, height]) @ self.axes
        return place

    def _world(self, flat: Points, heights: Sequence[float]) -> Floats:
        base = self.origin + flat.real[:, None] * self.axes[0] + flat.imag[:, None] * self.axes[1]
        return np.concatenate([base + height * self.axes[2] for height in heights])


def boxes_of_round(prisms: Sequence[Prism]) -> Floats:
    """Return the boxes of round prisms, (n, 2, 3) [mm]."""
    origin, axis = np.array([p.origin for p in prisms]), np.array([p.axes[2] for p in prisms])
    low, high, radius = np.array([(p.low, p.high, p.section.radius) for p in prisms]).T[..., None]
    ends = np.stack([origin + low * axis, origin + high * axis])
    reach = radius * np.sqrt(np.maximum(1.0 - axis**2, 0.0))
    boxes: Floats = np.stack([ends.min(axis=0) - reach, ends.max(axis=0) + reach], axis=1)
    return boxes


def prisms_of_body(body: Body) -> tuple[Prism, ...]:
    """Return the prisms of a body, one per solid."""
    origin, axes = axes_of(body.frame)
    return tuple(Prism(section_of(s.shape), origin, axes, s.offset, s.offset + s.shape.height) for s in body.solids)


def prism_of(shape: Shape, frame: Frame3, offset: float = 0.0) -> Prism:
    """Return the prism of one shape that starts at an offset along its frame's third axis [mm].

    Examples
    --------
    >>> prism_of(Cylinder(2.0, 5.0), Frame3((1.0, 0.0, 0.0)), 1.0).box.tolist()
    [[-1.0, -2.0, 1.0], [3.0, 2.0, 6.0]]
    """
    origin, axes = axes_of(frame)
    return Prism(section_of(shape), origin, axes, offset, offset + shape.height)


@lru_cache(maxsize=1024)  # copies share one, and so do calls: a section is prepared once
def section_of(shape: Shape) -> Section:
    """Return the prepared section of a shape."""
    if isinstance(shape, Cylinder):
        return Section(profile_of(shape), shape.radius, shape.bore)
    if isinstance(shape, Box):
        return Section(profile_of(shape), half_sides=(shape.length / 2, shape.width / 2))
    return Section(profile_of(shape))


def axes_of(frame: Frame3) -> tuple[Floats, Floats]:
    """Return origin [mm] and axes of a frame as arrays."""
    return np.array(frame.origin), np.array([frame.u, frame.v, frame.n])
