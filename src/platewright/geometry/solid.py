"""Solids of the CAD kernel from outlines, for exchange files and views.

Shapes are the kernel's own; they are placed by a `Frame` and carry true lines and arcs. Lengths in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from platewright.foundation.errors import GeometryError
from platewright.geometry.curves import curves_of
from platewright.geometry.kernel import kernel
from platewright.geometry.loops import Circle, Loop, Outline, circle_loop

__all__ = [
    "Frame",
    "box",
    "cylinder",
    "extrude",
    "face",
    "face_area",
    "hexagon_prism",
    "ring",
    "solid_volume",
]

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class Frame:
    """A place in space: origin and two perpendicular unit axes; z is x cross y."""

    origin: Vector = (0.0, 0.0, 0.0)
    x_axis: Vector = (1.0, 0.0, 0.0)
    y_axis: Vector = (0.0, 1.0, 0.0)

    def __post_init__(self) -> None:
        lengths = [math.sqrt(_dot(axis, axis)) for axis in (self.x_axis, self.y_axis)]
        if max(abs(length - 1) for length in lengths) > 1e-9 or abs(_dot(self.x_axis, self.y_axis)) > 1e-9:
            msg = f"a frame's axes must be perpendicular unit vectors (got {self.x_axis} and {self.y_axis})."
            raise GeometryError(msg)

    @property
    def z_axis(self) -> Vector:
        """The direction of extrusion."""
        (a, b, c), (d, e, f) = self.x_axis, self.y_axis
        return (b * f - c * e, c * d - a * f, a * e - b * d)


def face(outline: Outline, frame: Frame | None = None) -> Any:
    """Return the plane face of an outline; in the plane z = 0 without a frame."""
    cad = kernel()
    openings = [_wire(cad, loop) for loop in outline.inner]
    openings += [_wire(cad, circle_loop(circle)) for circle in outline.circles]
    return cad.Face(_wire(cad, outline.outer), openings).moved(_location(cad, frame))


def extrude(outline: Outline, thickness: float, frame: Frame | None = None) -> Any:
    """Return the plate of an outline, from z = 0 of the frame to z = thickness."""
    cad = kernel()
    _positive("a plate's thickness", thickness)
    solid = cad.Solid.extrude(face(outline), cad.Vector(0, 0, thickness))
    return solid.moved(_location(cad, frame))


def cylinder(diameter: float, height: float, frame: Frame | None = None) -> Any:
    """Return a cylinder along z of the frame, its lower face at the origin."""
    _positive("a cylinder's diameter", diameter)
    return extrude(Outline(circle_loop(Circle(0.0, 0.0, diameter / 2))), height, frame)


def ring(outside: float, inside: float, height: float, frame: Frame | None = None) -> Any:
    """Return a cylinder of diameter `outside` bored to diameter `inside`."""
    if not 0 < inside < outside:
        msg = f"a ring's bore must lie between 0 and its outside, {outside} mm (got {inside} mm)."
        raise GeometryError(msg)
    outline = Outline(circle_loop(Circle(0.0, 0.0, outside / 2)), (), (Circle(0.0, 0.0, inside / 2),))
    return extrude(outline, height, frame)


def box(length: float, width: float, height: float, frame: Frame | None = None) -> Any:
    """Return a box centred on the frame's z axis, its lower face at the origin."""
    a, b = length / 2, width / 2
    _positive("a box's length", length)
    _positive("a box's width", width)
    return extrude(Outline(Loop(((-a, -b, 0.0), (a, -b, 0.0), (a, b, 0.0), (-a, b, 0.0)))), height, frame)


def hexagon_prism(across_flats: float, height: float, frame: Frame | None = None, bore: float = 0.0) -> Any:
    """Return a hexagonal prism, two flats facing x, with an optional round bore."""
    _positive("a hexagon's width across flats", across_flats)
    radius = across_flats / math.sqrt(3)
    corners = [math.pi / 6 + k * math.pi / 3 for k in range(6)]
    outer = Loop(tuple((radius * math.cos(a), radius * math.sin(a), 0.0) for a in corners))
    return extrude(Outline(outer, (), (Circle(0.0, 0.0, bore / 2),) if bore > 0 else ()), height, frame)


def solid_volume(solid: Any) -> float:
    """Return a solid's volume [mm^3], computed by the kernel."""
    return float(solid.volume)


def face_area(plane_face: Any) -> float:
    """Return a face's area [mm^2], computed by the kernel."""
    return float(plane_face.area)


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


def _location(cad: Any, frame: Frame | None) -> Any:
    if frame is None:
        return cad.Location()
    return cad.Plane(origin=frame.origin, x_dir=frame.x_axis, z_dir=frame.z_axis).location


def _positive(what: str, value: float) -> None:
    if not value > 0:
        msg = f"{what} must be greater than 0 mm (got {value})."
        raise GeometryError(msg)


def _dot(a: Vector, b: Vector) -> float:
    return sum(p * q for p, q in zip(a, b, strict=True))
