"""Distance and overlap of two prisms whose axes are at an angle.

Arcs are taken as chords within `solids.CHORD`: an edge of one that runs inside the other is an overlap, and distances
are those of corners and edges. Lengths in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from platewright.assembly.bodies import cross
from platewright.fit.solids import Prism
from platewright.geometry.curves import Floats

__all__ = ["TOUCH", "Common", "common_oblique", "distance_oblique"]

TOUCH = 1e-6  # overlaps that are not deeper are contact [mm]
_SQUARE = 1e-9  # cosine below which two axes are at right angles [-]
_STEPS = np.linspace(0.0, 1.0, 17)


@dataclass(frozen=True)
class Common:
    """Where two prisms overlap: the deepest point found on the surface of one, and how far it is under the other's."""

    depth: float
    point: tuple[float, float, float]


def common_oblique(a: Prism, b: Prism) -> Common | None:
    """Return how deep two prisms overlap by the edges of one within the other; None when they do not."""
    if abs(float(a.axes[2] @ b.axes[2])) < _SQUARE and _are_apart(a, b):
        return None
    found = [c for c in (_edges_within(a, b), _edges_within(b, a)) if c is not None]
    return max(found, key=lambda c: c.depth, default=None)


def distance_oblique(a: Prism, b: Prism) -> float:
    """Return the distance between two prisms that do not overlap: corners to prisms, edges to edges [mm]."""
    best = _from_corners(b.corners, a, _from_corners(a.corners, b, math.inf))
    one, other = (p.edges_near(q.box, best) for p, q in ((a, b), (b, a)))
    if len(one[0]) and len(other[0]):
        best = min(best, _between_segments(one, other))
    return best


def _are_apart(a: Prism, b: Prism) -> bool:
    """Whether two prisms with axes at right angles are apart or touch.

    Across both axes each takes up the stretches that its section has within the other's heights; they overlap where
    two such stretches do.
    """
    across = np.array(cross(a.axes[2].tolist(), b.axes[2].tolist()))
    one, other = _stretches(a, b, across), _stretches(b, a, across)
    shared = np.minimum(one[:, None, 1], other[:, 1]) - np.maximum(one[:, None, 0], other[:, 0])
    return not (shared > TOUCH).any()


def _stretches(a: Prism, b: Prism, across: Floats) -> Floats:
    """Return from where to where along a direction `a` has material between the faces of `b`, (n, 2) [mm]."""
    turned = np.array([[across @ a.axes[0], b.axes[2] @ a.axes[0]], [across @ a.axes[1], b.axes[2] @ a.axes[1]]])
    polygon = shapely.transform(a.section.polygon, lambda points: points @ turned)
    level = float((b.origin - a.origin) @ b.axes[2])
    x0, _, x1, _ = polygon.bounds
    low, high = level + b.low + TOUCH, level + b.high - TOUCH
    bounds: Floats = shapely.bounds(shapely.get_parts(shapely.clip_by_rect(polygon, x0 - 1, low, x1 + 1, high)))
    return bounds.reshape(-1, 4)[:, [0, 2]] + float(a.origin @ across)


def _from_corners(corners: Floats, b: Prism, known: float) -> float:
    """Least distance from some corners to a prism, or one that is known; those whose boxes are far off are left out."""
    away = np.maximum(np.maximum(b.box[0] - corners, corners - b.box[1]), 0.0)
    least = np.sqrt((away * away).sum(axis=1))
    first = int(least.argmin())
    best = min(known, float(b.gap(corners[first : first + 1])[0]))
    near = least < best
    return min(best, float(b.gap(corners[near]).min())) if near.any() else best


