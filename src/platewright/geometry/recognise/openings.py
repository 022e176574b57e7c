"""Openings of a plate: which are round, though drawn as splines or chords, and which are slots [mm]."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from platewright.geometry.loops import Circle, Loop, flatten, loop_area
from platewright.geometry.shapes import circle_of

__all__ = ["Opening", "Slot", "opening_of", "slot_of"]

_ROUND = 0.02  # a loop this near to a circle all round is one [mm]
_FEWEST_CHORDS = 8


@dataclass(frozen=True)
class Opening:
    """One opening.

    Parameters
    ----------
    loop : Loop
        As it was drawn.
    circle : Circle or None
        The circle it is, or stands for.
    off : float
        Largest distance between both [mm]; 0 for a true circle.
    chords : int
        Number of chords that stand for the circle; 0 where the drawing follows it.
    """

    loop: Loop
    circle: Circle | None = None
    off: float = 0.0
    chords: int = 0

    @property
    def is_cut_as_circle(self) -> bool:
        """Whether the plate has a circle here, not the loop that was drawn."""
        return self.circle is not None and not self.chords


@dataclass(frozen=True)
class Slot:
    """A long opening with parallel sides: middle, length, width [mm] and direction [rad]."""

    x: float
    y: float
    length: float
    width: float
    turn: float


def opening_of(loop: Loop) -> Opening:
    """Return what an opening is.

    Examples
    --------
    >>> ring = [np.exp(2j * np.pi * k / 12) * 1.6 for k in range(12)]
    >>> opening_of(Loop(tuple((z.real, z.imag, 0.0) for z in ring))).chords
    12
    """
    exact = circle_of(loop)
    if exact is not None:
        return Opening(loop, exact)
    corners = np.array([complex(x, y) for x, y, _ in loop.vertices])
    bulges = np.array([b for _, _, b in loop.vertices])
    following = np.roll(corners, -1)
    # The highest point of each edge, over the middle of its chord.
    tops = (corners + following) / 2 - 1j * (following - corners) / 2 * bulges
    area = loop_area(loop)
    middle = (corners.min() + corners.max()) / 2 if len(corners) < 3 else _centre(loop)
    reach, height = np.abs(corners - middle), np.abs(tops - middle)
    radius = math.sqrt(area / math.pi)
    off = float(np.abs(np.concatenate([reach, height]) - radius).max())
    if len(corners) > 3 and off <= _ROUND:
        return Opening(loop, Circle(middle.real, middle.imag, radius), off)
    lengths = np.abs(following - corners)
    straight = bool((np.abs(bulges) < 1e-9).all()) and len(corners) >= _FEWEST_CHORDS
    if straight and np.ptp(reach) <= _ROUND and lengths.max() < float(reach.mean()):
        circle = Circle(middle.real, middle.imag, float(reach.mean()))
        return Opening(loop, circle, float(reach.mean() - height.min()), len(corners))
    return Opening(loop)


def slot_of(opening: Opening) -> Slot | None:
    """Return the slot that an opening is, with round or square ends, or None.

    Examples
    --------
    >>> from platewright.geometry.shapes import slot_loop
    >>> slot = slot_of(Opening(slot_loop(0, 0, 0, 18, 3)))
    >>> round(slot.length, 3), round(slot.width, 3), round(math.degrees(slot.turn))
    (21.0, 3.0, 90)
    """
    points = np.array([complex(*p) for p in flatten(opening.loop, 0.005)])
    edges = np.roll(points, -1) - points
    turn = float(np.angle(edges[np.abs(edges).argmax()])) % math.pi
    turned = points * np.exp(-1j * turn)
    length, width = float(np.ptp(turned.real)), float(np.ptp(turned.imag))
    if not length > 1.5 * width:
        return None
    area = loop_area(opening.loop)
    square = length * width
    round_ends = square - (1 - math.pi / 4) * width**2
    if not 0.98 * round_ends <= area <= 1.002 * square:
        return None
    middle = complex(turned.real.max() + turned.real.min(), turned.imag.max() + turned.imag.min()) / 2
    middle *= complex(math.cos(turn), math.sin(turn))
    return Slot(middle.real, middle.imag, length, width, turn)


def _centre(loop: Loop) -> complex:
    """Centroid of the polygon of the flattened loop [mm]."""
    z = np.array([complex(*p) for p in flatten(loop, 0.01)])
    w = np.roll(z, -1)
    cross = (z.conj() * w).imag
    return complex(((z + w) * cross).sum() / (3 * cross.sum()))
