"""Straight lines of sight: which prism a ray from a point meets first, and how far away. Lengths in mm.

Rays whose line passes a prism's bounding sphere are sorted out for all prisms at once; boxes and round prisms are then
answered together, other sections one by one, on their exact lines and arcs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.fit.solids import Prism, Section
from platewright.geometry.curves import Bools, Floats, Points

__all__ = ["blocked_share", "directions_about", "first_hits", "hit_distances"]

_START = 1e-6  # what lies nearer to the origin of a ray is touched, not met [mm]
_GOLDEN = math.pi * (3 - math.sqrt(5))

Ints = NDArray[np.intp]


def first_hits(prisms: Sequence[Prism], origin: Floats, ways: Floats, reach: float = math.inf) -> tuple[Ints, Floats]:
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
    if not len(prisms) or not len(ways):
        return np.full(len(ways), -1, dtype=np.intp), np.full(len(ways), np.inf)
    origin = np.broadcast_to(origin, ways.shape)
    order = _nearest_first(prisms, origin)  # of two that are met at one distance, the one whose box is nearer counts
    far = _all_hits([prisms[n] for n in order], origin, ways, reach, nearest_only=True)
    row = far.argmin(axis=0)
    nearest: Floats = far[row, np.arange(len(ways))]
    return np.where(np.isinf(nearest), -1, order[row]), nearest


def hit_distances(prisms: Sequence[Prism], origin: Floats, ways: Floats, reach: float = math.inf) -> Floats:
    """Return how far along each ray it enters each prism, (n_prisms, n_rays); infinite where it misses [mm].

    Parameters
    ----------
    prisms, origin, ways, reach
        As in `first_hits`.
    """
    return _all_hits(prisms, np.broadcast_to(origin, ways.shape), ways, reach, nearest_only=False)


def blocked_share(prisms: Sequence[Prism], origin: Floats, ways: Floats, reach: float = math.inf) -> float:
    """Return the share of directions in which something stands in the way [-]."""
    number, _ = first_hits(prisms, origin, ways, reach)
    return float(np.mean(number >= 0)) if len(number) else 0.0


@lru_cache(maxsize=64)  # the same few fans of rays are asked for by every frame
def directions_about(axis: tuple[float, float, float], half_angle: float, count: int) -> Floats:
    """Return unit vectors spread evenly over the cone about an axis.

    Parameters
    ----------
    axis : (float, float, float)
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
    ways.setflags(write=False)
    return ways


def _nearest_first(prisms: Sequence[Prism], origin: Floats) -> Ints:
    """Return numbers of the prisms, those whose boxes are nearest to the origins first."""
    boxes, low, high = np.array([p.box for p in prisms]), origin.min(axis=0), origin.max(axis=0)
    apart = np.linalg.norm(np.maximum(np.maximum(boxes[:, 0] - high, low - boxes[:, 1]), 0.0), axis=1)
    return np.argsort(apart, kind="stable")


def _all_hits(prisms: Sequence[Prism], origin: Floats, ways: Floats, reach: float, nearest_only: bool) -> Floats:
    """Distances of `hit_distances`; with `nearest_only` some that are surely not the nearest stay infinite."""
    far = np.full((len(prisms), len(ways)), np.inf)
    if not far.size:
        return far
    near = _may_meet(np.array([p.box for p in prisms]), origin, ways, reach)
    kinds = _by_kind(prisms, np.nonzero(near.any(axis=1))[0].tolist())
    for kind, into in (("round", _into_rounds), ("box", _into_boxes)):
        if numbers := kinds[kind]:
            row, ray = np.nonzero(near[numbers])
            far[np.array(numbers)[row], ray] = into([prisms[n] for n in numbers], row, origin[ray], ways[ray])
    if numbers := kinds["other"]:
        nearest = far.min(axis=0) if nearest_only else None
        row, ray = np.nonzero(near[numbers])
        far[np.array(numbers)[row], ray] = _into_sections([prisms[n] for n in numbers], row, ray, origin, ways, nearest)
    far[far >= reach] = np.inf
    return far


