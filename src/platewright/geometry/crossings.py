"""Where lines and arcs meet, and their division at every meeting point.

Two edges meet where they cross, where one ends on the other, where they touch within `JOIN`, and all along where they
coincide; coinciding edges are divided at each other's ends.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from platewright.geometry.curves import Bools, Curves, Floats, Ints, Points

__all__ = ["JOIN", "Pieces", "crossing_points", "divide"]

JOIN = 1e-6  # points nearer than this are one point [mm]


@dataclass(frozen=True)
class Pieces:
    """Edges between the numbered points where edges meet.

    Parameters
    ----------
    curves : Curves
        The pieces; equal points are the same number to the last bit.
    tail, head : (n,) int
        Numbers of the points at start and end, never the same.
    """

    curves: Curves
    tail: Ints
    head: Ints


def divide(curves: Curves) -> Pieces:
    """Return the edges cut at every point where they meet another, points within `JOIN` of one another made one."""
    first, second = _near_pairs(curves, curves)
    first, second = first[first < second], second[first < second]
    i, j, met = _meetings(curves.take(first), curves.take(second))
    n = np.arange(len(curves))
    who = np.concatenate([n, n, first[i], second[j]])
    where = np.concatenate([curves.start, curves.end, met, met])
    number, points = _joined(where)
    # An edge that passes a point within JOIN goes through it.
    at, passing = np.nonzero(curves.distance(points) < JOIN)
    who, number = np.concatenate([who, passing]), np.concatenate([number, at])
    where = np.concatenate([where, points[at]])
    fraction = np.clip(curves.take(who).fraction_of(where), 0.0, 1.0)
    fraction[: len(n)], fraction[len(n) : 2 * len(n)] = 0.0, 1.0
    order = np.lexsort((fraction, who))
    who, fraction, number = who[order], fraction[order], number[order]
    a = np.nonzero((who[1:] == who[:-1]) & (number[1:] != number[:-1]))[0]
    own, f0, f1 = curves.take(who[a]), fraction[a], fraction[a + 1]
    tail, head = number[a], number[a + 1]
    angle, sweep = own.angle + own.sweep * f0, own.sweep * (f1 - f0)
    return Pieces(Curves(points[tail], points[head], own.centre, own.radius, angle, sweep), tail, head)


def crossing_points(one: Curves, other: Curves) -> Points:
    """Return every point where an edge of `one` meets an edge of `other`; coinciding edges give their ends."""
    first, second = _near_pairs(one, other)
    _, _, points = _meetings(one.take(first), other.take(second))
    on_other = other.start[(one.distance(other.start) < JOIN).any(axis=1)]
    on_one = one.start[(other.distance(one.start) < JOIN).any(axis=1)]
    return np.concatenate([points, on_other, on_one])


def _joined(points: Points) -> tuple[Ints, Points]:
    """Return a number per point, the same for all in a chain of neighbours within `JOIN`, and one place per number."""
    cells: dict[tuple[int, int], list[int]] = defaultdict(list)
    parent = list(range(len(points)))

    def root(k: int) -> int:
        while parent[k] != k:
            parent[k] = parent[parent[k]]
            k = parent[k]
        return k

    for k, point in enumerate(points.tolist()):
        i, j = math.floor(point.real / JOIN), math.floor(point.imag / JOIN)
        for cell in [(i + di, j + dj) for di in (-1, 0, 1) for dj in (-1, 0, 1)]:
            for other in cells.get(cell, ()):
                if abs(points[other] - point) <= JOIN:
                    a, b = sorted((root(k), root(other)))
                    parent[b] = a
        cells[i, j].append(k)
    first, number = np.unique([root(k) for k in range(len(points))], return_inverse=True)
    return number.astype(np.intp), points[first]


def _near_pairs(one: Curves, other: Curves) -> tuple[Ints, Ints]:
    a, b = one.boxes(), other.boxes()
    near: Bools = (
        (a[0][:, None] <= b[2] + JOIN)
        & (a[2][:, None] >= b[0] - JOIN)
        & (a[1][:, None] <= b[3] + JOIN)
        & (a[3][:, None] >= b[1] - JOIN)
    )
    rows, columns = np.nonzero(near)
    return rows, columns


def _meetings(a: Curves, b: Curves) -> tuple[Ints, Ints, Points]:
    """Return row numbers (twice the same) and points where row i of `a` meets row i of `b`."""
    rows: list[Ints] = []
    points: list[Points] = []
    for mask, solve, swap in (
        (~a.is_arc & ~b.is_arc, _line_line, False),
        (~a.is_arc & b.is_arc, _line_circle, False),
        (a.is_arc & ~b.is_arc, _line_circle, True),
        (a.is_arc & b.is_arc, _circle_circle, False),
    ):
        index = np.nonzero(mask)[0]
        if not len(index):
            continue
        one, two = a.take(index), b.take(index)
        for found in solve(two, one) if swap else solve(one, two):
            good = np.isfinite(found.real) & _within(one, found) & _within(two, found)
            rows.append(index[good])
            points.append(found[good])
    if not rows:
        return np.zeros(0, dtype=np.intp), np.zeros(0, dtype=np.intp), np.zeros(0, dtype=complex)
    row = np.concatenate(rows)
    return row, row, np.concatenate(points)


def _within(curves: Curves, points: Points) -> Bools:
    slack = JOIN / np.maximum(curves.length, JOIN)
    t = curves.fraction_of(np.where(np.isfinite(points.real), points, 0.0))
    result: Bools = (t >= -slack) & (t <= 1 + slack)
    return result


def _line_line(a: Curves, b: Curves) -> tuple[Points, ...]:
    u, v = a.end - a.start, b.end - b.start
    cross = (u.conj() * v).imag
    parallel = np.abs(cross) < 1e-12 * np.abs(u) * np.abs(v)
    t = ((b.start - a.start).conj() * v).imag / np.where(parallel, np.nan, cross)
    return (a.start + u * t,)


def _line_circle(line: Curves, arc: Curves) -> tuple[Points, ...]:
    u = (line.end - line.start) / np.abs(line.end - line.start)
    along = ((arc.centre - line.start) * u.conj()).real
    foot = line.start + u * along
    half = _half_chord(arc.radius, np.abs(foot - arc.centre))
    return foot + u * half, foot - u * half


def _circle_circle(a: Curves, b: Curves) -> tuple[Points, ...]:
    d = np.abs(b.centre - a.centre)
    concentric = d < JOIN  # such arcs either coincide or never meet
    apart = np.where(concentric, 1.0, d)
    u = (b.centre - a.centre) / apart
    x = (apart**2 + a.radius**2 - b.radius**2) / (2 * apart)
    # Circles that touch within JOIN meet in one point on the line of centres.
    reach = np.minimum(np.abs(apart - a.radius - b.radius), np.abs(apart - np.abs(a.radius - b.radius)))
    touching = reach < JOIN / 10
    x = np.where(touching, np.sign(x) * a.radius, x)
    half = np.where(touching, 0.0, _half_chord(a.radius, np.abs(x)))
    half = np.where(concentric, np.nan, half)
    foot = a.centre + u * x
    return foot + 1j * u * half, foot - 1j * u * half


def _half_chord(radius: Floats, distance: Floats) -> Floats:
    """Return half the chord at a distance from the centre; 0 when just touching, nan when apart."""
    square = (radius - distance) * (radius + distance)
    touching = np.abs(radius - distance) < JOIN / 10
    result: Floats = np.where(touching, 0.0, np.sqrt(np.where(square < 0, np.nan, square)))
    return result