def _edges_within(a: Prism, b: Prism) -> Common | None:
    """Deepest point of the edges of `a`, and of lines within it, inside `b`."""
    starts, ends = _clip(a.edges_near(b.box, probing=True), b)
    if not len(starts):
        return None
    (p, _), (q, _) = b.local(starts), b.local(ends)
    upright = np.abs(q - p) < 1e-7
    pieces = [(starts[upright & b.section.inside((p + q) / 2)], ends[upright & b.section.inside((p + q) / 2)])]
    starts, ends, p, q = starts[~upright], ends[~upright], p[~upright], q[~upright]
    if len(p):
        lines = shapely.linestrings(np.stack([np.stack([p.real, p.imag], -1), np.stack([q.real, q.imag], -1)], axis=1))
        met = np.nonzero(shapely.intersects(b.section.polygon, lines))[0]
        cut = shapely.intersection(lines[met], b.section.polygon)
        parts, owner = shapely.get_parts(cut, return_index=True)
        long = shapely.length(parts) > TOUCH
        parts, owner = parts[long], met[owner[long]]
        if len(parts):
            both = shapely.get_coordinates([shapely.get_point(parts, 0), shapely.get_point(parts, -1)])
            flat = (both[:, 0] + 1j * both[:, 1]).reshape(2, -1)
            t = ((flat - p[owner]) / (q - p)[owner]).real
            span = ends[owner] - starts[owner]
            pieces.append((starts[owner] + t[0][:, None] * span, starts[owner] + t[1][:, None] * span))
    begin, finish = (np.concatenate(side) for side in zip(*pieces, strict=True))
    return _deepest(begin, finish, b) if len(begin) else None


def _clip(edges: tuple[Floats, Floats], b: Prism) -> tuple[Floats, Floats]:
    """Parts of edges between the two faces of a prism, within its box."""
    start, end = edges
    near = ((np.minimum(start, end) <= b.box[1]) & (np.maximum(start, end) >= b.box[0])).all(axis=1)
    start, end = start[near], end[near]
    z0, z1 = ((point - b.origin) @ b.axes[2] for point in (start, end))
    rise = z1 - z0
    flat = np.abs(rise) < 1e-12
    safe = np.where(flat, 1.0, rise)
    t_low, t_high = (b.low - z0) / safe, (b.high - z0) / safe
    between = (z0 > b.low + TOUCH) & (z0 < b.high - TOUCH)
    enter = np.where(flat, np.where(between, 0.0, 1.0), np.clip(np.minimum(t_low, t_high), 0.0, 1.0))
    leave = np.where(flat, np.where(between, 1.0, 0.0), np.clip(np.maximum(t_low, t_high), 0.0, 1.0))
    span = end - start
    kept = (leave - enter) * np.linalg.norm(span, axis=1) > TOUCH
    start, span, enter, leave = start[kept], span[kept], enter[kept], leave[kept]
    return start + enter[:, None] * span, start + leave[:, None] * span


def _deepest(begin: Floats, finish: Floats, b: Prism) -> Common | None:
    """Deepest point of some segments under the surface of a prism, searched twice, the second time about the best."""
    for _ in range(3):
        points = begin[:, None] + _STEPS[:, None] * (finish - begin)[:, None]
        depth = b.depth(points.reshape(-1, 3)).reshape(len(begin), -1)
        row, k = divmod(int(depth.argmax()), len(_STEPS))
        best, at = float(depth[row, k]), points[row, k]
        low, high = max(k - 1, 0), min(k + 1, len(_STEPS) - 1)
        begin, finish = points[row, low][None], points[row, high][None]
    if best <= TOUCH:
        return None
    x, y, z = at.tolist()
    return Common(best, (x, y, z))


def _between_segments(one: tuple[Floats, Floats], other: tuple[Floats, Floats]) -> float:
    """Least distance between the insides of two sets of segments; their ends are looked at elsewhere."""
    p, u = one[0][:, None], (one[1] - one[0])[:, None]
    q, v = other[0][None], (other[1] - other[0])[None]
    uu, vv, uv = (u * u).sum(-1), (v * v).sum(-1), (u * v).sum(-1)
    between = q - p
    bu, bv = (between * u).sum(-1), (between * v).sum(-1)
    det = uu * vv - uv * uv
    crossing = det > 1e-12 * uu * vv
    safe = np.where(crossing, det, 1.0)
    s, t = (bu * vv - bv * uv) / safe, (bu * uv - bv * uu) / safe
    reached = crossing & (s >= 0) & (s <= 1) & (t >= 0) & (t <= 1)
    apart = np.linalg.norm(between + t[..., None] * v - s[..., None] * u, axis=-1)
    return float(np.where(reached, apart, math.inf).min())