def _by_kind(prisms: Sequence[Prism], numbers: Sequence[int]) -> dict[str, list[int]]:
    kinds: dict[str, list[int]] = {"round": [], "box": [], "other": []}
    for n in numbers:
        section = prisms[n].section
        kinds["round" if section.radius else "box" if section.half_sides else "other"].append(n)
    return kinds


def _may_meet(boxes: Floats, origin: Floats, ways: Floats, reach: float) -> Bools:
    """Return which rays pass the spheres about which boxes, (n_boxes, n_rays)."""
    middle = (boxes[:, 0] + boxes[:, 1]) / 2
    radius = np.linalg.norm(boxes[:, 1] - boxes[:, 0], axis=1)[:, None] / 2 + _START
    along = middle @ ways.T - np.einsum("ij,ij->i", origin, ways)
    apart = (middle**2).sum(axis=1)[:, None] - 2 * middle @ origin.T + (origin**2).sum(axis=1)
    near: Bools = (along > -radius) & (along < reach + radius) & (apart - along**2 < radius**2 + 1e-6)
    return near


def _own_axes(prisms: Sequence[Prism], which: Ints, origin: Floats, ways: Floats) -> tuple[Floats, Floats, Floats]:
    """Return rays, each in one prism's axes: start and step, (n, 3), and where they lie between its faces, (2, n)."""
    axes = np.array([p.axes for p in prisms])[which]
    start = np.einsum("nij,nj->ni", axes, origin - np.array([p.origin for p in prisms])[which])
    step = np.einsum("nij,nj->ni", axes, ways)
    low, high = np.array([(p.low, p.high) for p in prisms])[which].T
    return start, step, np.array(_between(start[:, 2], step[:, 2], low, high))


def _into_boxes(prisms: Sequence[Prism], which: Ints, origin: Floats, ways: Floats) -> Floats:
    """Return for rays, each with one prism over a rectangle, how far along they enter it; infinite where they miss."""
    start, step, (enter, leave) = _own_axes(prisms, which, origin, ways)
    for side, half in enumerate(np.array([p.section.half_sides for p in prisms])[which].T):
        first, last = _between(start[:, side], step[:, side], -half, half)
        enter, leave = np.maximum(enter, first), np.minimum(leave, last)
    return _entered(np.maximum(enter, 0.0), leave)


def _into_rounds(prisms: Sequence[Prism], which: Ints, origin: Floats, ways: Floats) -> Floats:
    """Return for rays, each with one round prism, how far along they enter it; infinite where they miss."""
    start, step, (enter, leave) = _own_axes(prisms, which, origin, ways)
    flat, along = start[:, 0] + 1j * start[:, 1], step[:, 0] + 1j * step[:, 1]
    radius, bore = np.array([(p.section.radius, p.section.bore) for p in prisms])[which].T
    first, last = _in_disc(radius, flat, along)
    enter, leave = np.maximum(np.maximum(enter, first), 0.0), np.minimum(leave, last)
    if bore.any():
        first, last = _in_disc(bore, flat, along)
        enter = np.where((first <= enter) & (enter < last), last, enter)  # through the bore to its far side
    return _entered(enter, leave)


def _into_sections(
    prisms: Sequence[Prism], which: Ints, ray: Ints, origin: Floats, ways: Floats, nearest: Floats | None
) -> Floats:
    """Return for rays, each with one prism over any section, how far along they enter it: by a face, or by a side.

    Where `nearest` says that something else is met before, the answer may be infinite.
    """
    start, step, (enter, leave) = _own_axes(prisms, which, origin[ray], ways[ray])
    bounds = np.array([p.section.bounds for p in prisms])[which].T
    enter = np.maximum(enter, 0.0)
    least = enter
    for side in (0, 1):
        first, last = _between(start[:, side], step[:, side], bounds[side] - _START, bounds[side + 2] + _START)
        least, leave = np.maximum(least, first), np.minimum(leave, last)
    far = np.full(len(which), np.inf)
    rows = np.nonzero((leave > least) & (leave > _START) & (True if nearest is None else least <= nearest[ray]))[0]
    flat, along = start[:, 0] + 1j * start[:, 1], step[:, 0] + 1j * step[:, 1]
    at = flat[rows] + enter[rows] * along[rows]
    sections = [p.section for p in prisms]
    polygons = np.array([s.polygon for s in sections], dtype=object)
    at_face = shapely.intersects_xy(polygons[which[rows]], at.real, at.imag)
    far[rows[at_face]] = enter[rows[at_face]]
    rest = rows[~at_face]
    if nearest is not None:
        np.minimum.at(nearest, ray, far)
        rest = rest[least[rest] <= nearest[ray[rest]]]
    numbers = {section: k for k, section in enumerate(dict.fromkeys(sections))}  # copies of a part share one
    kind = np.array([numbers[s] for s in sections])[which[rest]]
    for section, k in numbers.items():
        own = rest[kind == k]
        if len(own):
            far[own] = _first_crossing(section, flat[own], along[own], enter[own], leave[own])
    return far


