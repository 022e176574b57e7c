"""Choosing the pieces that bound a region, and joining them into clean closed loops.

Pieces that coincide count once. A piece stays when one side of it is inside and the other is not; it is turned to have
the inside on its left. Dead ends are pruned. Lines that continue one another and arcs about one centre are merged.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from platewright.foundation.errors import GeometryError
from platewright.geometry.crossings import JOIN, Pieces
from platewright.geometry.curves import Bools, Points, Vertex
from platewright.geometry.loops import Loop, loop_area, perimeter

__all__ = ["trace"]

STEP_ASIDE = 3 * JOIN  # distance from a piece at which its two sides are tried: beyond all that coincide with it [mm]
LONGEST_ARC = 1.9 * math.pi  # merged arcs stay below this, so that their bulge is finite [rad]


@dataclass(frozen=True)
class _Edge:
    tail: int
    head: int
    start: complex
    centre: complex
    radius: float
    sweep: float
    leaving: float
    arriving: float


def trace(pieces: Pieces, inside: Callable[[Points], Bools]) -> tuple[Loop, ...]:
    """Return the closed loops that bound a region, the inside on their left.

    Parameters
    ----------
    pieces : Pieces
        Every edge that may bound it.
    inside : callable
        From (n,) complex points [mm] to (n,) bool.

    Raises
    ------
    GeometryError
        If edges remain that close no loop.
    """
    edges = _prune(_chosen(_distinct(pieces), inside))
    points = {edge.tail: edge.start for edge in edges}
    leaving: dict[int, list[_Edge]] = defaultdict(list)
    for edge in edges:
        leaving[edge.tail].append(edge)
    loops = []
    for edge in edges:
        while edge in leaving[edge.tail]:
            loop = _clean(_walk(edge, leaving), points)
            # Slivers thinner than the joining distance are no material and no opening.
            if loop is not None and abs(loop_area(loop)) > JOIN * perimeter(loop):
                loops.append(loop)
    return tuple(sorted(loops, key=lambda item: item.vertices))


def _distinct(pieces: Pieces) -> Pieces:
    """Leave one of those pieces that run between the same points and whose middles are within `JOIN`."""
    seen: dict[tuple[int, int], list[complex]] = defaultdict(list)
    kept = []
    columns = (pieces.tail, pieces.head, pieces.curves.at(0.5))
    for k, (tail, head, middle) in enumerate(zip(*(column.tolist() for column in columns), strict=True)):
        known = seen[min(tail, head), max(tail, head)]
        if all(abs(middle - other) > JOIN for other in known):
            known.append(middle)
            kept.append(k)
    return Pieces(pieces.curves.take(np.array(kept, dtype=np.intp)), pieces.tail[kept], pieces.head[kept])


def _chosen(pieces: Pieces, inside: Callable[[Points], Bools]) -> list[_Edge]:
    curves = pieces.curves
    middle, aside = curves.at(0.5), 1j * curves.tangent(0.5) * STEP_ASIDE
    left, right = inside(middle + aside), inside(middle - aside)
    columns = (
        pieces.tail,
        pieces.head,
        curves.start,
        curves.end,
        curves.centre,
        curves.radius,
        curves.sweep,
        np.angle(curves.tangent(0.0)),
        np.angle(curves.tangent(1.0)),
        left,
        right,
    )
    edges = []
    for a, b, p, q, c, r, s, u, v, on_left, on_right in zip(*(column.tolist() for column in columns), strict=True):
        if on_left and not on_right:
            edges.append(_Edge(a, b, p, c, r, s, u, v))
        elif on_right and not on_left:
            edges.append(_Edge(b, a, q, c, r, -s, v + math.pi, u + math.pi))
    return edges


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
        best = max(choices, key=lambda edge: _left_turn(edge.leaving - came))
        choices.remove(best)
        run.append(best)
    return run


def _left_turn(turn: float) -> float:
    """Return a turn as -pi..pi, turning right back as the last choice [rad]."""
    turn = math.remainder(turn, 2 * math.pi)
    return turn if turn < math.pi - 1e-6 else turn - 2 * math.pi


def _clean(run: list[_Edge], points: dict[int, complex]) -> Loop | None:
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


def _continues(a: _Edge, b: _Edge, points: dict[int, complex]) -> bool:
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
    return _Edge(a.tail, b.head, a.start, a.centre, a.radius, a.sweep + b.sweep, a.leaving, b.arriving)


def _vertex(edge: _Edge, points: dict[int, complex]) -> Vertex:
    p = points[edge.tail]
    return (p.real, p.imag, math.tan(edge.sweep / 4) if edge.radius > 0 else 0.0)
