"""A length with its tolerance, kept as a sum of named contributors so that shared ones cancel or add as they must.

A term is the half-width a contributor gives to this length, with its sign: two heights that stand on the same plate
carry the same name, and their difference loses it. Worst case is the sum of the sizes, root-sum-square the square root
of their squares; the Monte Carlo draws every contributor from a normal distribution of one third of its half-width,
cut off at the half-width (an assumption: sheets and nuts are sorted by nobody).
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

__all__ = ["Affine", "Draws", "combine", "exactly", "plus_minus"]


@dataclass(frozen=True)
class Affine:
    """A nominal length and its contributors [mm].

    Parameters
    ----------
    nominal : float
        Nominal value [mm].
    terms : mapping of str to float
        Signed half-width by contributor [mm].

    Examples
    --------
    >>> plate = plus_minus(5.0, 0.25, "arm")
    >>> (plate + plus_minus(2.0, 0.1, "base") - plate).worst
    0.1
    """

    nominal: float
    terms: Mapping[str, float] = field(default_factory=dict)

    def __add__(self, other: Affine) -> Affine:
        return combine(((1.0, self), (1.0, other)))

    def __sub__(self, other: Affine) -> Affine:
        return combine(((1.0, self), (-1.0, other)))

    def __neg__(self) -> Affine:
        return combine(((-1.0, self),))

    @property
    def worst(self) -> float:
        """Worst-case half-width [mm]."""
        return sum(abs(v) for v in self.terms.values())

    @property
    def rss(self) -> float:
        """Root-sum-square half-width [mm]."""
        return math.sqrt(sum(v * v for v in self.terms.values()))

    @property
    def low(self) -> float:
        """Least value in the worst case [mm]."""
        return self.nominal - self.worst

    @property
    def high(self) -> float:
        """Greatest value in the worst case [mm]."""
        return self.nominal + self.worst


def exactly(value: float) -> Affine:
    """Return a length without tolerance [mm]."""
    return Affine(float(value))


def plus_minus(nominal: float, half_width: float, name: str) -> Affine:
    """Return a length with one contributor of its own [mm]."""
    return Affine(float(nominal), {name: float(half_width)} if half_width else {})


def combine(weighted: Iterable[tuple[float, Affine]]) -> Affine:
    """Weighted sum of lengths.

    Parameters
    ----------
    weighted : iterable of (float, Affine)
        Factors [-] and lengths [mm].
    """
    nominal, terms = 0.0, dict[str, float]()
    for factor, length in weighted:
        nominal += factor * length.nominal
        for name, value in length.terms.items():
            terms[name] = terms.get(name, 0.0) + factor * value
    return Affine(nominal, {k: v for k, v in terms.items() if abs(v) > 1e-12})


class Draws:
    """Seeded joint draws of contributors: the same name gives the same column, whatever else is asked.

    Parameters
    ----------
    count : int
        Number of draws [-].
    seed : int
        Seed of the whole study [-].
    """

    def __init__(self, count: int = 4000, seed: int = 1) -> None:
        self.count = count
        self._seed = seed

    def of(self, length: Affine) -> NDArray[np.float64]:
        """(count,) drawn values of a length [mm]."""
        value = np.full(self.count, length.nominal)
        for name, half_width in length.terms.items():
            value += half_width * _column(name, self.count, self._seed)
        return value


@lru_cache(maxsize=512)  # the same wherever it is asked for: name and seed say all
def _column(name: str, count: int, seed: int) -> NDArray[np.float64]:
    generator = np.random.default_rng((seed, zlib.crc32(name.encode())))
    column: NDArray[np.float64] = np.clip(generator.normal(0.0, 1.0 / 3.0, count), -1.0, 1.0)
    column.setflags(write=False)
    return column