def _entered(enter: Floats, leave: Floats) -> Floats:
    return np.where((leave > enter) & (leave > _START), enter, np.inf)


def _between(start: Floats, step: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return from where to where rays lie between two planes; from inf to -inf for those that never do."""
    level = np.abs(step) < 1e-12
    safe = np.where(level, 1.0, step)
    one, other = (low - start) / safe, (high - start) / safe
    within = (low < start) & (start < high)
    enter: Floats = np.where(level, np.where(within, -np.inf, np.inf), np.minimum(one, other))
    leave: Floats = np.where(level, np.where(within, np.inf, -np.inf), np.maximum(one, other))
    return enter, leave


def _in_disc(radius: Floats, start: Points, step: Points) -> tuple[Floats, Floats]:
    """Return from where to where rays, seen along the axis, lie in a disc; from inf to -inf for those that never do."""
    a = np.abs(step) ** 2
    b, c = (start.conj() * step).real, np.abs(start) ** 2 - radius**2
    upright = a < 1e-18
    root = b**2 - a * c
    safe = np.where(upright, 1.0, a)
    span = np.sqrt(np.maximum(root, 0.0))
    met = np.where(upright, c < 0, root > 0)
    first: Floats = np.where(met, np.where(upright, -np.inf, (-b - span) / safe), np.inf)
    last: Floats = np.where(met, np.where(upright, np.inf, (-b + span) / safe), -np.inf)
    return first, last


def _first_crossing(section: Section, start: Points, step: Points, enter: Floats, leave: Floats) -> Floats:
    """Return where rays first cross an edge of a section between two places along them; infinite where they do not."""
    edges, best = section.curves, np.full(len(start), np.inf)
    lines, arcs = edges.lines, edges.arcs
    x, y, dx, dy, low, high = (v[:, None] for v in (start.real, start.imag, step.real, step.imag, enter, leave))
    if len(lines):
        chord = lines.end - lines.start
        cx, cy, ax, ay = chord.real, chord.imag, lines.start.real - x, lines.start.imag - y
        det = dx * cy - dy * cx
        safe = np.where(det == 0, 1.0, det)
        t, s = (ax * cy - ay * cx) / safe, (ax * dy - ay * dx) / safe
        best = np.where((det != 0) & (s >= 0) & (s <= 1) & (t >= low) & (t <= high), t, np.inf).min(axis=1)
    if len(arcs):
        ax, ay = x - arcs.centre.real, y - arcs.centre.imag
        a, b = dx * dx + dy * dy, ax * dx + ay * dy
        root = b * b - a * (ax * ax + ay * ay - arcs.radius**2)
        row, arc = np.nonzero(root > 0)
        root, a, b = np.sqrt(root[row, arc]), np.maximum(a, 1e-300)[row, 0], b[row, arc]
        for t in ((-b - root) / a, (-b + root) / a):
            met = (t >= enter[row]) & (t <= leave[row])
            ray, at = row[met], t[met]
            share = arcs.take(arc[met]).fraction_of(start[ray] + at * step[ray])
            np.minimum.at(best, ray, np.where((share >= 0) & (share <= 1), at, np.inf))
    return best
