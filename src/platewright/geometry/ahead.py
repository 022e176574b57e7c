"""How far the next edge lies ahead of a round hole, in every direction [mm].

Loops are taken as chords of 1/32 of a quarter circle, round holes exactly.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.geometry.loops import Outline, to_shapely

__all__ = ["N_WAYS", "distances_ahead"]

Floats = NDArray[np.float64]

N_WAYS = 72
"""Directions, evenly from +x."""
_CHORDS = 32  # in a quarter circle [-]
_OWN = 1e-3  # a round hole whose centre is nearer than this is the one that is looked from [mm]


@lru_cache(maxsize=1024)
def distances_ahead(outline: Outline, x: float, y: float, aside: float) -> tuple[float, ...]:
    """Return the distance from a hole's centre to the next edge or opening, in each of `N_WAYS` directions [mm].

    Parameters
    ----------
    outline : Outline
        The plate.
    x, y : float
        Centre of the hole, in the plate [mm].
    aside : float
        Three rays look ahead, one through the centre and one this far on either side; the shortest counts [mm].

    Examples
    --------
    >>> from platewright.geometry.loops import Circle
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> plate = Outline(rectangle_loop(0, 0, 40, 20), (), (Circle(12, 0, 1.5), Circle(-12, 0, 1.5)))
    >>> found = distances_ahead(plate, 12.0, 0.0, 1.3)
    >>> found[0], found[N_WAYS // 4], found[N_WAYS // 2]
    (8.0, 10.0, 22.5)
    """
    starts, steps = _chords(Outline(outline.outer, outline.inner))
    turn = 2 * math.pi * np.arange(N_WAYS) / N_WAYS
    way = np.repeat(np.column_stack([np.cos(turn), np.sin(turn)]), 3, axis=0)
    side = np.tile([-aside, 0.0, aside], N_WAYS)
    origin = np.array([x, y]) + side[:, None] * np.column_stack([-way[:, 1], way[:, 0]])
    least = _to_chords(origin, way, starts, steps)
    for circle in outline.circles:
        if math.hypot(circle.x - x, circle.y - y) > _OWN:
            least = np.minimum(least, _to_circle(origin, way, np.array([circle.x, circle.y]), circle.radius))
    rounded: list[float] = np.round(least.reshape(N_WAYS, 3).min(axis=1), 9).tolist()
    return tuple(rounded)


@lru_cache(maxsize=64)
def _chords(outline: Outline) -> tuple[Floats, Floats]:
    """Return where the chords of all loops start, and where each leads from there."""
    polygon = to_shapely(outline, _CHORDS)
    rings = [shapely.get_coordinates(ring) for ring in (polygon.exterior, *polygon.interiors)]
    return np.concatenate([r[:-1] for r in rings]), np.concatenate([np.diff(r, axis=0) for r in rings])


def _to_chords(origin: Floats, way: Floats, starts: Floats, steps: Floats) -> Floats:
    """Return how far each ray goes until it meets a chord; inf where it meets none."""
    apart = starts[None] - origin[:, None]
    cross = way[:, None, 0] * steps[None, :, 1] - way[:, None, 1] * steps[None, :, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        ahead = (apart[..., 0] * steps[None, :, 1] - apart[..., 1] * steps[None, :, 0]) / cross
        share = (apart[..., 0] * way[:, None, 1] - apart[..., 1] * way[:, None, 0]) / cross
        meets = (ahead > 0) & (share >= -1e-9) & (share <= 1 + 1e-9)
    nearest: Floats = np.where(meets, ahead, np.inf).min(axis=1)
    return nearest


def _to_circle(origin: Floats, way: Floats, centre: Floats, radius: float) -> Floats:
    apart = centre - origin
    along = (apart * way).sum(axis=1)
    square = radius**2 - (apart**2).sum(axis=1) + along**2
    near = along - np.sqrt(np.maximum(square, 0.0))
    return np.where((square >= 0) & (near > 0), near, np.inf)
