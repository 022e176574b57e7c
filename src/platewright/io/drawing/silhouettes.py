"""Silhouettes of bodies in a view along one axis of the frame: every body is made of prisms, so each is a plain figure.

A prism seen along its axis shows its outline with its openings, seen edge-on a rectangle, else the convex hull of its
corners. Figures are sorted from far to near and painted in that order.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely

from platewright.assembly.bodies import Body, Solid, Vector, profile_of
from platewright.geometry.loops import Loop, Outline, flatten, to_shapely
from platewright.io.drawing.paths import Projection, outline_path

__all__ = ["FRONT", "SIDE", "TOP", "Figure", "View", "figures"]

_CHORD = 0.02  # distance of chords from arcs in hulls [mm]
_FACE_ON = 0.9  # cosine between a prism's axis and the view above which its outline is shown


@dataclass(frozen=True)
class View:
    """Direction in which one looks: page right and page up, as axes of the frame.

    Parameters
    ----------
    right, up : Vector
        Unit vectors of the frame that run right and up on the page.
    toward : Vector
        Unit vector that points at the reader.
    """

    right: Vector
    up: Vector
    toward: Vector

    def flat(self, point: Vector) -> tuple[float, float]:
        """Return a point as (right, up) [mm]."""
        return _dot(point, self.right), _dot(point, self.up)

    def depth(self, point: Vector) -> float:
        """Return how near a point is to the reader [mm]."""
        return _dot(point, self.toward)


TOP = View((0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))  # from above, nose up
SIDE = View((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))  # from the right, nose to the right
FRONT = View((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))  # from the front: the frame's left is to the right


@dataclass(frozen=True)
class Figure:
    """One prism of a body in a view.

    Parameters
    ----------
    body : Body
        The body it belongs to.
    number : int
        Which of its solids.
    outline : Outline
        In the prism's own plane where it is seen face-on, else in (right, up) [mm].
    basis : (Vector2, Vector2, Vector2) or None
        Images of the plane's origin, u and v where it is seen face-on.
    near : float
        Depth of its nearest point [mm].
    box : (float, float, float, float)
        Bounds in (right, up) [mm].
    """

    body: Body
    number: int
    outline: Outline
    basis: tuple[tuple[float, float], tuple[float, float], tuple[float, float]] | None
    near: float
    box: tuple[float, float, float, float]

    def path(self, scale: float, x0: float, y0: float) -> str:
        """Return its SVG path at a scale [-] with the frame's origin at (x0, y0) of the page [mm]."""
        if self.basis is None:
            return outline_path(self.outline, Projection.upright(scale, x0, y0))
        (ox, oy), (ux, uy), (vx, vy) = self.basis
        page = Projection(scale * ux, scale * vx, -scale * uy, -scale * vy, x0 + scale * ox, y0 - scale * oy)
        return outline_path(self.outline, page)

    def polygon(self, quadrant_segments: int) -> shapely.Polygon:
        """Return it as a polygon of chords in (right, up) [mm]."""
        shape = to_shapely(self.outline, quadrant_segments)
        if self.basis is None:
            return shape
        origin, u, v = (np.array(p) for p in self.basis)
        return shapely.transform(shape, lambda c: origin + np.outer(c[:, 0], u) + np.outer(c[:, 1], v))


def figures(bodies: Iterable[Body], view: View) -> tuple[Figure, ...]:
    """Return the figures of all bodies, the farthest first; names settle equal depths."""
    made = [_figure(body, n, solid, view) for body in bodies for n, solid in enumerate(body.solids)]
    return tuple(sorted(made, key=lambda f: (round(f.near, 6), f.body.name, f.number)))


def _figure(body: Body, number: int, solid: Solid, view: View) -> Figure:
    frame, height = body.frame, solid.shape.height
    base = profile_of(solid.shape)
    points = [p for loop in (base.outer,) for p in flatten(loop, _CHORD)]
    ends = (solid.offset, solid.offset + height)
    corners = [frame.point(a, b, c) for c in ends for a, b in points]
    near = max(view.depth(c) for c in corners)
    flat = [view.flat(c) for c in corners]
    box = (min(p[0] for p in flat), min(p[1] for p in flat), max(p[0] for p in flat), max(p[1] for p in flat))
    facing = _dot(frame.n, view.toward)
    if abs(facing) > _FACE_ON:
        face = ends[1] if facing > 0 else ends[0]
        return Figure(
            body,
            number,
            base,
            (view.flat(frame.point(0.0, 0.0, face)), view.flat(frame.u), view.flat(frame.v)),
            near,
            box,
        )
    return Figure(body, number, _hull(flat), None, near, box)


def _hull(points: list[tuple[float, float]]) -> Outline:
    hull = shapely.convex_hull(shapely.multipoints(np.round(points, 9)))
    ring = shapely.get_coordinates(hull)[:-1].tolist()
    return Outline(Loop(tuple((float(x), float(y), 0.0) for x, y in ring)))


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
