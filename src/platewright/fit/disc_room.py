"""Distance from a flat upright cylinder, the room of a propeller's blades, to a prism that lies level.

Along the prism's own axis the nearest point is found at once: the one nearest to the cylinder's axis. What is left is
the least of a convex function over the edges of the section: r the distance from the cylinder's axis and z from its
middle, sqrt(max(r - R, 0)^2 + max(|z| - H, 0)^2). Arcs are taken as chords within `solids.CHORD`. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from platewright.fit.solids import Prism
from platewright.geometry.curves import Floats, Points

__all__ = ["gap_to_level_prism", "is_level"]

_STEPS = np.linspace(0.0, 1.0, 17)
_ROUNDS = 6  # each narrows an edge to an eighth


def is_level(prism: Prism) -> bool:
    """Return whether a prism's axis lies level."""
    return abs(float(prism.axes[2, 2])) < 1e-12


def gap_to_level_prism(prism: Prism, x: float, y: float, z: float) -> Callable[[float, float], float]:
    """Return the distance to a level prism from cylinders about one middle, as a function of radius and half height.

    Parameters
    ----------
    prism : Prism
        With a level axis.
    x, y, z : float
        Middle of the cylinder [mm].

    Returns
    -------
    callable
        From the cylinder's radius and half of its height [mm] to the distance, 0 where they meet [mm].

    Examples
    --------
    >>> from platewright.assembly.bodies import Box, Frame3
    >>> from platewright.fit.solids import prism_of
    >>> plate = prism_of(Box(20, 10, 2), Frame3((0, 0, 0), (1, 0, 0), (0, 0, 1)))
    >>> round(gap_to_level_prism(plate, 0, 13, 9)(10, 1), 6), gap_to_level_prism(plate, 0, 13, 5)(14, 1)
    (4.242641, 0.0)
    """
    middle, height = prism.local(np.array([[x, y, z]]))
    aside = max(prism.low - float(height[0]), float(height[0]) - prism.high, 0.0)
    upward = complex(prism.axes[0, 2], prism.axes[1, 2]).conjugate()
    start, end = ((points - middle[0]) * upward for points in prism.section.chords)  # real part up, imaginary level
    around = bool(prism.section.inside(middle)[0])
    centre, half_length = (start + end) / 2, np.abs(end - start) / 2

    def gap(radius: float, half_height: float) -> float:
        if around:
            return max(aside - radius, 0.0)

        def away(points: Points) -> Floats:
            beside = np.maximum(np.hypot(points.imag, aside) - radius, 0.0)
            return np.hypot(beside, np.maximum(np.abs(points.real) - half_height, 0.0))

        best = float(away(start).min())
        near = away(centre) - half_length < best
        p, q = start[near], end[near]
        for _ in range(_ROUNDS if len(p) else 0):
            points = p[:, None] + _STEPS * (q - p)[:, None]
            least, row = away(points), np.arange(len(p))
            k = least.argmin(axis=1)
            best = min(best, float(least[row, k].min()))
            near = least[row, k] - np.abs(q - p) / 8 <= best
            p, q = points[row, np.maximum(k - 1, 0)][near], points[row, np.minimum(k + 1, len(_STEPS) - 1)][near]
        return best

    return gap
