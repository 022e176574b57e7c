"""Distance and overlap of two prisms.

Parallel prisms (plates on levels, bolts through them) are exact on lines and arcs: the section's answer and the
interval's, put together. Where axes are at an angle, arcs are taken as chords within `solids.CHORD`, so that a distance
or a depth is within twice that of the true one. Lengths in mm.
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from platewright.fit.oblique import TOUCH, Common, common_oblique, distance_oblique
from platewright.fit.solids import Prism, Section
from platewright.geometry.crossings import crossing_points
from platewright.geometry.curves import Bools, Curves, Floats, Points

__all__ = [
    "Common",
    "MovedSection",
    "box_gap",
    "boxes_apart",
    "boxes_near",
    "common",
    "distance",
    "edge_distance",
    "moved_section",
]

_PARALLEL = 1e-9  # sine of the angle below which two axes are one direction


def common(a: Prism, b: Prism) -> Common | None:
    """Return how deep two prisms overlap; None when they are apart or touch.

    Depth is that of the deepest edge point of one under the surface of the other: for a small overlap, how far they
    must be moved apart.

    Examples
    --------
    >>> from platewright.assembly.bodies import Box, Frame3
    >>> from platewright.fit.solids import prism_of
    >>> one, other = prism_of(Box(4, 4, 2), Frame3((0, 0, 0))), prism_of(Box(4, 4, 2), Frame3((3.5, 0, 1)))
    >>> round(common(one, other).depth, 6)
    0.5
    """
    if box_gap(a.box, b.box) > 0:
        return None
    return _common_parallel(a, b) if _are_parallel(a, b) else common_oblique(a, b)


def distance(a: Prism, b: Prism, known: float = math.inf) -> float:
    """Return the distance between two prisms; 0 when they overlap or touch [mm].

    Parameters
    ----------
    a, b : Prism
        The two.
    known : float
        A distance that is not of interest; when theirs is surely greater, any value from it on is returned [mm].

    Examples
    --------
    >>> from platewright.assembly.bodies import Cylinder, Frame3
    >>> from platewright.fit.solids import prism_of
    >>> distance(prism_of(Cylinder(1, 2), Frame3((0, 0, 0))), prism_of(Cylinder(1, 2), Frame3((5, 0, 6))))
    5.0
    """
    least = box_gap(a.box, b.box)
    if least >= known:
        return least
    if _are_parallel(a, b):
        section, low, high = moved_section(a, b)
        along = max(low - a.high, a.low - high, 0.0)
        return along if along >= known else math.hypot(along, _plane_distance(a.section, section))
    if least <= 0 and common_oblique(a, b) is not None:
        return 0.0
    return distance_oblique(a, b)


def edge_distance(one: Curves, other: Curves) -> float:
    """Return the exact distance between two sets of lines and arcs that do not cross [mm].

    Examples
    --------
    >>> from platewright.geometry.curves import curves_of
    >>> edge_distance(curves_of([[(-1, 0, 1), (1, 0, 1)]]), curves_of([[(4, 0, 1), (6, 0, 1)]]))
    3.0
    """
    best = min(float(one.distance(other.start).min()), float(other.distance(one.start).min()))
    return min(best, _between_arcs(one, other), _from_centres(one, other), _from_centres(other, one))


def box_gap(a: Floats, b: Floats) -> float:
    """Return the distance between two boxes, 0 when they meet [mm]."""
    gap = np.maximum(np.maximum(a[0] - b[1], b[0] - a[1]), 0.0)
    return float(math.sqrt(gap @ gap))


def boxes_apart(boxes: Floats, box: Floats) -> Floats:
    """Return the distance of each of some boxes, (n, 2, 3), from a box, 0 where they meet [mm]."""
    gap = np.maximum(np.maximum(boxes[:, 0] - box[1], box[0] - boxes[:, 1]), 0.0)
    apart: Floats = np.sqrt((gap * gap).sum(axis=1))
    return apart


def boxes_near(boxes: Floats, box: Floats, within: float = 0.0) -> Bools:
    """Return which of some boxes, (n, 2, 3), come within a distance of a box along each axis [mm]."""
    near: Bools = ((boxes[:, 0] <= box[1] + within) & (boxes[:, 1] >= box[0] - within)).all(axis=1)
    return near


def moved_section(a: Prism, b: Prism) -> tuple[MovedSection, float, float]:
    """Return the section of `b` in the axes of `a`, its own axis along or against a's, and its heights [mm]."""
    shift = a.axes @ (b.origin - a.origin)
    along = float(b.axes[2] @ a.axes[2])
    flat = complex(float(b.axes[0] @ a.axes[0]), float(b.axes[0] @ a.axes[1]))
    ends = float(shift[2]) + math.copysign(1.0, along) * np.array([b.low, b.high])
    moved = MovedSection(b.section, complex(shift[0], shift[1]), flat, along < 0)
    return moved, float(ends.min()), float(ends.max())


