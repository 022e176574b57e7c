"""Arrays of straight and circular edges: where they are, what they enclose, how far away they lie.

Points of the plane are complex numbers x + iy [mm]; angles are in rad, positive counter-clockwise. A line has radius 0.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

__all__ = ["Bools", "Curves", "Floats", "Points", "Spans", "Vertex", "curves_of"]

Vertex = tuple[float, float, float]
Points = NDArray[np.complex128]
Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

STRAIGHT = 1e-10  # bulge below which an edge counts as a line


@dataclass(frozen=True)
class Curves:
    """Directed edges, one per item.

    Parameters
    ----------
    start, end : (n,) complex [mm]
        End points.
    centre : (n,) complex [mm]
        Centre of an arc; 0 for a line.
    radius : (n,) float [mm]
        Radius of an arc; 0 for a line.
    angle : (n,) float [rad]
        Direction from the centre to the start.
    sweep : (n,) float [rad]
        Included angle, positive counter-clockwise; 0 for a line.
    """

    start: Points
    end: Points
    centre: Points
    radius: Floats
    angle: Floats
    sweep: Floats

    def __len__(self) -> int:
        return len(self.start)

    @cached_property
    def is_arc(self) -> Bools:
        """True where the edge is an arc."""
        return self.radius > 0

    @cached_property
    def lines(self) -> Curves:
        """The straight edges."""
        return self.take(~self.is_arc)

    @cached_property
    def arcs(self) -> Curves:
        """The circular edges."""
        return self.take(self.is_arc)

    @cached_property
    def _sectors(self) -> tuple[Points, Floats]:
        """For each arc the direction from the middle of the arc to its centre, mirrored, and cos of half its sweep."""
        half = self.sweep / 2
        return np.exp(-1j * (self.angle + half)), np.cos(half)

    @property
    def length(self) -> Floats:
        """Length along each edge [mm]."""
        return np.where(self.is_arc, self.radius * np.abs(self.sweep), np.abs(self.end - self.start))

    def take(self, index: Ints | Bools) -> Curves:
        """Return the edges at `index`."""
        return Curves(
            self.start[index],
            self.end[index],
            self.centre[index],
            self.radius[index],
            self.angle[index],
            self.sweep[index],
        )

    def at(self, fraction: Floats | float) -> Points:
        """Return the point at a fraction of each edge's length; columns of `fraction` broadcast."""
        line = self.start + (self.end - self.start) * fraction
        arc = self.centre + self.radius * np.exp(1j * (self.angle + self.sweep * fraction))
        return np.where(self.is_arc, arc, line)

    def tangent(self, fraction: Floats | float) -> Points:
        """Return the unit direction of travel at a fraction of each edge."""
        chord = self.end - self.start
        line = chord / np.where(self.is_arc, 1.0, np.maximum(np.abs(chord), 1e-300))
        arc = 1j * np.sign(self.sweep) * np.exp(1j * (self.angle + self.sweep * fraction))
        return np.where(self.is_arc, arc, line)

    def fraction_of(self, points: Points) -> Floats:
        """Return the fraction of each edge nearest in direction to its point; outside 0..1 when beyond the ends."""
        chord = self.end - self.start
        line = ((points - self.start) * chord.conj()).real / np.maximum(np.abs(chord) ** 2, 1e-300)
        turn = np.angle((points - self.centre) * np.exp(-1j * self.angle)) * np.sign(self.sweep)
        span = np.abs(self.sweep)
        # The angle outside the arc is shared between both ends, so that a point just before the start is just below 0.
        turn = np.where(turn < span / 2 - np.pi, turn + 2 * np.pi, turn)
        result: Floats = np.where(self.is_arc, turn / np.where(span > 0, span, 1.0), line)
        return result

    def distance(self, points: Points) -> Floats:
        """Return the distance from every point to every edge, (n_points, n_edges) [mm]."""
        p, is_arc = points[:, None], self.is_arc
        result = np.empty((len(points), len(self)))
        if not is_arc.all():
            lines = self.lines
            chord = lines.end - lines.start
            away = p - lines.start
            t = (away * chord.conj()).real / np.maximum(np.abs(chord) ** 2, 1e-300)
            result[:, ~is_arc] = np.abs(away - chord * np.clip(t, 0.0, 1.0))
        if is_arc.any():
            arcs = self.arcs
            away, (back, cos_half) = p - arcs.centre, arcs._sectors
            apart = np.abs(away)
            # beside the arc where the direction from the centre is within half the sweep of the arc's middle
            beside = (away * back).real >= apart * cos_half
            to_ends = np.minimum(np.abs(p - arcs.start), np.abs(p - arcs.end))
            result[:, is_arc] = np.where(beside, np.abs(apart - arcs.radius), to_ends)
        return result

    def boxes(self) -> tuple[Floats, Floats, Floats, Floats]:
        """Return exact bounds per edge: x_min, y_min, x_max, y_max [mm]."""
        xs, ys = [self.start.real, self.end.real], [self.start.imag, self.end.imag]
        for quarter in range(4):
            direction = 1j**quarter
            t = self.fraction_of(self.centre + direction)
            point = np.where(self.is_arc & (t > 0) & (t < 1), self.centre + self.radius * direction, self.start)
            xs.append(point.real)
            ys.append(point.imag)
        return np.min(xs, axis=0), np.min(ys, axis=0), np.max(xs, axis=0), np.max(ys, axis=0)

    @staticmethod
    def joined(groups: Iterable[Curves]) -> Curves:
        """Return all edges of several arrays in one."""
        items = list(groups)
        return Curves(
            *(
                np.concatenate([getattr(g, name) for g in items])
                for name in ("start", "end", "centre", "radius", "angle", "sweep")
            )
        )


