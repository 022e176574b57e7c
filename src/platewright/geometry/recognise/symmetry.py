"""Lines in which a plate's outline is its own mirror image [mm, rad]."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

import numpy as np
import shapely

from platewright.geometry.loops import Outline, flatten, outline_properties

__all__ = ["MirrorLine", "mirror_lines"]

_UNLIKE = 0.01  # share of the area by which a mirrored outline may differ [-]
_CHORD = 0.05
_MOST_POINTS = 4000


@dataclass(frozen=True)
class MirrorLine:
    """A line through (x, y) in a direction [rad]."""

    x: float
    y: float
    turn: float

    def across(self, point: complex) -> complex:
        """Return the mirror image of a point."""
        along = cmath.exp(1j * self.turn)
        return complex(self.x, self.y) + along * ((point - complex(self.x, self.y)) / along).conjugate()

    def distance(self, point: complex) -> float:
        """Return how far a point lies from the line."""
        return abs(((point - complex(self.x, self.y)) * cmath.exp(-1j * self.turn)).imag)


def mirror_lines(outline: Outline) -> tuple[MirrorLine, ...]:
    """Return the mirror lines through the middle of the outer loop, of those along x, y and its principal axes.

    Examples
    --------
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> [round(math.degrees(line.turn)) for line in mirror_lines(Outline(rectangle_loop(5, 0, 20, 10)))]
    [0, 90]
    """
    points = flatten(outline.outer, _CHORD)
    if len(points) > _MOST_POINTS:
        return ()
    polygon = shapely.Polygon(points)
    if not polygon.is_valid:
        return ()
    own = outline_properties(Outline(outline.outer))
    principal = 0.5 * math.atan2(-2 * own.ixy, own.ixx - own.iyy) % (math.pi / 2)
    turns = [0.0, math.pi / 2]
    if min(principal, math.pi / 2 - principal) > 1e-3:
        turns += [principal, principal + math.pi / 2]
    made = []
    z = np.array([complex(*p) for p in points])
    middle = complex(own.cx, own.cy)
    for turn in turns:
        along = cmath.exp(1j * turn)
        image = middle + along * ((z - middle) / along).conj()
        other = shapely.Polygon(np.column_stack([image.real, image.imag])[::-1])
        if polygon.symmetric_difference(other).area < _UNLIKE * polygon.area:
            made.append(MirrorLine(middle.real, middle.imag, turn))
    return tuple(made)