class MovedSection:
    """A section seen from other axes: turned over or not, turned, shifted."""

    def __init__(self, section: Section, shift: complex, turn: complex, over: bool) -> None:
        self.section, self.shift, self.turn, self.over = section, shift, turn, over

    def own(self, points: Points) -> Points:
        """Return points in the section's own axes."""
        back = (points - self.shift) * self.turn.conjugate()
        return back.conj() if self.over else back

    def seen(self, points: Points) -> Points:
        """Return points of the section in the other axes."""
        return self.shift + self.turn * (points.conj() if self.over else points)

    def curves(self) -> Curves:
        """Return its edges in the other axes."""
        c = self.section.curves
        angle = (-c.angle if self.over else c.angle) + math.atan2(self.turn.imag, self.turn.real)
        sweep = -c.sweep if self.over else c.sweep
        return Curves(self.seen(c.start), self.seen(c.end), self.seen(c.centre), c.radius, angle, sweep)

    def polygon(self) -> shapely.Polygon:
        """Return the region between its chords in the other axes."""
        sign = -1.0 if self.over else 1.0
        c, s = self.turn.real, self.turn.imag
        return shapely.transform(
            self.section.polygon,
            lambda p: p @ np.array([[c, s], [-sign * s, sign * c]]) + (self.shift.real, self.shift.imag),
        )


def _are_parallel(a: Prism, b: Prism) -> bool:
    n, m = a.axes[2], b.axes[2]
    off = n - m if float(n @ m) > 0 else n + m  # as long as the sine of a small angle
    return float(off @ off) < _PARALLEL**2


def _common_parallel(a: Prism, b: Prism) -> Common | None:
    if a.section.radius and not b.section.radius:
        a, b = b, a
    moved, low, high = moved_section(a, b)
    bottom, top = max(low, a.low), min(high, a.high)
    if top - bottom <= TOUCH:
        return None
    depth, at = _plane_overlap(a.section, moved)
    if depth <= TOUCH:
        return None
    x, y, z = a.point(at, (bottom + top) / 2).tolist()
    return Common(min(depth, top - bottom), (x, y, z))


def _plane_overlap(a: Section, b: MovedSection) -> tuple[float, complex]:
    """Depth and place of the overlap of two sections, exact where one is a disc."""
    radius = b.section.radius
    if radius:
        centre = np.array([b.shift])
        apart = float(a.distance(centre)[0])
        signed = -apart if a.inside(centre)[0] else apart
        if signed >= radius:
            return 0.0, b.shift
        if not b.section.bore and not (a.radius and a.bore):
            # the middle of the disc lies in both, or else the nearest edge of the other does
            return min(radius - signed, 2 * radius), b.shift if signed < 0 else a.nearest(b.shift)
    elif not _bounds_meet(a, b):
        return 0.0, b.shift
    return _polygon_overlap(a, b)


