"""Solids of the CAD kernel from outlines, for exchange files and views.

Shapes are the kernel's own and carry true lines and arcs. Lengths in mm.
"""

from __future__ import annotations

import math
from typing import Any

from platewright.foundation.errors import GeometryError
from platewright.geometry.curves import curves_of
from platewright.geometry.kernel import kernel
from platewright.geometry.loops import Loop, Outline, circle_loop

__all__ = ["extrude", "face"]


def face(outline: Outline) -> Any:
    """Return the plane face of an outline, in the plane z = 0."""
    cad = kernel()
    openings = [_wire(cad, loop) for loop in outline.inner]
    openings += [_wire(cad, circle_loop(circle)) for circle in outline.circles]
    return cad.Face(_wire(cad, outline.outer), openings)


def extrude(outline: Outline, thickness: float) -> Any:
    """Return the plate of an outline, from z = 0 to z = thickness [mm].

    Raises
    ------
    GeometryError
        If the thickness is not positive.
    """
    cad = kernel()
    if not thickness > 0:
        msg = f"a plate's thickness must be greater than 0 mm (got {thickness})."
        raise GeometryError(msg)
    return cad.Solid.extrude(face(outline), cad.Vector(0, 0, thickness))


def _wire(cad: Any, loop: Loop) -> Any:
    edges = []
    curves = curves_of([loop.vertices])
    middle = curves.at(0.5)
    for p, q, m, radius in zip(*(a.tolist() for a in (curves.start, curves.end, middle, curves.radius)), strict=True):
        if radius == 0:
            edges.append(cad.Edge.make_line((p.real, p.imag), (q.real, q.imag)))
        else:
            points = [(z.real, z.imag) for z in (p, m, q)]
            edges.append(cad.Edge.make_three_point_arc(*points))
    if _is_round(loop):
        (x0, y0, _), (x1, y1, _) = loop.vertices
        centre = cad.Plane(((x0 + x1) / 2, (y0 + y1) / 2, 0))
        return cad.Wire([cad.Edge.make_circle(math.hypot(x1 - x0, y1 - y0) / 2, centre)])
    return cad.Wire(edges)


def _is_round(loop: Loop) -> bool:
    return [abs(bulge) for _, _, bulge in loop.vertices] == [1.0, 1.0]
