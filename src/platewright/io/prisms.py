"""The outline and height of every shape a body may have, so that all exporters draw the same thing [mm]."""

from __future__ import annotations

import math

from platewright.assembly.bodies import Cylinder, Hexagon, Plate, Shape
from platewright.geometry.loops import Circle, Loop, Outline, circle_loop

__all__ = ["prism"]


def prism(shape: Shape) -> tuple[Outline, float]:
    """Return a shape's outline about the frame's axis [mm] and its height along it [mm].

    Two flats of a hexagon face the frame's first axis.

    Examples
    --------
    >>> outline, height = prism(Cylinder(radius=2.0, height=5.0, bore=1.0))
    >>> outline.circles, height
    ((Circle(x=0.0, y=0.0, radius=1.0),), 5.0)
    """
    if isinstance(shape, Plate):
        return shape.outline, shape.height
    if isinstance(shape, Cylinder):
        return Outline(circle_loop(Circle(0.0, 0.0, shape.radius)), (), _bore(shape.bore)), shape.height
    if isinstance(shape, Hexagon):
        corner = shape.across_flats / math.sqrt(3)
        turns = [math.pi / 6 + k * math.pi / 3 for k in range(6)]
        loop = Loop(tuple((corner * math.cos(a), corner * math.sin(a), 0.0) for a in turns))
        return Outline(loop, (), _bore(shape.bore)), shape.height
    a, b = shape.length / 2, shape.width / 2
    return Outline(Loop(((-a, -b, 0.0), (a, -b, 0.0), (a, b, 0.0), (-a, b, 0.0)))), shape.height


def _bore(radius: float) -> tuple[Circle, ...]:
    return (Circle(0.0, 0.0, radius),) if radius > 0 else ()
