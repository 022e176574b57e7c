"""Bodies seen at an angle, filled, from far to near: top faces light, sides darker, edges drawn.

Which of two bodies is painted first follows from planes that part their boxes along the frame's axes: what lies beyond
such a plane cannot cover what lies before it. Where no plane parts them, the nearer middle comes last.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.assembly.bodies import Body, Plate, Solid, Vector, cross, profile_of
from platewright.geometry.loops import to_shapely
from platewright.io.drawing.canvas import INK, Canvas, number
from platewright.io.drawing.silhouettes import View

__all__ = ["Extent", "extents", "oblique", "paint_relief", "painting_order"]

_QUADRANT = 12  # chords in a quarter circle of a picture at an angle [-]
_TOUCH = 1e-6  # boxes that overlap by less are parted [mm]
Page = Callable[[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Extent:
    """Bounds of a body in the frame's axes: (low, high) [mm]."""

    low: Vector
    high: Vector


def oblique(toward: Vector, up: Vector = (0.0, 0.0, 1.0)) -> View:
    """Return the view from a direction, `up` being up on the page."""
    n = _unit(toward)
    right = _unit(cross(up, n))
    return View(right, cross(n, right), n)


def extents(body: Body) -> Extent:
    """Return the box about a body."""
    corners = np.vstack([_corners(body, solid) for solid in body.solids])
    low, high = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
    return Extent((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def painting_order(
    boxes: Sequence[Extent], toward: Vector, covers: Sequence[shapely.Geometry] | None = None
) -> tuple[int, ...]:
    """Return the indices of boxes, those first that others may cover.

    Parameters
    ----------
    boxes : sequence of Extent
        One per body.
    toward : Vector
        To the reader [-].
    covers : sequence of geometry, optional
        What each body covers of the view at most; bodies that do not meet there need no order.

    Examples
    --------
    >>> floor, block = Extent((0, 0, 0), (9, 9, 1)), Extent((4, 4, 1), (5, 5, 3))
    >>> painting_order([block, floor], (1.0, -1.0, 1.0))
    (1, 0)
    """
    count = len(boxes)
    after: list[list[int]] = [[] for _ in range(count)]
    waits = [0] * count
    for a in range(count):
        for b in range(a + 1, count):
            if covers is not None and not shapely.intersects(covers[a], covers[b]):
                continue
            first = _behind(boxes[a], boxes[b], toward) - _behind(boxes[b], boxes[a], toward)
            if first:
                near, far = (b, a) if first > 0 else (a, b)
                after[far].append(near)
                waits[near] += 1
    depth = [sum((lo + hi) / 2 * t for lo, hi, t in zip(e.low, e.high, toward, strict=True)) for e in boxes]
    ready = [(round(depth[k], 6), k) for k in range(count) if not waits[k]]
    heapq.heapify(ready)
    order: list[int] = []
    left = set(range(count))
    while left:
        k = heapq.heappop(ready)[1] if ready else min(left, key=lambda k: (round(depth[k], 6), k))
        if k not in left:
            continue
        left.remove(k)
        order.append(k)
        for near in after[k]:
            waits[near] -= 1
            if waits[near] == 0 and near in left:
                heapq.heappush(ready, (round(depth[near], 6), near))
    return tuple(order)


def paint_relief(
    canvas: Canvas, bodies: Sequence[Body], view: View, page: Page, fill: Callable[[Body], str]
) -> tuple[tuple[Body, shapely.Geometry], ...]:
    """Paint bodies from far to near.

    Parameters
    ----------
    canvas : Canvas
        Where.
    bodies : sequence of Body
        What.
    view : View
        From where; see `oblique`.
    page : callable
        From (right, up) [mm] to the page [mm].
    fill : callable
        Colour of a body's faces toward the reader.

    Returns
    -------
    tuple of (Body, geometry)
        What each body covers on the page, in the order of painting.
    """
    painted: list[tuple[Body, shapely.Geometry]] = []
    axes = np.array([view.right, view.up]).T
    corners = [np.vstack([_corners(body, solid) for solid in body.solids]) for body in bodies]
    covers = [shapely.convex_hull(shapely.multipoints(points @ axes)) for points in corners]
    for k in painting_order([extents(body) for body in bodies], view.toward, covers):
        body = bodies[k]
        facing = sum(a * b for a, b in zip(body.frame.n, view.toward, strict=True))
        for solid in sorted(body.solids, key=lambda s: s.offset * (1 if facing >= 0 else -1)):
            painted.append((body, _paint_solid(canvas, body, solid, view, page, fill(body), facing >= 0)))
    return tuple(painted)


def _paint_solid(
    canvas: Canvas, body: Body, solid: Solid, view: View, page: Page, colour: str, upper_shows: bool
) -> shapely.Geometry:
    frame = body.frame
    polygon = to_shapely(profile_of(solid.shape), _QUADRANT)
    shift = np.array(frame.n) * solid.shape.height
    axes = np.array([view.right, view.up])
    low = np.array(frame.point(0.0, 0.0, solid.offset))
    spread = np.array([frame.u, frame.v])

    def flat(coordinates: NDArray[np.float64]) -> NDArray[np.float64]:
        placed: NDArray[np.float64] = np.array(
            [
                page(x, y)
                for x, y in ((coordinates @ spread + low + (0 if not upper_shows else shift)) @ axes.T).tolist()
            ]
        )
        return placed

    face = shapely.transform(polygon, flat)
    (ox, oy), (sx, sy) = page(0.0, 0.0), page(*(axes @ shift).tolist())
    step = np.array([sx - ox, sy - oy]) * (-1 if upper_shows else 1)
    convex = not isinstance(solid.shape, Plate)
    body_shape = _hull(face, step) if convex else _swept(face, step)
    edge: dict[str, str | float] = {
        "stroke": INK,
        "stroke_width": 0.12,
        "stroke_linejoin": "round",
        "fill_rule": "evenodd",
    }
    canvas.path(_path(body_shape), fill=_darker(colour), **edge)
    canvas.path(_path(face), fill=colour, **edge)
    return body_shape


def _hull(face: shapely.Polygon, step: NDArray[np.float64]) -> shapely.Geometry:
    """Return what a convex face covers as it moves along a straight step, its bore taken as filled."""
    return shapely.convex_hull(shapely.multipolygons([face, shapely.transform(face, lambda c: c + step)]))


def _swept(face: shapely.Polygon, step: NDArray[np.float64]) -> shapely.Geometry:
    """Return what a face covers as it moves along a straight step."""
    quads = []
    for ring in (face.exterior, *face.interiors):
        points = shapely.get_coordinates(ring)
        a, b = points[:-1], points[1:]
        quads.append(np.stack([a, b, b + step, a + step, a], axis=1))
    covered = shapely.polygons(np.concatenate(quads))
    far = shapely.transform(face, lambda c: c + step)
    return shapely.union_all(shapely.buffer([face, far, *covered.tolist()], 0.0), grid_size=1e-4)


def _corners(body: Body, solid: Solid) -> NDArray[np.float64]:
    frame = body.frame
    points = shapely.get_coordinates(to_shapely(profile_of(solid.shape), _QUADRANT).exterior)
    plane = points @ np.array([frame.u, frame.v]) + np.array(frame.origin)
    n = np.array(frame.n)
    ends: NDArray[np.float64] = np.vstack([plane + n * (solid.offset + e) for e in (0.0, solid.shape.height)])
    return ends


def _behind(a: Extent, b: Extent, toward: Vector) -> bool:
    """Whether a plane across one of the axes has `a` beyond it and `b` before it."""
    for k in range(3):
        if toward[k] > 0 and a.high[k] <= b.low[k] + _TOUCH:
            return True
        if toward[k] < 0 and a.low[k] >= b.high[k] - _TOUCH:
            return True
    return False


def _path(shape: shapely.Geometry) -> str:
    parts = []
    for polygon in shapely.get_parts(shape).tolist():
        if not isinstance(polygon, shapely.Polygon):
            continue
        for ring in (polygon.exterior, *polygon.interiors):
            points = shapely.get_coordinates(ring)[:-1].tolist()
            parts.append("M" + " L".join(f"{number(x, 2)} {number(y, 2)}" for x, y in points) + " Z")
    return " ".join(parts)


def _darker(colour: str) -> str:
    return "#" + "".join(f"{round(int(colour[k : k + 2], 16) * 0.72):02x}" for k in (1, 3, 5))


def _unit(a: Vector) -> Vector:
    size = sum(v * v for v in a) ** 0.5
    return a[0] / size, a[1] / size, a[2] / size
