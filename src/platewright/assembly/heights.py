"""What the heights of a design are told in: planes of plates, spans of items, gaps before tightening. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.affine import Affine, combine

__all__ = ["Gap", "Level", "LevelError", "Levels", "Span"]


class LevelError(ValueError):
    """A place cannot be given a height; `place` is its id."""

    def __init__(self, place: str, reason: str) -> None:
        self.place = place
        super().__init__(reason)


@dataclass(frozen=True)
class Level:
    """The underside (or near face) of one instance: a plane through weighted support heights [mm]."""

    points: tuple[tuple[float, float], ...]
    heights: tuple[Affine, ...]
    lines: tuple[str, ...]

    def at(self, a: float, b: float) -> Affine:
        """Height at a point of the plane."""
        return combine(zip(self._weights(a, b), self.heights, strict=True))

    @property
    def slope(self) -> tuple[float, float]:
        """Nominal rise per mm along the plane's two axes [-]."""
        origin, a, b = (self.at(*p).nominal for p in ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)))
        return a - origin, b - origin

    @property
    def is_plane(self) -> bool:
        """Whether three supports or more, not in line, set it; else it is level at their mean height."""
        return self._inverse is not None

    def _weights(self, a: float, b: float) -> list[float]:
        count = len(self.points)
        if self._inverse is None:
            return [1.0 / count] * count
        weights: list[float] = (np.array([1.0, a, b]) @ self._inverse).tolist()
        return weights

    @cached_property
    def _inverse(self) -> NDArray[np.float64] | None:
        """From support heights to the plane's coefficients; None for fewer than three supports, or all in line."""
        count = len(self.points)
        matrix = np.column_stack([np.ones(count), np.asarray(self.points, float)])
        if count < 3 or np.linalg.matrix_rank(matrix, tol=1e-6 * max(1.0, float(np.abs(matrix).max()))) < 3:
            return None
        inverse: NDArray[np.float64] = np.linalg.pinv(matrix)
        return inverse


@dataclass(frozen=True)
class Span:
    """From where to where an item lies on its line [mm]; a screw's span is the face under its head."""

    start: Affine
    end: Affine


@dataclass(frozen=True)
class Gap:
    """Air (positive) or overlap (negative) between a plate's plane and its support, before tightening [mm]."""

    instance: str
    line: str
    a: float
    b: float
    gap: Affine


@dataclass(frozen=True)
class Levels:
    """Heights of a whole design.

    Parameters
    ----------
    level : mapping of str to Level
        By instance name.
    order : tuple of str
        Instance names in the order they were fixed.
    spans : mapping of str to tuple of Span or None
        By line name, one per item; None for access places and gaps.
    gaps : tuple of Gap
        Every column point of every plate that does not lie on its plane by construction.
    built : mapping of str to Level
        By instance name, the plane in which a plate lies once its screws are tight: that of `level`, or for a plate
        bowed over columns of different height the one through its first and last columns along the frame.
    """

    level: Mapping[str, Level]
    order: tuple[str, ...]
    spans: Mapping[str, tuple[Span | None, ...]]
    gaps: tuple[Gap, ...]
    built: Mapping[str, Level]
