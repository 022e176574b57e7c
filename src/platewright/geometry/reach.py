"""How far material reaches from a round hole in one direction. Lengths in mm, angles in rad."""

from __future__ import annotations

import cmath
import math

import numpy as np

from platewright.geometry.crossings import crossing_points
from platewright.geometry.curves import curves_of
from platewright.geometry.loops import Circle, Outline, bounding_box, circle_loop

__all__ = ["reach"]


def reach(outline: Outline, hole: Circle, angle: float) -> float:
    """Return the length from a hole's centre to the first edge of the plate, or of another opening, in a direction.

    Parameters
    ----------
    outline : Outline
        The plate [mm].
    hole : Circle
        One of its round holes.
    angle : float
        From +x, counter-clockwise [rad].

    Examples
    --------
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> plate = Outline(rectangle_loop(0, 0, 40, 20), (), (Circle(-10, 0, 2), Circle(10, 0, 3)))
    >>> [round(reach(plate, plate.circles[0], a), 6) for a in (0.0, math.pi / 2, math.pi)]
    [17.0, 10.0, 10.0]
    """
    x0, y0, x1, y1 = bounding_box(outline)
    start = complex(hole.x, hole.y)
    end = start + cmath.rect(math.hypot(x1 - x0, y1 - y0) + 1.0, angle)
    ray = curves_of([((start.real, start.imag, 0.0), (end.real, end.imag, 0.0))])
    others = (circle_loop(c) for c in outline.circles if c != hole)
    edges = curves_of([loop.vertices for loop in (outline.outer, *outline.inner, *others)])
    return float(np.abs(crossing_points(ray, edges) - start).min())
