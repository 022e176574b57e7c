"""Edges drawn twice, wholly or in part, made one [mm]."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.spatial import cKDTree

from platewright.geometry.chain import SAME, LooseEdge, join_points
from platewright.geometry.curves import STRAIGHT, Floats, arcs_between
from platewright.geometry.loops import Circle

__all__ = ["Tidied", "distinct_circles", "tidy_edges"]

_SAGITTA = 0.01  # edges between the same points whose heights over the chord are nearer than this are one edge [mm]


@dataclass(frozen=True)
class Tidied:
    """Edges without doubles.

    Parameters
    ----------
    edges : tuple of LooseEdge
        Each once.
    sources : tuple of int
        For each edge, the number of a given edge that it comes from.
    circles : tuple of (Circle, int)
        Circles that pieces of arcs closed, with the number of a piece.
    doubles : int
        Edges left out because another runs from end to end with them [-].
    merged : int
        Edges made longer ones because they overlapped in part [-].
    specks : int
        Edges without length [-].
    """

    edges: tuple[LooseEdge, ...]
    sources: tuple[int, ...]
    circles: tuple[tuple[Circle, int], ...]
    doubles: int
    merged: int
    specks: int


def tidy_edges(edges: Sequence[LooseEdge]) -> Tidied:
    """Return edges with doubles left out, overlapping straight pieces and overlapping arcs joined.

    Examples
    --------
    >>> tidy_edges([((0, 0), (6, 0), 0.0), ((10, 0), (5, 0), 0.0), ((6, 0), (0, 0), 0.0)]).edges
    (((0.0, 0.0), (10.0, 0.0), 0.0),)
    """
    if not edges:
        return Tidied((), (), (), 0, 0, 0)
    table = np.array([(*start, *end, bulge) for start, end, bulge in edges], dtype=float)
    number = join_points(np.concatenate([table[:, 0] + 1j * table[:, 1], table[:, 2] + 1j * table[:, 3]]), SAME)
    tail, head = np.split(number, 2)
    speck = (tail == head) & (np.abs(table[:, 4]) < 1)
    sagitta = table[:, 4] * np.hypot(table[:, 2] - table[:, 0], table[:, 3] - table[:, 1]) / 2
    height = np.round(np.where(tail < head, sagitta, -sagitta) / _SAGITTA).astype(np.intp)
    keys = np.column_stack([np.minimum(tail, head), np.maximum(tail, head), height])
    keys[tail == head, 2] = np.nonzero(tail == head)[0]  # nearly whole circles stay apart here
    _, first = np.unique(keys, axis=0, return_index=True)
    kept = np.sort(first[~speck[first]])
    doubles = len(edges) - len(first)
    groups, circles = _Overlaps(table[kept]).groups()
    made = [(edge, int(kept[k])) for edge, k in groups]
    merged = len(kept) - len(made) - len(circles)
    return Tidied(
        tuple(edge for edge, _ in made),
        tuple(source for _, source in made),
        tuple((circle, int(kept[k])) for circle, k in circles),
        doubles,
        merged,
        int(speck[first].sum()),
    )


def distinct_circles(circles: Sequence[Circle]) -> list[int]:
    """Return the numbers of circles that are not the same as an earlier one."""
    if not circles:
        return []
    table = np.array([(c.x, c.y, c.radius) for c in circles])
    later = cKDTree(table).query_pairs(SAME, output_type="ndarray")
    doubled = set(later.max(axis=1).tolist()) if len(later) else set()
    return [k for k in range(len(circles)) if k not in doubled]


class _Overlaps:
    """Finds edges on one line or circle that overlap by more than a point."""

    def __init__(self, table: Floats) -> None:
        self._table = table
        self._start, self._end = table[:, 0] + 1j * table[:, 1], table[:, 2] + 1j * table[:, 3]
        self._arc = np.abs(table[:, 4]) > STRAIGHT

    def groups(self) -> tuple[list[tuple[LooseEdge, int]], list[tuple[Circle, int]]]:
        """Return edges with the number of one of their own, and circles likewise."""
        made: dict[int, LooseEdge] = {}
        circles: list[tuple[Circle, int]] = []
        gone: set[int] = set()
        for group in self._line_groups():
            first = min(group)
            gone |= set(group)
            made[first] = self._joined_lines(group)
        for group in self._arc_groups():
            gone |= set(group)
            for edge, circle in self._joined_arcs(group):
                if circle is not None:
                    circles.append((circle, group[0]))
                elif edge is not None:
                    k = next(k for k in group if k not in made)
                    made[k] = edge
        for k, row in enumerate(self._table.tolist()):
            if k not in gone:
                made[k] = ((row[0], row[1]), (row[2], row[3]), row[4])
        return [(made[k], k) for k in sorted(made)], circles

    def _line_groups(self) -> list[list[int]]:
        lines = np.nonzero(~self._arc)[0]
        if len(lines) < 2:
            return []
        ends = np.concatenate([self._start[lines], self._end[lines]])
        coordinates = np.stack([self._start[lines], self._end[lines]], axis=1)
        shapes = shapely.linestrings(np.stack([coordinates.real, coordinates.imag], axis=2))
        points = shapely.points(np.column_stack([ends.real, ends.imag]))
        whose, passed = shapely.STRtree(shapes).query(points, predicate="dwithin", distance=SAME)
        own = lines[whose % len(lines)]
        other = lines[passed]
        pairs = np.unique(np.column_stack([own, other])[own != other], axis=0)
        if not len(pairs):
            return []
        f, g = self._longer_first(pairs)
        along = (self._end[f] - self._start[f]) / np.abs(self._end[f] - self._start[f])
        a, b = (self._start[g] - self._start[f]) / along, (self._end[g] - self._start[f]) / along
        low, high = np.minimum(a.real, b.real), np.maximum(a.real, b.real)
        shared = np.minimum(high, np.abs(self._end[f] - self._start[f])) - np.maximum(low, 0.0)
        good = (np.abs(a.imag) < SAME) & (np.abs(b.imag) < SAME) & (shared > SAME)
        return _united(zip(f[good].tolist(), g[good].tolist(), strict=True))

    def _longer_first(self, pairs: Floats) -> tuple[Floats, Floats]:
        one, other = pairs[:, 0], pairs[:, 1]
        length = np.abs(self._end - self._start)
        swap = length[one] < length[other]
        return np.where(swap, other, one), np.where(swap, one, other)

    def _joined_lines(self, group: list[int]) -> LooseEdge:
        longest = max(group, key=lambda k: abs(self._end[k] - self._start[k]))
        along = self._end[longest] - self._start[longest]
        ends = [complex(z) for k in group for z in (self._start[k], self._end[k])]
        ordered = sorted(ends, key=lambda z: ((z - self._start[longest]) / along).real)
        return (ordered[0].real, ordered[0].imag), (ordered[-1].real, ordered[-1].imag), 0.0

    def _arc_groups(self) -> list[list[int]]:
        """Arcs of one circle, all of it; whether they overlap is seen when they are joined."""
        arcs = np.nonzero(self._arc)[0]
        if len(arcs) < 2:
            return []
        curves = arcs_between(self._start[arcs], self._end[arcs], self._table[arcs, 4])
        places = np.column_stack([curves.centre.real, curves.centre.imag, curves.radius])
        pairs = cKDTree(places).query_pairs(SAME, output_type="ndarray")
        groups = _united(zip(arcs[pairs[:, 0]].tolist(), arcs[pairs[:, 1]].tolist(), strict=True))
        return [group for group in groups if self._overlapping(group)]

    def _overlapping(self, group: list[int]) -> bool:
        intervals, radius, _ = self._intervals(group)
        slack = SAME / radius
        total = sum(b - a for a, b in intervals)
        covered = sum(b - a for a, b in _merged(intervals, -slack))
        return total - covered > slack

    def _joined_arcs(self, group: list[int]) -> list[tuple[LooseEdge | None, Circle | None]]:
        intervals, radius, centre = self._intervals(group)
        slack = SAME / radius
        merged = _merged(intervals, -slack)
        made: list[tuple[LooseEdge | None, Circle | None]] = []
        for a, b in merged:
            if b - a > 2 * math.pi - slack:
                return [(None, Circle(centre.real, centre.imag, radius))]
            p, q = (centre + radius * complex(math.cos(t), math.sin(t)) for t in (a, b))
            made.append((((p.real, p.imag), (q.real, q.imag), math.tan((b - a) / 4)), None))
        return made

    def _intervals(self, group: list[int]) -> tuple[list[tuple[float, float]], float, complex]:
        curves = arcs_between(self._start[group], self._end[group], self._table[group, 4])
        low = np.where(curves.sweep > 0, curves.angle, curves.angle + curves.sweep) % (2 * math.pi)
        intervals = [(a, a + s) for a, s in zip(low.tolist(), np.abs(curves.sweep).tolist(), strict=True)]
        return intervals, float(curves.radius[0]), complex(curves.centre[0])


def _merged(intervals: Sequence[tuple[float, float]], reach: float) -> list[tuple[float, float]]:
    """Join turning intervals [rad] that overlap by more than -`reach`, also across a whole turn."""
    turn = 2 * math.pi
    made: list[tuple[float, float]] = []
    for a, b in sorted(intervals):
        if made and a < made[-1][1] + reach:
            made[-1] = (made[-1][0], max(made[-1][1], b))
        else:
            made.append((a, b))
    if len(made) > 1 and made[-1][1] - turn > made[0][0] - reach:
        first = made.pop(0)
        made[-1] = (made[-1][0], max(made[-1][1], first[1] + turn))
    return [(a, min(b, a + turn)) for a, b in made]


def _united(pairs: Iterable[tuple[int, int]]) -> list[list[int]]:
    """Return groups of numbers that pairs tie together."""
    parent: dict[int, int] = {}

    def root(k: int) -> int:
        parent.setdefault(k, k)
        while parent[k] != k:
            parent[k] = parent[parent[k]]
            k = parent[k]
        return k

    for a, b in pairs:
        one, other = sorted((root(a), root(b)))
        parent[other] = one
    groups: dict[int, list[int]] = defaultdict(list)
    for k in sorted(parent):
        groups[root(k)].append(k)
    return list(groups.values())
