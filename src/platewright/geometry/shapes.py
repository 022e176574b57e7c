"""Closed loops of the elementary figures a sketch is made of [mm, rad]."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from platewright.foundation.errors import GeometryError
from platewright.geometry.curves import curves_of
from platewright.geometry.loops import Circle, Isometry, Loop, Vertex, transform_loop

__all__ = ["band_loop", "circle_of", "rectangle_loop", "rounded_polygon", "slot_loop"]


def rounded_polygon(points: Sequence[tuple[float, float]], corners: Sequence[float]) -> Loop:
    """Return a polygon with a radius at each corner [mm]; 0 leaves it sharp.

    Raises
    ------
    GeometryError
        If there are fewer than 3 points, two neighbours coincide, or a radius does not fit its edges.

    Examples
    --------
    >>> len(rounded_polygon([(0, 0), (4, 0), (4, 3)], [0.5, 0, 0]).vertices)
    4
    """
    n = len(points)
    if n < 3:
        msg = f"a polygon needs at least 3 points (got {n})."
        raise GeometryError(msg)
    ring = [complex(*p) for p in points]
    if sum((ring[i - 1].conjugate() * ring[i]).imag for i in range(n)) < 0:
        ring, corners = ring[::-1], list(corners)[::-1]
    edges = [ring[(i + 1) % n] - ring[i] for i in range(n)]
    if min(abs(e) for e in edges) < 1e-6:
        msg = "neighbouring points of a polygon must differ by at least 1e-6 mm."
        raise GeometryError(msg)
    turns = [_turn(edges[i - 1], edges[i]) for i in range(n)]
    cuts = [r * math.tan(abs(turn) / 2) if r > 0 else 0.0 for r, turn in zip(corners, turns, strict=True)]
    vertices: list[Vertex] = []
    for i, p in enumerate(ring):
        spare = abs(edges[i]) - cuts[i] - cuts[(i + 1) % n]
        if spare < -1e-9:
            msg = (
                f"the corner radii at ({p.real:.3f}, {p.imag:.3f}) mm and the next corner need {-spare:.3f} mm more "
                "edge than there is; make them smaller."
            )
            raise GeometryError(msg)
        if cuts[i] < 1e-9:
            vertices.append((p.real, p.imag, 0.0))
            continue
        start = p - edges[i - 1] / abs(edges[i - 1]) * cuts[i]
        end = p + edges[i] / abs(edges[i]) * cuts[i]
        vertices.append((start.real, start.imag, math.tan(turns[i] / 4)))
        if spare > 1e-9:
            vertices.append((end.real, end.imag, 0.0))
    return Loop(tuple(vertices))


def rectangle_loop(x: float, y: float, length: float, width: float, *, corner: float = 0.0, turn: float = 0.0) -> Loop:
    """Return a rectangle about (x, y), `length` along its own x, turned [rad]."""
    if not (length > 0 and width > 0):
        msg = f"a rectangle's length and width must be greater than 0 mm (got {length} and {width})."
        raise GeometryError(msg)
    a, b = length / 2, width / 2
    return transform_loop(
        rounded_polygon([(-a, -b), (a, -b), (a, b), (-a, b)], [corner] * 4), Isometry.from_turn(turn, x, y)
    )


def slot_loop(x1: float, y1: float, x2: float, y2: float, width: float) -> Loop:
    """Return a slot with round ends about two points."""
    if not width > 0:
        msg = f"a slot's width must be greater than 0 mm (got {width})."
        raise GeometryError(msg)
    p, q = complex(x1, y1), complex(x2, y2)
    if abs(q - p) < 1e-9:
        return Loop(((x1 - width / 2, y1, 1.0), (x1 + width / 2, y1, 1.0)))
    side = 1j * (q - p) / abs(q - p) * width / 2
    corners = ((p - side, 0.0), (q - side, 1.0), (q + side, 0.0), (p + side, 1.0))
    return Loop(tuple((z.real, z.imag, bulge) for z, bulge in corners))


def band_loop(start: tuple[float, float], end: tuple[float, float], width: float, end_width: float) -> Loop:
    """Return the band between two points whose sides touch circles of the two widths about them.

    Raises
    ------
    GeometryError
        If a width is not positive, or one circle lies inside the other.
    """
    if not (width > 0 and end_width > 0):
        msg = f"a link's widths must be greater than 0 mm (got {width} and {end_width})."
        raise GeometryError(msg)
    p, q = complex(*start), complex(*end)
    length, taper = abs(q - p), (width - end_width) / 2
    if length <= abs(taper):
        msg = f"a link's nodes must be more than {abs(taper):.3f} mm apart for its taper (got {length:.3f} mm)."
        raise GeometryError(msg)
    along = (q - p) / length
    sine = taper / length
    left = along * complex(sine, math.sqrt(1 - sine * sine))
    right = along * complex(sine, -math.sqrt(1 - sine * sine))
    corners = (p + right * width / 2, q + right * end_width / 2, q + left * end_width / 2, p + left * width / 2)
    return Loop(tuple((z.real, z.imag, 0.0) for z in corners))


def circle_of(loop: Loop, tolerance: float = 1e-6) -> Circle | None:
    """Return the circle that a loop is within the tolerance [mm], or None.

    Examples
    --------
    >>> circle_of(Loop(((-1.0, 0.0, 1.0), (1.0, 0.0, 1.0))))
    Circle(x=0.0, y=0.0, radius=1.0)
    """
    edges = curves_of([loop.vertices])
    if not edges.is_arc.all() or abs(abs(edges.sweep.sum()) - 2 * math.pi) > 1e-9:
        return None
    if np.ptp(edges.radius) > tolerance or np.abs(edges.centre - edges.centre[0]).max() > tolerance:
        return None
    longest = int(np.abs(edges.sweep).argmax())
    centre, radius = complex(edges.centre[longest]), float(edges.radius[longest])
    # Nine decimals take away the rounding of the last place and no more.
    return Circle(*(round(value, 9) + 0.0 for value in (centre.real, centre.imag, radius)))


def _turn(before: complex, after: complex) -> float:
    ratio = after * before.conjugate()
    return math.atan2(ratio.imag, ratio.real)
