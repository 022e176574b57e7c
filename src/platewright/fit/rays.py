"""Straight lines of sight: which prism a ray from a point meets first, and how far away. Lengths in mm.

Rays whose line passes a prism's bounding sphere are sorted out for all prisms at once; boxes and round prisms are then
answered together, other sections one by one, on their exact lines and arcs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.fit.ray_crossings import between, first_crossing, in_disc
from platewright.fit.solids import Prism
from platewright.geometry.curves import Bools, Floats

__all__ = ["Fan", "Ints", "blocked_share", "directions_about", "first_hits", "first_hits_of", "hit_distances"]

_START = 1e-6  # what lies nearer to the origin of a ray is touched, not met [mm]
_GOLDEN = math.pi * (3 - math.sqrt(5))

Ints = NDArray[np.intp]


@dataclass(frozen=True)
class Fan:
    """Rays, where they begin, and what may stand in their way: as `first_hits` takes them."""

    prisms: Sequence[Prism]
    origin: Floats
    ways: Floats


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
    return first_hits_of([Fan(prisms, origin, ways)], reach)[0]


def first_hits_of(fans: Sequence[Fan], reach: float = math.inf) -> list[tuple[Ints, Floats]]:
    """Return for each of several fans of rays what `first_hits` returns for one; all are cast at once.

    Parameters
    ----------
    fans : sequence of Fan
        Each with prisms of its own, which others may share.
    reach : float
        What is farther away does not count [mm].
    """
    numbers: dict[Prism, int] = {}
    own = [np.array([numbers.setdefault(p, len(numbers)) for p in fan.prisms], dtype=np.intp) for fan in fans]
    first = np.cumsum([0, *(len(fan.ways) for fan in fans)])
    near = np.zeros((len(numbers), int(first[-1])), dtype=bool)
    boxes = np.array([p.box for p in numbers]).reshape(-1, 2, 3)
    for fan, rows, start, end in zip(fans, own, first, first[1:], strict=False):
        near[rows, start:end] = _may_meet(boxes[rows], fan.origin, fan.ways, reach)
    origins = np.concatenate([np.broadcast_to(fan.origin, fan.ways.shape) for fan in fans])
    far = _all_hits(list(numbers), origins, np.concatenate([fan.ways for fan in fans]), reach, near, nearest_only=True)
    found: list[tuple[Ints, Floats]] = []
    for fan, rows, start, end in zip(fans, own, first, first[1:], strict=False):
        if not len(rows) or start == end:
            found.append((np.full(end - start, -1, dtype=np.intp), np.full(end - start, np.inf)))
            continue
        order = _nearest_first(fan.prisms, origins[start:end])  # of two at one distance that whose box is nearer counts
        seen = far[rows[order], start:end]
        row = seen.argmin(axis=0)
        nearest: Floats = seen[row, np.arange(end - start)]
        found.append((np.where(np.isinf(nearest), -1, order[row]), nearest))
    return found


def hit_distances(prisms: Sequence[Prism], origin: Floats, ways: Floats, reach: float = math.inf) -> Floats:
    """Return how far along each ray it enters each prism, (n_prisms, n_rays); infinite where it misses [mm].

    Parameters
    ----------
    prisms, origin, ways, reach
        As in `first_hits`.
    """
    near = _may_meet(np.array([p.box for p in prisms]).reshape(-1, 2, 3), origin, ways, reach)
    return _all_hits(prisms, np.broadcast_to(origin, ways.shape), ways, reach, near, nearest_only=False)


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


def _all_hits(
    prisms: Sequence[Prism], origin: Floats, ways: Floats, reach: float, near: Bools, nearest_only: bool
) -> Floats:
    """Distances of `hit_distances` where `near` says so; with `nearest_only` all but the nearest may stay infinite."""
    far = np.full((len(prisms), len(ways)), np.inf)
    if not far.size:
        return far
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
    if origin.ndim == 1:  # all from one place
        away = middle - origin
        along, apart = away @ ways.T, (away**2).sum(axis=1)[:, None]
    else:
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
    return start, step, np.array(between(start[:, 2], step[:, 2], low, high))


def _into_boxes(prisms: Sequence[Prism], which: Ints, origin: Floats, ways: Floats) -> Floats:
    """Return for rays, each with one prism over a rectangle, how far along they enter it; infinite where they miss."""
    start, step, (enter, leave) = _own_axes(prisms, which, origin, ways)
    for side, half in enumerate(np.array([p.section.half_sides for p in prisms])[which].T):
        first, last = between(start[:, side], step[:, side], -half, half)
        enter, leave = np.maximum(enter, first), np.minimum(leave, last)
    return _entered(np.maximum(enter, 0.0), leave)


def _into_rounds(prisms: Sequence[Prism], which: Ints, origin: Floats, ways: Floats) -> Floats:
    """Return for rays, each with one round prism, how far along they enter it; infinite where they miss."""
    start, step, (enter, leave) = _own_axes(prisms, which, origin, ways)
    flat, along = start[:, 0] + 1j * start[:, 1], step[:, 0] + 1j * step[:, 1]
    radius, bore = np.array([(p.section.radius, p.section.bore) for p in prisms])[which].T
    first, last = in_disc(radius, flat, along)
    enter, leave = np.maximum(np.maximum(enter, first), 0.0), np.minimum(leave, last)
    if bore.any():
        first, last = in_disc(bore, flat, along)
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
        first, last = between(start[:, side], step[:, side], bounds[side] - _START, bounds[side + 2] + _START)
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
            far[own] = first_crossing(section, flat[own], along[own], enter[own], leave[own])
    return far


def _entered(enter: Floats, leave: Floats) -> Floats:
    return np.where((leave > enter) & (leave > _START), enter, np.inf)
