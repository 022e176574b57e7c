"""Where lines and arcs meet, and their division at every meeting point.

Two edges meet where they cross, where one ends on the other, where they touch within `JOIN`, and all along where they
coincide; coinciding edges are divided at each other's ends.
"""

from __future__ import annotations

import numpy as np

from platewright.geometry.curves import Bools, Curves, Floats, Ints, Points

__all__ = ["JOIN", "crossing_points", "divide"]

JOIN = 1e-6  # points nearer than this are one point [mm]


def divide(curves: Curves) -> Curves:
    """Return the edges cut at every point where they meet another; pieces shorter than `JOIN` vanish."""
    first, second = _near_pairs(curves, curves)
    first, second = first[first < second], second[first < second]
    i, j, points = _meetings(curves.take(first), curves.take(second))
    who = np.concatenate([first[i], second[j]])
    where = np.concatenate([points, points])
    end_curve, end_point = _ends_on(curves)
    who, where = np.concatenate([who, end_curve]), np.concatenate([where, end_point])
    fraction = np.clip(curves.take(who).fraction_of(where), 0.0, 1.0)

    n = np.arange(len(curves))
    who = np.concatenate([n, n, who])
    fraction = np.concatenate([np.zeros(len(n)), np.ones(len(n)), fraction])
    where = np.concatenate([curves.start, curves.end, where])
    order = np.lexsort((fraction, who))
    who, fraction, where = who[order], fraction[order], where[order]
    return _pieces(curves, who, fraction, where)


def crossing_points(one: Curves, other: Curves) -> Points:
    """Return every point where an edge of `one` meets an edge of `other`; coinciding edges give their ends."""
    first, second = _near_pairs(one, other)
    _, _, points = _meetings(one.take(first), other.take(second))
    on_other = other.start[(one.distance(other.start) < JOIN).any(axis=1)]
    on_one = one.start[(other.distance(one.start) < JOIN).any(axis=1)]
    return np.concatenate([points, on_other, on_one])


def _pieces(curves: Curves, who: Ints, fraction: Floats, where: Points) -> Curves:
    along = fraction * curves.length[who]
    keep_from: list[int] = []
    keep_to: list[int] = []
    last = -1
    owners, stations, last_of = who.tolist(), along.tolist(), curves.length.tolist()
    for k, (owner, station) in enumerate(zip(owners, stations, strict=True)):
        if last < 0 or owners[last] != owner:
            last = k
            continue
        at_end = last_of[owner] - station <= JOIN
        if at_end and station < last_of[owner]:
            continue  # the end itself follows
        if station - stations[last] > JOIN:
            keep_from.append(last)
            keep_to.append(k)
            last = k
    a, b = np.array(keep_from, dtype=np.intp), np.array(keep_to, dtype=np.intp)
    own = curves.take(who[a])
    return Curves(
        where[a],
        where[b],
        own.centre,
        own.radius,
        own.angle + own.sweep * fraction[a],
        own.sweep * (fraction[b] - fraction[a]),
    )


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


def _ends_on(curves: Curves) -> tuple[Ints, Points]:
    ends = np.unique(np.concatenate([curves.start, curves.end]))
    at, edge = np.nonzero(curves.distance(ends) < JOIN)
    return edge, ends[at]


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
