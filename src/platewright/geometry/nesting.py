"""Closed loops nested into plates: which loop lies within which [mm].

Loops are compared as chords within 2 um of their arcs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from platewright.foundation.errors import GeometryError
from platewright.geometry.curves import curves_of
from platewright.geometry.loops import Circle, Loop, Outline
from platewright.geometry.shapes import circle_of

__all__ = ["Meeting", "boxes_of", "nest_loops", "plate_of", "rings_of", "self_crossing", "surrounding"]

_CHORD = 2e-3  # distance of chords from their arcs [mm]


@dataclass(frozen=True)
class Meeting:
    """Two loops, by number, that cross or touch, and a point where they do [mm]."""

    first: int
    second: int
    x: float
    y: float


def nest_loops(loops: Sequence[Loop]) -> list[Outline]:
    """Return plates with their openings, by which loop lies within which; an island within an opening is a plate again.

    Raises
    ------
    GeometryError
        If two loops cross or touch, naming where.
    """
    around, meetings = surrounding(rings_of(loops))
    for met in meetings:
        msg = f"closed loops must not cross or touch; two of them meet at ({met.x:.3f}, {met.y:.3f}) mm; part them."
        raise GeometryError(msg)
    inside: list[list[int]] = [[] for _ in loops]
    for k, outer in enumerate(around):
        for j in outer:
            if len(around[j]) == len(outer) - 1:
                inside[j].append(k)
    return [plate_of(loops[k], [loops[j] for j in inside[k]]) for k in range(len(loops)) if len(around[k]) % 2 == 0]


def plate_of(outer: Loop, openings: Sequence[Loop]) -> Outline:
    """Return a plate; openings that are circles become circles."""
    circles = [circle_of(opening) for opening in openings]
    inner = tuple(o for o, c in zip(openings, circles, strict=True) if c is None)
    rounds: tuple[Circle, ...] = tuple(c for c in circles if c is not None)
    return Outline(outer, inner, rounds)


def rings_of(loops: Sequence[Loop], chord: float = _CHORD) -> list[shapely.LinearRing]:
    """Return the loops as rings of chords within `chord` of the arcs [mm]."""
    if not loops:
        return []
    edges = curves_of([loop.vertices for loop in loops])
    owner = np.repeat(np.arange(len(loops)), [_edge_count(loop) for loop in loops])
    ratio = np.clip(1 - chord / np.maximum(edges.radius, chord), -1.0, 1.0)
    n = np.maximum(np.ceil(np.abs(edges.sweep) / np.maximum(2 * np.arccos(ratio), 0.01) - 1e-9), 1).astype(np.intp)
    n = np.where(edges.is_arc, np.maximum(n, 2), 1)  # two half turns are a ring too
    edge = np.repeat(np.arange(len(n)), n)
    points = edges.take(edge).at((np.arange(len(edge)) - np.repeat(np.cumsum(n) - n, n)) / n[edge])
    rings: list[shapely.LinearRing] = list(
        shapely.linearrings(np.column_stack([points.real, points.imag]), indices=owner[edge])
    )
    return rings


def boxes_of(loops: Sequence[Loop]) -> list[tuple[float, float, float, float]]:
    """Return x_min, y_min, x_max, y_max of each loop [mm], exact on arcs."""
    if not loops:
        return []
    first = np.cumsum([0, *(_edge_count(loop) for loop in loops[:-1])])
    x0, y0, x1, y1 = curves_of([loop.vertices for loop in loops]).boxes()
    columns = [
        f.reduceat(v, first).tolist()
        for f, v in ((np.minimum, x0), (np.minimum, y0), (np.maximum, x1), (np.maximum, y1))
    ]
    return list(zip(*columns, strict=True))


def self_crossing(ring: shapely.LinearRing) -> tuple[float, float] | None:
    """Return a point where a ring meets itself [mm], or None."""
    if shapely.is_simple(ring):
        return None
    points = shapely.get_coordinates(ring)
    parts = shapely.linestrings(np.stack([points[:-1], points[1:]], axis=1))
    tree = shapely.STRtree(parts)
    count = len(parts)
    for i, j in zip(*tree.query(parts, predicate="intersects").tolist(), strict=True):
        if j > i and (j - i) % count not in (0, 1, count - 1):
            x, y = shapely.get_coordinates(shapely.intersection(parts[i], parts[j]))[0].tolist()
            return x, y
    x, y = points[0].tolist()
    return x, y


def surrounding(rings: Sequence[shapely.LinearRing]) -> tuple[list[list[int]], list[Meeting]]:
    """Return, per ring, the rings round it, ascending; and the pairs that cross or touch."""
    if not rings:
        return [], []
    lines = np.array(rings, dtype=object)
    tree = shapely.STRtree(lines)
    first, second = tree.query(lines, predicate="intersects")
    meetings = []
    for i, j in zip(first[first < second].tolist(), second[first < second].tolist(), strict=True):
        x, y = shapely.get_coordinates(shapely.intersection(rings[i], rings[j]))[0].tolist()
        meetings.append(Meeting(i, j, x, y))
    starts = shapely.get_point(lines, 0)
    outer, inner = shapely.STRtree(starts).query(shapely.polygons(lines), predicate="contains")
    around: list[list[int]] = [[] for _ in rings]
    for j, k in sorted(zip(outer.tolist(), inner.tolist(), strict=True)):
        if j != k:
            around[k].append(j)
    return around, meetings


def _edge_count(loop: Loop) -> int:
    ends = (*loop.vertices[1:], loop.vertices[0])
    return sum(v[:2] != w[:2] for v, w in zip(loop.vertices, ends, strict=True))
