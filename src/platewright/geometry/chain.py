"""Loose edges joined into closed loops, and closed loops nested into plates [mm]."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np

from platewright.foundation.errors import GeometryError
from platewright.geometry.crossings import crossing_points
from platewright.geometry.curves import Curves, Spans, Vertex, curves_of
from platewright.geometry.loops import Circle, Loop, Outline
from platewright.geometry.shapes import circle_of

__all__ = ["LooseEdge", "chain_edges", "nest_loops"]

LooseEdge = tuple[tuple[float, float], tuple[float, float], float]


def chain_edges(edges: Sequence[LooseEdge], gap_tol: float) -> list[Loop]:
    """Return the closed loops that edges form, counter-clockwise.

    Parameters
    ----------
    edges : sequence of (start, end, bulge)
        In any order and direction.
    gap_tol : float
        Ends nearer than this are one point [mm].

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
    points, ends = _joined_ends(edges, gap_tol)
    at: dict[int, list[int]] = defaultdict(list)
    for k, (tail, head) in enumerate(ends):
        at[tail].append(k)
        at[head].append(k)
    _check_degrees(points, at, gap_tol)
    loops, unused = [], set(range(len(edges)))
    for first in range(len(edges)):
        if first not in unused:
            continue
        unused.discard(first)
        tail, here = ends[first]
        vertices = [_vertex(points[tail], edges[first][2])]
        edge = first
        while here != tail:
            edge = next(k for k in at[here] if k != edge)
            unused.discard(edge)
            forward = ends[edge][0] == here
            vertices.append(_vertex(points[here], edges[edge][2] if forward else -edges[edge][2]))
            here = ends[edge][1] if forward else ends[edge][0]
        loops.append(Outline(Loop(tuple(vertices))).outer)
    return loops


def nest_loops(loops: Sequence[Loop]) -> list[Outline]:
    """Return plates with their openings, by which loop lies within which; an island within an opening is a plate again.

    Raises
    ------
    GeometryError
        If two loops cross or touch, naming where.
    """
    edges = [curves_of([loop.vertices]) for loop in loops]
    _check_apart(edges)
    around: list[list[int]] = []
    for k, curves in enumerate(edges):
        around.append([j for j in range(len(loops)) if j != k and _holds(edges[j], complex(curves.start[0]))])
    plates: list[Outline] = []
    for k, loop in enumerate(loops):
        if len(around[k]) % 2:
            continue
        openings = [loops[j] for j in range(len(loops)) if k in around[j] and len(around[j]) == len(around[k]) + 1]
        circles = [circle_of(opening) for opening in openings]
        inner = tuple(o for o, c in zip(openings, circles, strict=True) if c is None)
        rounds: tuple[Circle, ...] = tuple(c for c in circles if c is not None)
        plates.append(Outline(loop, inner, rounds))
    return plates


def _joined_ends(edges: Sequence[LooseEdge], gap_tol: float) -> tuple[list[complex], list[tuple[int, int]]]:
    points: list[complex] = []

    def number(p: tuple[float, float]) -> int:
        point = complex(*p)
        if points:
            distance = np.abs(np.array(points) - point)
            nearest = int(distance.argmin())
            if distance[nearest] <= gap_tol:
                return nearest
        points.append(point)
        return len(points) - 1

    return points, [(number(start), number(end)) for start, end, _ in edges]


def _check_degrees(points: list[complex], at: dict[int, list[int]], gap_tol: float) -> None:
    loose = [n for n in sorted(at) if len(at[n]) == 1]
    for n in loose:
        others = [abs(points[m] - points[n]) for m in loose if m != n]
        gap = f"the nearest other loose end is {min(others):.4f} mm away" if others else "no other end is loose"
        msg = (
            f"the edges must form closed loops; one ends at {_place(points[n])} and {gap} "
            f"(gap tolerance {gap_tol:g} mm); close the gap in the drawing or allow a larger one."
        )
        raise GeometryError(msg)
    for n in sorted(at):
        if len(at[n]) > 2:
            msg = f"two edges must meet at {_place(points[n])} (got {len(at[n])}); remove double lines there."
            raise GeometryError(msg)


def _check_apart(edges: Sequence[Curves]) -> None:
    for k, one in enumerate(edges):
        for other in edges[:k]:
            met = crossing_points(one, other)
            if len(met):
                msg = f"closed loops must not cross or touch; two of them meet at {_place(complex(met[0]))}; part them."
                raise GeometryError(msg)


def _holds(loop: Curves, point: complex) -> bool:
    return bool(Spans(loop, np.zeros(len(loop), dtype=np.intp)).inside(np.array([point]))[0, 0])


def _place(point: complex) -> str:
    return f"({point.real:.3f}, {point.imag:.3f}) mm"


def _vertex(point: complex, bulge: float) -> Vertex:
    return (point.real, point.imag, bulge)
