"""Bodies in space: every plate, screw, nut and piece of equipment as prisms along one direction.

A body has a frame (origin and two unit axes; the third is their cross product) and solids that start at an offset along
that third axis. Plates, discs, hexagons and boxes are all prisms, so clearances can be exact. Lengths in mm, frame axes
as in `docs/conventions.md`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.geometry.loops import Circle, Loop, Outline, circle_loop
from platewright.geometry.shapes import rectangle_loop

__all__ = [
    "Body",
    "Box",
    "Cylinder",
    "Frame3",
    "Hexagon",
    "Plate",
    "Shape",
    "Solid",
    "Vector",
    "cross",
    "lying",
    "profile_of",
    "upright",
]

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class Frame3:
    """A right-handed frame in space: origin [mm] and the unit vectors u and v; the direction of prisms is u x v."""

    origin: Vector
    u: Vector = (1.0, 0.0, 0.0)
    v: Vector = (0.0, 1.0, 0.0)

    @property
    def n(self) -> Vector:
        """Third axis, along which prisms extend."""
        return cross(self.u, self.v)

    def point(self, a: float, b: float, c: float) -> Vector:
        """Return the point at (a, b, c) in this frame [mm]."""
        n = self.n
        x, y, z = (self.origin[i] + a * self.u[i] + b * self.v[i] + c * n[i] for i in range(3))
        return x, y, z


@dataclass(frozen=True)
class Plate:
    """A prism over an outline [mm]."""

    outline: Outline
    height: float


@dataclass(frozen=True)
class Cylinder:
    """A round prism about the frame's axis [mm]; `bore` is the radius of a hole through it."""

    radius: float
    height: float
    bore: float = 0.0


@dataclass(frozen=True)
class Hexagon:
    """A hexagonal prism about the frame's axis [mm]."""

    across_flats: float
    height: float
    bore: float = 0.0


@dataclass(frozen=True)
class Box:
    """A box about the frame's axis: length along u, width along v [mm]."""

    length: float
    width: float
    height: float


Shape = Plate | Cylinder | Hexagon | Box


@dataclass(frozen=True)
class Solid:
    """A shape that starts at an offset along the frame's third axis [mm]."""

    shape: Shape
    offset: float = 0.0


@dataclass(frozen=True)
class Body:
    """One thing in space.

    Parameters
    ----------
    name : str
        Unique: `arm.1`, `deck_long.2#4`, `motor.3`.
    role : str
        plate, screw, nut, washer, standoff, spacer, board, motor, propeller, camera, battery, strap, antenna or other.
    key : str
        Bodies with the same key are copies of one another; exporters share them.
    frame : Frame3
        Where it is.
    solids : tuple of Solid
        What it is.
    owner : str
        Place, column or equipment id it belongs to.
    line : str
        Bolt line it is on, empty for plates and free equipment.
    """

    name: str
    role: str
    key: str
    frame: Frame3
    solids: tuple[Solid, ...]
    owner: str
    line: str = ""


def cross(a: Vector, b: Vector) -> Vector:
    """Return the cross product of two vectors."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def profile_of(shape: Shape) -> Outline:
    """Return the outline of which a shape is a prism, in its frame's first two axes [mm].

    Two flats of a hexagon face the first axis.

    Examples
    --------
    >>> profile_of(Cylinder(radius=2.0, height=5.0, bore=1.0)).circles
    (Circle(x=0.0, y=0.0, radius=1.0),)
    """
    if isinstance(shape, Plate):
        return shape.outline
    if isinstance(shape, Box):
        return Outline(rectangle_loop(0.0, 0.0, shape.length, shape.width))
    bore = (Circle(0.0, 0.0, shape.bore),) if shape.bore > 0 else ()
    if isinstance(shape, Cylinder):
        return Outline(circle_loop(Circle(0.0, 0.0, shape.radius)), (), bore)
    radius = shape.across_flats / math.sqrt(3)
    turns = [math.pi / 6 + k * math.pi / 3 for k in range(6)]
    return Outline(Loop(tuple((radius * math.cos(a), radius * math.sin(a), 0.0) for a in turns)), (), bore)


def upright(
    x: float, y: float, z: float, turn: float = 0.0, down: bool = False, slope: tuple[float, float] = (0.0, 0.0)
) -> Frame3:
    """Return a frame at a point, turned about the vertical by `turn` [rad], its third axis up or down.

    On a plane that rises by `slope` along x and y the frame lies in that plane.

    Examples
    --------
    >>> upright(1.0, 2.0, 3.0, down=True).n
    (0.0, 0.0, -1.0)
    """
    cos, sin = math.cos(turn), math.sin(turn)
    v = (sin, -cos) if down else (-sin, cos)
    return lying((x, y, z), (cos, sin), v, slope)


def lying(origin: Vector, u: tuple[float, float], v: tuple[float, float], slope: tuple[float, float]) -> Frame3:
    """Return a frame whose axes lie over two plane directions, in the plane that rises by `slope`."""
    rise_x, rise_y = slope
    first = _unit((*u, u[0] * rise_x + u[1] * rise_y))
    second = (*v, v[0] * rise_x + v[1] * rise_y)
    dot = sum(p * q for p, q in zip(first, second, strict=True))
    return Frame3(
        origin, first, _unit((second[0] - dot * first[0], second[1] - dot * first[1], second[2] - dot * first[2]))
    )


def _unit(a: Vector) -> Vector:
    size = math.sqrt(a[0] ** 2 + a[1] ** 2 + a[2] ** 2)
    return a[0] / size, a[1] / size, a[2] / size
