"""Outlines as SVG paths: lines stay lines, arcs become exact `A` commands.

A `Projection` is an affine map of the plane onto the page. Where it keeps shapes (scale, turn, mirror, shift) arcs are
written as arcs; where it does not, as chords within 0.02 mm.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

from platewright.geometry.loops import Circle, Loop, Outline, circle_loop, flatten
from platewright.io.drawing.canvas import number

__all__ = ["Projection", "loop_path", "outline_path"]

_CHORD = 0.02  # distance of chords from an arc that a projection distorts [mm]
_SIMILAR = 1e-9  # relative error up to which a projection keeps shapes [-]


@dataclass(frozen=True)
class Projection:
    """Affine map (x, y) -> (x0 + xx x + xy y, y0 + yx x + yy y) onto the page [mm]."""

    xx: float = 1.0
    xy: float = 0.0
    yx: float = 0.0
    yy: float = 1.0
    x0: float = 0.0
    y0: float = 0.0

    @staticmethod
    def upright(scale: float, x0: float, y0: float) -> Projection:
        """Return the map that shows x to the right and y up."""
        return Projection(scale, 0.0, 0.0, -scale, x0, y0)

    def __call__(self, x: float, y: float) -> tuple[float, float]:
        """Return the point on the page [mm]."""
        return self.x0 + self.xx * x + self.xy * y, self.y0 + self.yx * x + self.yy * y

    @property
    def determinant(self) -> float:
        """Area on the page per area; positive when a turn keeps its sense in page axes."""
        return self.xx * self.yy - self.xy * self.yx

    @property
    def scale(self) -> float:
        """Length on the page per length, of a map that keeps shapes."""
        return math.hypot(self.xx, self.yx)

    @property
    def keeps_shapes(self) -> bool:
        """Whether circles stay circles."""
        a, b = complex(self.xx, self.yx), complex(self.xy, self.yy)
        square = abs(a) ** 2 + abs(b) ** 2
        dot = (a * b.conjugate()).real
        return abs(abs(a) ** 2 - abs(b) ** 2) <= _SIMILAR * square and abs(dot) <= _SIMILAR * square


def outline_path(outline: Outline, projection: Projection) -> str:
    """Return the path of an outline with its openings; fill it with the even-odd rule."""
    loops = (outline.outer, *outline.inner)
    return " ".join(
        [*(loop_path(loop, projection) for loop in loops), *(_circle_path(c, projection) for c in outline.circles)]
    )


def loop_path(loop: Loop, projection: Projection) -> str:
    """Return the path of one loop.

    Examples
    --------
    >>> loop_path(Loop(((0.0, 0.0, 0.0), (2.0, 0.0, 1.0))), Projection.upright(1.0, 0.0, 0.0))
    'M0 0 L2 0 A1 1 0 0 0 1 -1 A1 1 0 0 0 0 0 Z'
    """
    if not projection.keeps_shapes:
        points = [projection(*p) for p in flatten(loop, _CHORD)]
        return "M" + " L".join(_pair(p) for p in points) + " Z"
    vertices = loop.vertices
    parts = [f"M{_pair(projection(*vertices[0][:2]))}"]
    for (x1, y1, bulge), (x2, y2, _) in zip(vertices, (*vertices[1:], vertices[0]), strict=True):
        if abs(bulge) < 1e-10:
            parts.append(f"L{_pair(projection(x2, y2))}")
            continue
        radius = number(math.hypot(x2 - x1, y2 - y1) * (1 + bulge * bulge) / (4 * abs(bulge)) * projection.scale, 4)
        sweep = int((bulge > 0) == (projection.determinant > 0))
        ends = _quarters(x1, y1, x2, y2, bulge)
        parts += [f"A{radius} {radius} 0 0 {sweep} {_pair(projection(x, y))}" for x, y in ends]
    return " ".join(parts) + " Z"


def _quarters(x1: float, y1: float, x2: float, y2: float, bulge: float) -> list[tuple[float, float]]:
    """Return the ends of the pieces of an arc, a quarter turn at most: rounded ends shift the middle of longer ones."""
    turn = 4 * math.atan(bulge)
    count = math.ceil(abs(turn) / (math.pi / 2) - 1e-9)
    start, chord = complex(x1, y1), complex(x2 - x1, y2 - y1)
    centre = start + chord / 2 * (1 + 1j * (1 - bulge * bulge) / (2 * bulge))
    inner = [centre + (start - centre) * cmath.exp(1j * turn * k / count) for k in range(1, count)]
    return [*((p.real, p.imag) for p in inner), (x2, y2)]


def _circle_path(circle: Circle, projection: Projection) -> str:
    return loop_path(circle_loop(circle), projection)


def _pair(point: tuple[float, float]) -> str:
    return f"{number(point[0])} {number(point[1])}"
