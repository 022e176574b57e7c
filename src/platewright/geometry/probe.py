"""Many points asked of one outline: whether each lies in material, and how far the nearest edge is [mm].

The same answers as `loops.contains` and `loops.distance_to_edge`, with the outline's edges prepared once.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from platewright.geometry.curves import Bools, Floats, Points, Spans, curves_of
from platewright.geometry.loops import Outline, bounding_box

__all__ = ["Probe", "distances_beside", "probe_of"]

_OWN = 0.01  # a round hole whose centre is nearer than this is the point's own [mm]


class Probe:
    """An outline made ready for questions about points.

    Parameters
    ----------
    outline : Outline
        The plate; its round holes lie apart from one another and from its edges.

    Examples
    --------
    >>> from platewright.geometry.loops import Circle
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> probe = Probe(Outline(rectangle_loop(0, 0, 20, 10), circles=(Circle(0, 0, 1.5),)))
    >>> probe.contains([(5, 0), (1, 0)]).tolist(), probe.distance([(5, 0)]).tolist()
    ([True, False], [3.5])
    """

    def __init__(self, outline: Outline) -> None:
        self.box = bounding_box(outline)
        self._loops = curves_of([loop.vertices for loop in (outline.outer, *outline.inner)])
        self._spans = Spans(self._loops, np.zeros(len(self._loops), dtype=np.intp))
        self._centre = np.array([complex(c.x, c.y) for c in outline.circles], dtype=complex)
        self._radius = np.array([c.radius for c in outline.circles], dtype=float)

    def contains(self, points: Sequence[tuple[float, float]]) -> Bools:
        """Return whether each point [mm] lies in material."""
        at = _complex(points)
        in_hole = (np.abs(at[:, None] - self._centre) <= self._radius).any(axis=1)
        result: Bools = self._spans.inside(at)[:, 0] & ~in_hole
        return result

    def distance(self, points: Sequence[tuple[float, float]], skip_own: bool = False) -> Floats:
        """Return the distance from each point to the nearest boundary curve [mm].

        Parameters
        ----------
        points : sequence of (float, float)
            The points [mm].
        skip_own : bool
            Leave out, for each point, the round hole it is the centre of.
        """
        at = _complex(points)
        result: Floats = self._loops.distance(at).min(axis=1)
        if len(self._centre):
            apart = np.abs(at[:, None] - self._centre)
            to_circle = np.abs(apart - self._radius)
            if skip_own:
                to_circle[apart <= _OWN] = np.inf
            result = np.minimum(result, to_circle.min(axis=1))
        return result

    def closed_to(self, x: float, y: float, radius: float) -> bool:
        """Return whether a round path of some radius at a point [mm] meets material."""
        x0, y0, x1, y1 = self.box
        if not (x0 - radius < x < x1 + radius and y0 - radius < y < y1 + radius):
            return False
        return bool(self.contains([(x, y)])[0]) or bool(self.distance([(x, y)])[0] < radius)


@lru_cache(maxsize=256)  # by the outline's content
def probe_of(outline: Outline) -> Probe:
    """Return the probe of an outline, prepared once."""
    return Probe(outline)


@lru_cache(maxsize=256)
def distances_beside(outline: Outline, points: tuple[tuple[float, float], ...]) -> tuple[float, ...]:
    """Return the distance from each point to the nearest boundary but the round hole it is the centre of [mm]."""
    return tuple(probe_of(outline).distance(points, skip_own=True).tolist())


def _complex(points: Sequence[tuple[float, float]]) -> Points:
    return np.array([complex(x, y) for x, y in points], dtype=complex)