class Spans:
    """Edges cut where they turn back in y, so that a ray to +x meets each at most once.

    Parameters
    ----------
    curves : Curves
        Closed boundaries; direction does not matter.
    region : (n,) int
        Number of the region that each edge bounds, ascending from 0 without holes.
    """

    def __init__(self, curves: Curves, region: Ints) -> None:
        rows: list[tuple[float, float, float, float, float, float, float]] = []
        owners: list[int] = []
        columns = (curves.start, curves.end, curves.centre, curves.radius, curves.angle, curves.sweep, region)
        for p, q, c, r, a, s, owner in zip(*(column.tolist() for column in columns), strict=True):
            if r == 0.0:
                if p.imag != q.imag:
                    low, high = (p, q) if p.imag < q.imag else (q, p)
                    slope = (high.real - low.real) / (high.imag - low.imag)
                    rows.append((low.imag, high.imag, low.real, slope, 0.0, 0.0, 0.0))
                    owners.append(owner)
                continue
            for low_y, high_y, side in _monotone((p.imag, q.imag), c.imag, r, a, s):
                rows.append((low_y, high_y, c.real, 0.0, c.imag, r, side))
                owners.append(owner)
        order = np.argsort(owners, kind="stable")
        self._rows = np.array(rows, dtype=float).reshape(-1, 7)[order]
        self.n_regions = int(region[-1]) + 1 if len(region) else 0
        self._first = np.searchsorted(np.array(owners)[order], np.arange(self.n_regions))

    def inside(self, points: Points) -> Bools:
        """Return whether each point lies in each region, (n_points, n_regions) bool."""
        low, high, x, slope, cy, r, side = self._rows.T
        px, py = points.real[:, None], points.imag[:, None]
        arc_x = x + side * np.sqrt(np.maximum(r * r - (py - cy) ** 2, 0.0))
        crossing_x = np.where(r > 0, arc_x, x + slope * (py - low))
        crossed = (low <= py) & (py < high) & (crossing_x > px)
        counts = np.add.reduceat(crossed.astype(np.int32), self._first, axis=1)
        result: Bools = counts % 2 == 1
        return result


def curves_of(loops: Sequence[Sequence[Vertex]]) -> Curves:
    """Return the edges of closed loops of (x, y, bulge) vertices, in order; edges without length are left out."""
    if not loops:
        none, zero = np.zeros(0, dtype=complex), np.zeros(0)
        return Curves(none, none, none, zero, zero, zero)
    table = np.concatenate([np.asarray(loop, dtype=float).reshape(-1, 3) for loop in loops])
    start = table[:, 0] + 1j * table[:, 1]
    end = np.concatenate([np.roll(part, -1) for part in np.split(start, np.cumsum([len(v) for v in loops])[:-1])])
    bulge, kept = table[:, 2], start != end
    return arcs_between(start[kept], end[kept], bulge[kept])


def arcs_between(start: Points, end: Points, bulge: Floats) -> Curves:
    """Return edges from their end points and bulges (tangent of a quarter of the included angle)."""
    is_arc = np.abs(bulge) > STRAIGHT
    b = np.where(is_arc, bulge, 1.0)
    chord = end - start
    centre = np.where(is_arc, (start + end) / 2 + 1j * chord * (1 - b * b) / (4 * b), 0.0)
    radius = np.where(is_arc, np.abs(chord) * (1 + b * b) / (4 * np.abs(b)), 0.0)
    angle = np.where(is_arc, np.angle(start - centre), 0.0)
    return Curves(start, end, centre, radius, angle, np.where(is_arc, 4 * np.arctan(bulge), 0.0))


def _monotone(
    ends: tuple[float, float], middle: float, r: float, a: float, s: float
) -> Iterable[tuple[float, float, float]]:
    """Yield y from, y to (ascending) and side (+1 right, -1 left half) of the parts of an arc monotone in y."""
    y, y_end = ends
    if s < 0:
        y, y_end, a, s = y_end, y, a + s, -s
    quarter = np.pi / 2
    turns = int(np.floor((a - quarter) / np.pi)) + 1
    at = a
    while True:
        top = quarter + turns * np.pi
        side = 1.0 if turns % 2 == 0 else -1.0
        y_next = y_end if top >= a + s else middle + side * r
        if y != y_next and at < a + s:
            yield min(y, y_next), max(y, y_next), side
        if top >= a + s:
            return
        y, at, turns = y_next, top, turns + 1
