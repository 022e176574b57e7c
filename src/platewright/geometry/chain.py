"""Loose edges sorted into closed loops, open runs and branches [mm].

Ends nearer than a thousandth of a millimetre are one point. Ends that are then still loose are joined with the nearest
other loose end within the gap tolerance, nearest first, at the middle of the gap. Edges that hang on a loop by one end
are taken off; where more than two edges still meet, nothing is decided.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from platewright.foundation.errors import GeometryError
from platewright.geometry.curves import Floats, Ints, Points, arcs_between
from platewright.geometry.loops import Circle, Loop, Outline, Vertex, circle_loop

__all__ = [
    "Branch",
    "Chains",
    "ClosedChain",
    "Gap",
    "LooseEdge",
    "OpenRun",
    "chain_edges",
    "find_chains",
    "join_points",
    "loose_end_words",
]

LooseEdge = tuple[tuple[float, float], tuple[float, float], float]
SAME = 1e-3  # ends nearer than this are one point, whatever the gap tolerance [mm]


@dataclass(frozen=True)
class ClosedChain:
    """A closed loop and the numbers of its edges."""

    loop: Loop
    edges: tuple[int, ...]


@dataclass(frozen=True)
class OpenRun:
    """Edges that follow one another and do not close: their numbers and both loose ends [mm].

    Parameters
    ----------
    hangs : bool
        One end meets a loop or a branch.
    """

    edges: tuple[int, ...]
    start: complex
    end: complex
    hangs: bool = False


@dataclass(frozen=True)
class Branch:
    """Edges that meet by more than two at some points [mm]."""

    edges: tuple[int, ...]
    points: tuple[tuple[complex, int], ...]


@dataclass(frozen=True)
class Gap:
    """A gap that was closed: its middle and its width [mm]."""

    x: float
    y: float
    width: float


@dataclass(frozen=True)
class Chains:
    """What edges form."""

    closed: tuple[ClosedChain, ...]
    open_runs: tuple[OpenRun, ...]
    branches: tuple[Branch, ...]
    gaps: tuple[Gap, ...]


def find_chains(edges: Sequence[LooseEdge], gap_tol: float) -> Chains:
    """Sort edges, given in any order and direction, into loops, open runs and branches.

    Parameters
    ----------
    edges : sequence of (start, end, bulge)
        Without double edges.
    gap_tol : float
        Loose ends nearer than this are joined [mm].

    Examples
    --------
    >>> found = find_chains([((0, 0), (2, 0), 1.0), ((0, 0.004), (2, 0), -1.0), ((5, 5), (6, 5), 0.0)], 0.01)
    >>> len(found.closed), len(found.open_runs), found.gaps[0].width
    (1, 1, 0.004)
    """
    if not edges:
        return Chains((), (), (), ())
    graph = _Graph(edges, gap_tol)
    for members in graph.components():
        graph.sort(members)
    return Chains(tuple(graph.closed), tuple(graph.open_runs), tuple(graph.branches), graph.gaps)


def chain_edges(edges: Sequence[LooseEdge], gap_tol: float) -> list[Loop]:
    """Return the closed loops that edges form, counter-clockwise, where they form nothing else.

    Parameters
    ----------
    edges : sequence of (start, end, bulge)
        In any order and direction.
    gap_tol : float
        Loose ends nearer than this are joined [mm].

    Raises
    ------
    GeometryError
        If a chain does not close, naming the gap and where; or if more than two edges meet in a point.

    Examples
    --------
    >>> loops = chain_edges([((0, 0), (2, 0), 1.0), ((0, 0), (2, 0), -1.0)], 0.01)
    >>> len(loops), loops[0].vertices[1]
    (1, (2.0, 0.0, 1.0))
    """
    found = find_chains(edges, gap_tol)
    loose = [end for run in found.open_runs for end in ((run.end,) if run.hangs else (run.start, run.end))]
    if loose:
        msg = f"the edges must form closed loops; {loose_end_words(loose, gap_tol)}"
        raise GeometryError(msg)
    for branch in found.branches:
        point, count = branch.points[0]
        msg = f"two edges must meet at {_place(point)} (got {count}); remove double lines there."
        raise GeometryError(msg)
    return [chain.loop for chain in found.closed]


def loose_end_words(loose: Sequence[complex], gap_tol: float) -> str:
    """Say where the first of several loose ends lies and how far the next one is."""
    others = [abs(end - loose[0]) for end in loose[1:]]
    gap = f"the nearest other loose end is {min(others):.4f} mm away" if others else "no other end is loose"
    return (
        f"one ends at {_place(loose[0])} and {gap} (gap tolerance {gap_tol:g} mm); close the gap in the drawing or "
        "allow a larger one."
    )


def join_points(points: Points, tolerance: float) -> Ints:
    """Return a number per point, the same for all in a chain of neighbours nearer than `tolerance`."""
    pairs = cKDTree(np.column_stack([points.real, points.imag])).query_pairs(tolerance, output_type="ndarray")
    n = len(points)
    links = coo_matrix((np.ones(len(pairs), dtype=bool), (pairs[:, 0], pairs[:, 1])), shape=(n, n))
    _, number = connected_components(links, directed=False)
    result: Ints = number.astype(np.intp)
    return result


class _Graph:
    """Edges between numbered points."""

    def __init__(self, edges: Sequence[LooseEdge], gap_tol: float) -> None:
        table = np.array([(*start, *end, bulge) for start, end, bulge in edges], dtype=float)
        self._start, self._end = table[:, 0] + 1j * table[:, 1], table[:, 2] + 1j * table[:, 3]
        self._bulge: Floats = table[:, 4]
        ends = np.concatenate([self._start, self._end])
        number = join_points(ends, min(SAME, gap_tol))
        _, first = np.unique(number, return_index=True)
        number, places, self.gaps = _close_gaps(number, ends[first], gap_tol)
        n = len(edges)
        self._points: list[complex] = places.tolist()
        self._tail, self._head = number[:n].tolist(), number[n:].tolist()
        self._number = number
        self._at: dict[int, list[int]] = defaultdict(list)
        for k, (tail, head) in enumerate(zip(self._tail, self._head, strict=True)):
            self._at[tail].append(k)
            self._at[head].append(k)
        self.closed: list[ClosedChain] = []
        self.open_runs: list[OpenRun] = []
        self.branches: list[Branch] = []

    def components(self) -> list[list[int]]:
        """Return the edges of each connected piece, in the order of their first edge."""
        n, m = len(self._tail), len(self._points)
        links = coo_matrix((np.ones(n, dtype=bool), (self._tail, self._head)), shape=(m, m))
        _, label = connected_components(links, directed=False)
        groups: dict[int, list[int]] = {}
        for k, piece in enumerate(label[self._number[:n]].tolist()):
            groups.setdefault(piece, []).append(k)
        return list(groups.values())

    def sort(self, members: list[int]) -> None:
        """Put one piece where it belongs."""
        rings = [k for k in members if self._tail[k] == self._head[k]]
        for k in rings:
            self._ring(k)
        members = [k for k in members if self._tail[k] != self._head[k]]
        degree = self._degrees(members)
        if max(degree.values(), default=0) > 2:
            members = self._without_tails(members, degree)
            degree = self._degrees(members)
        junctions = tuple((self._points[n], d) for n, d in sorted(degree.items()) if d > 2)
        if junctions:
            self.branches.append(Branch(tuple(members), junctions))
        elif members:
            self._walk(set(members), degree)

    def _ring(self, edge: int) -> None:
        """Take an arc that runs nearly all round as a circle; a line without length is dropped."""
        if abs(self._bulge[edge]) <= 1:
            return
        one = slice(edge, edge + 1)
        arc = arcs_between(self._start[one], self._end[one], self._bulge[one])
        centre, radius = complex(arc.centre[0]), float(arc.radius[0])
        self.closed.append(ClosedChain(circle_loop(Circle(centre.real, centre.imag, radius)), (edge,)))

    def _degrees(self, members: Sequence[int]) -> dict[int, int]:
        degree: dict[int, int] = defaultdict(int)
        for k in members:
            degree[self._tail[k]] += 1
            degree[self._head[k]] += 1
        return degree

    def _without_tails(self, members: list[int], degree: dict[int, int]) -> list[int]:
        """Take off what hangs on the piece by one end, as open runs that begin where they hang."""
        left = set(members)
        for node in deque(n for n, d in degree.items() if d == 1):
            here, run = node, []
            while degree[here] == 1:
                edge = next((k for k in self._at[here] if k in left), None)
                if edge is None:
                    break
                left.discard(edge)
                run.append(edge)
                degree[here] -= 1
                here = self._head[edge] if self._tail[edge] == here else self._tail[edge]
                degree[here] -= 1
            if run:
                self.open_runs.append(OpenRun(tuple(run), self._points[here], self._points[node], hangs=True))
        return [k for k in members if k in left]

    def _walk(self, members: set[int], degree: dict[int, int]) -> None:
        """Follow edges from each loose end, then round what is left; after tails were taken off all rings are apart."""
        for node in [n for n, d in degree.items() if d == 1]:
            start = next((k for k in self._at[node] if k in members), None)
            if start is not None:
                path, _, last = self._follow(start, node, members)
                self.open_runs.append(OpenRun(tuple(path), self._points[node], self._points[last]))
        for first in sorted(members):
            if first in members:
                path, vertices, _ = self._follow(first, self._tail[first], members)
                self.closed.append(ClosedChain(Outline(Loop(tuple(vertices))).outer, tuple(path)))

    def _follow(self, edge: int, here: int, members: set[int]) -> tuple[list[int], list[Vertex], int]:
        path, vertices = [], []
        following: int | None = edge
        while following is not None:
            members.discard(following)
            forward = self._tail[following] == here
            point, bulge = self._points[here], float(self._bulge[following])
            path.append(following)
            vertices.append((point.real, point.imag, bulge if forward else -bulge))
            here = self._head[following] if forward else self._tail[following]
            following = next((k for k in self._at[here] if k in members), None)
        return path, vertices, here


def _close_gaps(number: Ints, places: Points, gap_tol: float) -> tuple[Ints, Points, tuple[Gap, ...]]:
    """Give loose ends within the tolerance of one another one number, each at most once, nearest first."""
    degree = np.bincount(number, minlength=len(places))
    loose = np.nonzero(degree == 1)[0]
    if len(loose) < 2:
        return number, places, ()
    z = places[loose]
    pairs = cKDTree(np.column_stack([z.real, z.imag])).query_pairs(gap_tol, output_type="ndarray")
    width = np.abs(z[pairs[:, 0]] - z[pairs[:, 1]])
    renamed, places, gaps = np.arange(len(places)), places.copy(), []
    used: set[int] = set()
    for k in np.lexsort((pairs[:, 1], pairs[:, 0], width)).tolist():
        one, other = (int(loose[j]) for j in pairs[k])
        if one in used or other in used:
            continue
        used |= {one, other}
        middle = complex(places[one] + places[other]) / 2
        renamed[other], places[one] = one, middle
        gaps.append(Gap(middle.real, middle.imag, float(width[k])))
    return renamed[number], places, tuple(gaps)


def _place(point: complex) -> str:
    return f"({point.real:.3f}, {point.imag:.3f}) mm"
