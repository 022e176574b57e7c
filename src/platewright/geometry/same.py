"""Whether two outlines are one shape, turned, shifted or turned over.

Area and second moments are compared first. Then the corner farthest from the centroid is laid on every corner of the
other outline that is as far from its own, and all edges and round holes must fall on one another. Lengths in mm.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import Loop, Outline, outline_properties, transform_outline

__all__ = ["same_shape"]

_NEAR = 1e-3  # edges and holes that differ by less are the same [mm]
Points = NDArray[np.float64]


def same_shape(one: Outline, other: Outline) -> Isometry | None:
    """Return the motion that lays one outline on another, the plainest one, or None if none does.

    Examples
    --------
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> motion = same_shape(Outline(rectangle_loop(0, 0, 20, 10)), Outline(rectangle_loop(5, 0, 10, 20)))
    >>> motion is not None and not motion.flip
    True
    >>> same_shape(Outline(rectangle_loop(0, 0, 20, 10)), Outline(rectangle_loop(0, 0, 20, 11))) is None
    True
    """
    if len(one.inner) != len(other.inner) or len(one.circles) != len(other.circles):
        return None
    a, b = outline_properties(one), outline_properties(other)
    scale = max(a.area, 1.0)
    if abs(a.area - b.area) > _NEAR * scale**0.5 * 4:
        return None
    if abs((a.ixx + a.iyy) - (b.ixx + b.iyy)) > 1e-4 * (a.ixx + a.iyy):
        return None
    target = _marks(other)
    for motion in _candidates(one, other, (a.cx, a.cy), (b.cx, b.cy)):
        moved = _marks(transform_outline(one, motion))
        if len(moved) == len(target) and _falls_on(moved, target) and _falls_on(target, moved):
            return motion
    return None


def _candidates(
    one: Outline, other: Outline, centre: tuple[float, float], other_centre: tuple[float, float]
) -> list[Isometry]:
    """Return motions that lay the farthest corner on an equally far one, those that turn least first."""
    corners = [complex(x - centre[0], y - centre[1]) for x, y, _ in one.outer.vertices]
    others = [complex(x - other_centre[0], y - other_centre[1]) for x, y, _ in other.outer.vertices]
    far = max(corners, key=abs)
    found: dict[tuple[bool, float], Isometry] = {}
    for corner in others:
        if abs(abs(corner) - abs(far)) > _NEAR:
            continue
        for flip in (False, True):
            start = far.conjugate() if flip else far
            angle = math.remainder(math.atan2(corner.imag, corner.real) - math.atan2(start.imag, start.real), math.tau)
            turn = Isometry.from_turn(angle, 0.0, 0.0, flip)
            x, y = turn.apply(*centre)
            found[flip, round(abs(angle), 9)] = Isometry.from_turn(
                angle, other_centre[0] - x, other_centre[1] - y, flip
            )
    return [found[key] for key in sorted(found)]


def _marks(outline: Outline) -> Points:
    """Return corners and middles of edges, and round holes, as rows of x, y and radius; corners have radius 0."""
    rows = [row for loop in (outline.outer, *outline.inner) for row in _loop_marks(loop)]
    rows += [(c.x, c.y, c.radius) for c in outline.circles]
    return np.array(rows)


def _loop_marks(loop: Loop) -> list[tuple[float, float, float]]:
    rows = []
    for (xa, ya, bulge), (xb, yb, _) in zip(loop.vertices, (*loop.vertices[1:], loop.vertices[0]), strict=True):
        rows.append((xa, ya, 0.0))
        rows.append(((xa + xb) / 2 + bulge * (yb - ya) / 2, (ya + yb) / 2 - bulge * (xb - xa) / 2, 0.0))
    return rows


def _falls_on(moved: Points, target: Points) -> bool:
    apart = np.abs(moved[:, None, :] - target[None, :, :]).max(axis=2)
    return bool((apart.min(axis=1) < _NEAR).all())
