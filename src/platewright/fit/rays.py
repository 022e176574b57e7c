"""Straight lines of sight: which prism a ray from a point meets first, and how far away. Lengths in mm.

Round prisms and prisms over convex sections are exact; other sections are taken as their chords.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.fit.solids import Prism
from platewright.geometry.curves import Bools, Floats, Points

__all__ = ["blocked_share", "directions_about", "first_hits"]

_START = 1e-6  # what lies nearer to the origin of a ray is touched, not met [mm]
_GOLDEN = math.pi * (3 - math.sqrt(5))


def first_hits(
    prisms: Sequence[Prism], origin: Floats, ways: Floats, reach: float = math.inf
) -> tuple[NDArray[np.intp], Floats]:
    """Return for each ray the number of the prism it meets first, -1 for none, and how far away.

    Parameters
    ----------
    prisms : sequence of Prism
        What may stand in the way.
    origin : (3,) or (n_rays, 3) float [mm]
        Where all rays begin, or each of them.
    ways : (n_rays, 3) float
        Unit vectors.
    reach : float
        What is farther away does not count [mm].

    Examples
    --------
    >>> from platewright.assembly.bodies import Box, Frame3
    >>> from platewright.fit.solids import prism_of
    >>> wall = prism_of(Box(2, 20, 20), Frame3((11, 0, -10)))
    >>> number, far = first_hits([wall], np.zeros(3), np.array([[1.0, 0, 0], [0, 1.0, 0]]))
    >>> number.tolist(), float(far[0])
    ([0, -1], 10.0)
    """
    origin = np.broadcast_to(origin, ways.shape)
    number = np.full(len(ways), -1, dtype=np.intp)
    nearest = np.full(len(ways), reach)
    for n in _in_order(prisms, origin, ways, reach):
        rows = np.nonzero(_box_distance(prisms[n].box, origin, ways) < nearest)[0]
        if len(rows):
            far = _distance(prisms[n], origin[rows], ways[rows])
            nearer = far < nearest[rows]
            number[rows[nearer]], nearest[rows[nearer]] = n, far[nearer]
    return number, np.where(number < 0, np.inf, nearest)


def blocked_share(prisms: Sequence[Prism], origin: Floats, ways: Floats, reach: float = math.inf) -> float:
    """Return the share of directions in which something stands in the way [-]."""
    number, _ = first_hits(prisms, origin, ways, reach)
    return float(np.mean(number >= 0)) if len(number) else 0.0


def directions_about(axis: Sequence[float], half_angle: float, count: int) -> Floats:
    """Return unit vectors spread evenly over the cone about an axis.

    Parameters
    ----------
    axis : sequence of float
        Its middle, of any length.
    half_angle : float
        From its middle to its edge; half of pi for a hemisphere [rad].
    count : int
        How many.

    Notes
    -----
    A spiral of the golden angle with equal steps of height: each direction stands for the same solid angle.

    Examples
    --------
    >>> cone = directions_about((0, 0, 1), math.pi / 2, 1000)
    >>> round(float(cone[:, 2].mean()), 3), bool((cone[:, 2] > 0).all())
    (0.5, True)
    """
    n = np.array(axis, dtype=float)
    n /= np.linalg.norm(n)
    u = np.cross(n, (0.0, 1.0, 0.0) if abs(n[1]) < 0.9 else (1.0, 0.0, 0.0))
    u /= np.linalg.norm(u)
    v = np.cross(n, u)
    k = np.arange(count) + 0.5
    cos = 1 - k / count * (1 - math.cos(half_angle))
    sin, turn = np.sqrt(np.maximum(1 - cos**2, 0.0)), k * _GOLDEN
    ways: Floats = np.outer(cos, n) + np.outer(sin * np.cos(turn), u) + np.outer(sin * np.sin(turn), v)
    return ways


def _in_order(prisms: Sequence[Prism], origin: Floats, ways: Floats, reach: float) -> list[int]:
    """Return numbers of the prisms within the box about all rays, those nearest to the origins first."""
    if not prisms or not len(origin):
        return []
    boxes, low, high = np.array([p.box for p in prisms]), origin.min(axis=0), origin.max(axis=0)
    apart = np.linalg.norm(np.maximum(np.maximum(boxes[:, 0] - high, low - boxes[:, 1]), 0.0), axis=1)
    if math.isinf(reach):
        met = np.ones(len(boxes), dtype=bool)
    else:
        ends = origin + reach * ways
        low, high = np.minimum(low, ends.min(axis=0)), np.maximum(high, ends.max(axis=0))
        met = ((boxes[:, 0] <= high) & (boxes[:, 1] >= low)).all(axis=1)
    return [n for n in np.argsort(apart, kind="stable").tolist() if met[n]]


def _box_distance(box: Floats, origin: Floats, ways: Floats) -> Floats:
    """Return how far along each ray it enters a box; infinite where it misses."""
    enter, leave = np.zeros(len(ways)), np.full(len(ways), np.inf)
    with np.errstate(divide="ignore", invalid="ignore"):
        for axis in range(3):
            low, high = ((box[side, axis] - origin[:, axis]) / ways[:, axis] for side in (0, 1))
            enter, leave = np.fmax(enter, np.fmin(low, high)), np.fmin(leave, np.fmax(low, high))
    return np.where((leave >= enter) & (leave > _START), enter, np.inf)


def _distance(prism: Prism, origin: Floats, ways: Floats) -> Floats:
    """Return how far along each ray it enters a prism; infinite where it misses."""
    start, height = prism.local(origin)
    own = ways @ prism.axes.T
    step, rise = own[:, 0] + 1j * own[:, 1], own[:, 2]
    level = np.abs(rise) < 1e-12
    safe = np.where(level, 1.0, rise)
    low, high = (prism.low - height) / safe, (prism.high - height) / safe
    between = (prism.low < height) & (height < prism.high)
    enter = np.where(level, np.where(between, 0.0, np.inf), np.minimum(low, high))
    leave = np.where(level, np.where(between, np.inf, -np.inf), np.maximum(low, high))
    enter = np.maximum(enter, 0.0)
    open_rows = np.nonzero((leave > enter) & (leave > _START))[0]
    far = np.full(len(ways), np.inf)
    if len(open_rows):
        rows = open_rows
        if prism.section.radius and not prism.section.bore:
            far[rows] = _in_disc(prism.section.radius, start[rows], step[rows], enter[rows], leave[rows])
        else:
            far[rows] = _in_section(prism, start[rows], step[rows], enter[rows], leave[rows])
    return far


def _in_disc(radius: float, start: Points, step: Points, enter: Floats, leave: Floats) -> Floats:
    a = np.abs(step) ** 2
    b, c = (start.conj() * step).real, np.abs(start) ** 2 - radius**2
    upright = a < 1e-18
    root = b**2 - a * c
    safe = np.where(upright, 1.0, a)
    span = np.sqrt(np.maximum(root, 0.0))
    first = np.where(upright, -np.inf, (-b - span) / safe)
    last = np.where(upright, np.inf, (-b + span) / safe)
    begin, end = np.maximum(enter, first), np.minimum(leave, last)
    met: Bools = np.where(upright, c < 0, root > 0) & (end > begin) & (end > _START)
    return np.where(met, begin, np.inf)


def _in_section(prism: Prism, start: Points, step: Points, enter: Floats, leave: Floats) -> Floats:
    """Enter by a face or by a side: the first point of the ray's shadow in the section."""
    x0, y0, x1, y1 = prism.section.bounds
    longest = 2 * (np.abs(start) + abs(complex(x0, y0)) + abs(complex(x1, y1)) + 1.0)
    leave = np.minimum(leave, longest / np.maximum(np.abs(step), 1e-9))
    leave = np.maximum(leave, enter)
    p, q = start + enter * step, start + leave * step
    polygon = prism.section.polygon
    at_face = shapely.intersects_xy(polygon, p.real, p.imag)
    far = np.where(at_face, enter, np.inf)
    rest = np.nonzero(~at_face)[0]
    if len(rest):
        lines = shapely.linestrings(np.stack([np.stack([p.real, p.imag], -1), np.stack([q.real, q.imag], -1)], 1)[rest])
        met = np.nonzero(shapely.intersects(polygon, lines))[0]
        if len(met):
            points = shapely.points(p[rest[met]].real, p[rest[met]].imag)
            inside = shapely.intersection(polygon, lines[met])
            rows = rest[met]
            far[rows] = enter[rows] + shapely.distance(points, inside) / np.maximum(np.abs(step[rows]), 1e-12)
    return far