def _bounds_meet(a: Section, b: MovedSection) -> bool:
    x0, y0, x1, y1 = b.section.bounds
    corners = b.seen(np.array([complex(x, y) for x in (x0, x1) for y in (y0, y1)]))
    p0, q0, p1, q1 = a.bounds
    return bool(
        corners.real.max() > p0 and corners.real.min() < p1 and corners.imag.max() > q0 and corners.imag.min() < q1
    )


def _polygon_overlap(a: Section, b: MovedSection) -> tuple[float, complex]:
    """Depth of two general sections: the deepest of the corners of what they share, refined between neighbours."""
    other = b.polygon()
    if not shapely.intersects(a.polygon, other):
        return 0.0, 0j
    shared = shapely.intersection(a.polygon, other)
    if shapely.area(shared) <= 0:
        return 0.0, 0j
    rim = shapely.segmentize(shared, 0.25)
    points = shapely.get_coordinates(rim)
    flat = points[:, 0] + 1j * points[:, 1]
    in_a, in_b = a.inside(flat), b.section.inside(b.own(flat))
    # A corner of the common region lies on one outline, so its depth is its distance from the other.
    depth = np.maximum(np.where(in_a, a.distance(flat), 0.0), np.where(in_b, b.section.distance(b.own(flat)), 0.0))
    deepest = int(depth.argmax())
    return float(depth[deepest]), complex(flat[deepest])


def _plane_distance(a: Section, b: MovedSection) -> float:
    """Exact distance between two regions of lines and arcs; 0 when they meet."""
    if b.section.radius and not b.section.bore:
        centre = np.array([b.shift])
        return 0.0 if a.inside(centre)[0] else max(float(a.distance(centre)[0]) - b.section.radius, 0.0)
    if a.radius and not a.bore:
        centre = b.own(np.array([0j]))
        inside = b.section.inside(centre)[0]
        return 0.0 if inside else max(float(b.section.distance(centre)[0]) - a.radius, 0.0)
    one, other = a.curves, b.curves()
    if b.section.inside(b.own(one.start[:1]))[0] or a.inside(other.start[:1])[0] or len(crossing_points(one, other)):
        return 0.0
    return edge_distance(one, other)


def _from_centres(arcs: Curves, lines: Curves) -> float:
    """Least distance from the inside of an arc to the inside of a line."""
    arcs, lines = arcs.take(arcs.is_arc), lines.take(~lines.is_arc)
    if not len(arcs) or not len(lines):
        return math.inf
    chord = lines.end - lines.start
    t = ((arcs.centre[:, None] - lines.start) * chord.conj()).real / np.abs(chord) ** 2
    foot = lines.start + chord * np.clip(t, 0.0, 1.0)
    away = foot - arcs.centre[:, None]
    reached = (t > 0) & (t < 1) & _in_sweep(arcs, np.angle(away))
    return float(np.where(reached, np.abs(np.abs(away) - arcs.radius[:, None]), math.inf).min())


def _between_arcs(one: Curves, other: Curves) -> float:
    """Least distance between the insides of two arcs, along the line of their centres."""
    one, other = one.take(one.is_arc), other.take(other.is_arc)
    if not len(one) or not len(other):
        return math.inf
    between = other.centre - one.centre[:, None]
    eccentric = np.abs(between) > 1e-9  # arcs about one centre are nearest at an end, too
    u = between / np.where(eccentric, np.abs(between), 1.0)
    best = math.inf
    for p in (1.0, -1.0):
        on_one = _in_sweep(one, np.angle(p * u))
        for q in (1.0, -1.0):
            both = eccentric & on_one & _in_sweep(other, np.angle(q * u).T).T
            apart = np.abs(between + q * u * other.radius - p * u * one.radius[:, None])
            best = min(best, float(np.where(both, apart, math.inf).min()))
    return best


def _in_sweep(arcs: Curves, angle: Floats) -> Bools:
    """Whether directions (n_arcs, m) lie within each arc."""
    turn = (angle - arcs.angle[:, None]) * np.sign(arcs.sweep)[:, None] % (2 * math.pi)
    result: Bools = turn <= np.abs(arcs.sweep)[:, None]
    return result
