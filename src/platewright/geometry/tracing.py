"""Joining directed edges into clean closed loops.

End points within `JOIN` become one; edges that coincide count once, or not at all when they run against each other;
dead ends are pruned. Lines that continue one another and arcs about one centre are merged.
"""

from __future__ import annotations

import cmath
import math
from collections import defaultdict
from dataclasses import dataclass

from platewright.foundation.errors import GeometryError
from platewright.geometry.crossings import JOIN
from platewright.geometry.curves import Curves, Vertex
from platewright.geometry.loops import Loop, loop_area, perimeter

__all__ = ["trace"]

LONGEST_ARC = 1.9 * math.pi  # merged arcs stay below this, so that their bulge is finite [rad]


@dataclass(frozen=True)
class _Edge:
    tail: int
    head: int
    centre: complex
    radius: float
    sweep: float
    middle: complex
    leaving: float
    arriving: float


def trace(curves: Curves) -> tuple[Loop, ...]:
    """Return the closed loops that the directed edges form.

    Raises
    ------
    GeometryError
        If edges remain that close no loop.
    """
    points, edges = _joined(curves)
    edges = _prune(_cancel(edges))
    leaving: dict[int, list[_Edge]] = defaultdict(list)
    for edge in edges:
        leaving[edge.tail].append(edge)
    loops = []
    for edge in edges:
        while edge in leaving[edge.tail]:
            run = _walk(edge, leaving)
            loop = _clean(run, points)
            # Slivers thinner than the joining distance are no material and no opening.
            if loop is not None and abs(loop_area(loop)) > JOIN * perimeter(loop):
                loops.append(loop)
    return tuple(sorted(loops, key=lambda item: item.vertices))


def _joined(curves: Curves) -> tuple[list[complex], list[_Edge]]:
    points: list[complex] = []
    cells: dict[tuple[int, int], list[int]] = defaultdict(list)

    def number(point: complex) -> int:
        i, j = math.floor(point.real / JOIN), math.floor(point.imag / JOIN)
        for cell in [(i + di, j + dj) for di in (-1, 0, 1) for dj in (-1, 0, 1)]:
            for known in cells.get(cell, ()):
                if abs(points[known] - point) <= JOIN:
                    return known
        points.append(point)
        cells[i, j].append(len(points) - 1)
        return len(points) - 1

    columns = (
        curves.start,
        curves.end,
        curves.centre,
        curves.radius,
        curves.sweep,
        curves.at(0.5),
        curves.tangent(0.0),
        curves.tangent(1.0),
    )
    edges = []
    for p, q, c, r, s, m, u, v in zip(*(column.tolist() for column in columns), strict=True):
        tail, head = number(p), number(q)
        if tail != head:
            edges.append(_Edge(tail, head, c, r, s, m, cmath.phase(u), cmath.phase(v)))
    return points, edges


def _cancel(edges: list[_Edge]) -> list[_Edge]:
    groups: dict[tuple[int, int], list[list[_Edge]]] = defaultdict(list)
    for edge in edges:
        key = (min(edge.tail, edge.head), max(edge.tail, edge.head))
        for bundle in groups[key]:
            if abs(bundle[0].middle - edge.middle) < 2 * JOIN:
                bundle.append(edge)
                break
        else:
            groups[key].append([edge])
    kept = []
    for bundles in groups.values():
        for bundle in bundles:
            if all(edge.tail == bundle[0].tail for edge in bundle):
                kept.append(bundle[0])
    return kept


def _prune(edges: list[_Edge]) -> list[_Edge]:
    while True:
        tails, heads = {e.tail for e in edges}, {e.head for e in edges}
        kept = [e for e in edges if e.head in tails and e.tail in heads]
        if len(kept) == len(edges):
            return kept
        edges = kept


def _walk(first: _Edge, leaving: dict[int, list[_Edge]]) -> list[_Edge]:
    """Follow edges from `first` back to its tail, turning left where material meets in a point."""
    run = [first]
    leaving[first.tail].remove(first)
    while run[-1].head != first.tail:
        choices = leaving[run[-1].head]
        if not choices:
            msg = (
                "outline edges close no loop; move the features that just touch one another, "
                "or change the fillet radius a little."
            )
            raise GeometryError(msg)
        came = run[-1].arriving
        best = max(choices, key=lambda edge: math.remainder(edge.leaving - came, 2 * math.pi))
        choices.remove(best)
        run.append(best)
    return run


def _clean(run: list[_Edge], points: list[complex]) -> Loop | None:
    merged: list[_Edge] = []
    for edge in run:
        if merged and _continues(merged[-1], edge, points):
            merged[-1] = _merge(merged[-1], edge)
        else:
            merged.append(edge)
    while len(merged) > 2 and _continues(merged[-1], merged[0], points):
        merged[0] = _merge(merged.pop(), merged[0])
    if len(merged) < 2:
        return None
    vertices = [_vertex(edge, points) for edge in merged]
    first = min(range(len(vertices)), key=lambda i: (round(vertices[i][0], 6), round(vertices[i][1], 6)))
    return Loop(tuple(vertices[first:] + vertices[:first]))


def _continues(a: _Edge, b: _Edge, points: list[complex]) -> bool:
    if a.head != b.tail or a.tail == b.head:
        return False
    if a.radius == 0 and b.radius == 0:
        chord = points[b.head] - points[a.tail]
        off = points[a.head] - points[a.tail]
        along = (off * chord.conjugate()).real / abs(chord)
        return abs((off * chord.conjugate()).imag) / abs(chord) < JOIN and 0 < along < abs(chord)
    return (
        a.radius > 0
        and b.radius > 0
        and abs(a.centre - b.centre) < JOIN
        and abs(a.radius - b.radius) < JOIN
        and a.sweep * b.sweep > 0
        and abs(a.sweep + b.sweep) < LONGEST_ARC
    )


def _merge(a: _Edge, b: _Edge) -> _Edge:
    return _Edge(a.tail, b.head, a.centre, a.radius, a.sweep + b.sweep, a.middle, a.leaving, b.arriving)


def _vertex(edge: _Edge, points: list[complex]) -> Vertex:
    p = points[edge.tail]
    return (p.real, p.imag, math.tan(edge.sweep / 4) if edge.radius > 0 else 0.0)
