"""The rigid wake of a lifting disc as a skewed cylinder of vortex rings, and what it does to another disc.

The rings of a straight wake make up a sheet whose generators all run in the direction of the wake. Along a generator
the law of Biot and Savart integrates in closed form, so what is left is one integral round the rim:

    w / v0 = 1/(2 pi) int [(1 - x cos t - y sin t) / sqrt(A) + sin(chi) cos(t)] / (sqrt(A) - B) dt,

A the squared distance from the rim's point, B the distance from it along the wake. Lengths are in radii of the disc
that sheds the wake; x downstream along the disc, y across, z along the thrust; wakes leave in (sin chi, 0, -cos chi).
w is positive against the thrust, as at the disc itself. v0 is that at the disc's centre, by momentum theory the mean.
Left out: contraction (except between discs on one axis), rolling up, swirl, what bends the wake, speeds along the disc.
Sources: Coleman, Feingold, Stempin, NACA ARR L5E10 (1945), from memory; the integral is worked out here.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.interpolate import CubicSpline

__all__ = ["CORE", "SKEWS", "Interference", "disc_inflow", "inflow_of_many", "interference", "wake_inflow"]

Array = NDArray[np.float64]
CORE = 0.05
"""Thickness that rounds off the sheet, in radii; twice or half of it moves a mean over a disc by 0.01 at most."""
SKEWS = np.radians(np.concatenate([np.arange(0.0, 60.0, 7.5), np.arange(60.0, 90.1, 1.25)]))
"""Skew angles that pairs are worked out at, from hover to a wake along the disc [rad]."""
_RIM = 128  # points on the rim
_ONE_AXIS = 0.05  # axes nearer than this, in radii, are one
_RINGS, _SPOKES = 8, 24  # points on the disc that feels the wake


@dataclass(frozen=True)
class Interference:
    """What the wakes of discs do to one another, as smooth functions of the wake's skew.

    Parameters
    ----------
    mean : (n_skews, n, n) array
        Mean inflow over disc j from the wake of disc i, in that order, over v0 of disc i [-]; 0 on the diagonal.
    slope : (n_skews, n, n) array
        Growth of that inflow from the middle of disc j to its downstream rim [-].
    fall : (n, n) array
        h / sqrt(h^2 + R^2) where disc j stands below disc i on one axis, else 0: how much faster the air has become
        there than at disc i, in v0, and so how much narrower the wake [-].
    """

    mean: Array
    slope: Array
    fall: Array

    @functools.cached_property
    def cubics(self) -> Array:
        """Of mean and slope between SKEWS, (n_skews - 1, n, 4, n, 2): by disc i, power from the highest, disc j."""
        found = CubicSpline(SKEWS, np.stack([self.mean, self.slope], axis=-1)).c
        return np.ascontiguousarray(found.transpose(1, 2, 0, 3, 4))

    def at(self, skew: ArrayLike) -> tuple[Array, Array]:
        """Return mean and slope for the skew of each shedding disc.

        Parameters
        ----------
        skew : (..., n) array
            Of the wake of disc i, held between 0 and pi / 2 [rad].

        Returns
        -------
        (..., n, n) array, (..., n, n) array
            On disc j, the last axis, from disc i [-].
        """
        chi = np.asarray(skew, dtype=np.float64)
        return inflow_of_many(self.cubics[None], np.zeros(chi.shape, dtype=np.intp), chi)


def inflow_of_many(cubics: Array, craft: NDArray[np.intp], skew: Array) -> tuple[Array, Array]:
    """Return mean and slope for discs of several craft at once.

    Parameters
    ----------
    cubics : (n_craft, n_skews - 1, n, 4, n, 2) array
        `cubics` of each.
    craft : int array that broadcasts with skew
        Which of them a skew belongs to.
    skew : (..., n) array
        As in `Interference.at` [rad].

    Returns
    -------
    (..., n, n) array, (..., n, n) array
        As from `Interference.at`.
    """
    chi = np.clip(skew, SKEWS[0], SKEWS[-1])
    low = np.clip(np.searchsorted(SKEWS, chi, side="right") - 1, 0, SKEWS.size - 2)
    c = cubics[craft, low, np.arange(chi.shape[-1])]
    t = (chi - SKEWS[low])[..., None, None]
    found = ((c[..., 0, :, :] * t + c[..., 1, :, :]) * t + c[..., 2, :, :]) * t + c[..., 3, :, :]
    return found[..., 0], found[..., 1]


def wake_inflow(points: Array, skew: float, core: float = CORE, rim: int = _RIM) -> Array:
    """Return the inflow at points over that at the centre of the disc that sheds the wake.

    Parameters
    ----------
    points : (n, 3) array
        In the axes of the module, in radii [-].
    skew : float
        Angle of the wake from the disc's axis, 0 in hover, below pi / 2 [rad].
    core : float
        Thickness that rounds off the sheet, in radii [-].
    rim : int
        Points on the rim that the integral is taken over.

    Returns
    -------
    (n,) array
        w / v0 [-].

    Examples
    --------
    >>> below = np.array([[0.0, 0.0, -1.0]])  # in hover 1 + h / sqrt(h^2 + 1)
    >>> round(float(wake_inflow(below, 0.0, core=0.0)[0]), 6)
    1.707107
    """
    angle = (np.arange(rim) + 0.5) * 2 * math.pi / rim
    cos, sin = np.cos(angle), np.sin(angle)
    x, y, z = (points[:, k, None] for k in range(3))
    away_x, away_y = x - cos, y - sin
    distance = np.sqrt(away_x**2 + away_y**2 + z**2 + core**2)
    along = away_x * math.sin(skew) - z * math.cos(skew)
    across = 1 - x * cos - y * sin
    return np.asarray(((across / distance + math.sin(skew) * cos) / (distance - along)).mean(axis=1), dtype=np.float64)


def disc_inflow(dx: float, dy: float, dz: float, skew: float, ratio: float = 1.0) -> tuple[float, float]:
    """Return mean and slope of the inflow on a disc from the wake of another.

    Parameters
    ----------
    dx, dy, dz : float
        Middle of the disc that feels the wake, from that which sheds it, in radii of the latter [-].
    skew : float
        Angle of the wake from the axis [rad].
    ratio : float
        Radius of the disc that feels over that which sheds [-].

    Returns
    -------
    float, float
        Mean over the disc, which is what thrust answers to with blades of even chord; growth from the middle to the
        downstream rim by the first moment. Both over v0 [-].

    Examples
    --------
    >>> mean, slope = disc_inflow(2.6, 0.0, 0.0, math.radians(80))  # behind, on the same height, in fast flight
    >>> round(mean, 2), round(slope, 2)
    (0.94, -0.28)
    """
    disc, weight = _disc_points()
    found = wake_inflow(disc * ratio + np.array([dx, dy, dz]), skew) * weight
    return float(found.sum()), float(4 * (found * disc[:, 0]).sum())


def interference(centres: Sequence[tuple[float, float, float]], radii: Sequence[float]) -> Interference:
    """Return what all discs of a craft do to one another.

    Parameters
    ----------
    centres : sequence of (float, float, float)
        Middle of each disc: aft, left, up [m].
    radii : sequence of float
        Of each disc [m].

    Returns
    -------
    Interference
        A pair that stands like another is worked out once in a process, whatever the craft.
    """
    n = len(centres)
    mean, slope, fall = np.zeros((SKEWS.size, n, n)), np.zeros((SKEWS.size, n, n)), np.zeros((n, n))
    for i in range(n):
        for j in range(n):
            if i != j:
                away = [(b - a) / radii[i] for a, b in zip(centres[i], centres[j], strict=True)]
                row = _pair(round(away[0], 6), abs(round(away[1], 6)), round(away[2], 6), round(radii[j] / radii[i], 6))
                mean[:, i, j], slope[:, i, j] = row
                if math.hypot(away[0], away[1]) < _ONE_AXIS and away[2] < 0:
                    fall[i, j] = -away[2] / math.hypot(away[2], 1.0)
    return Interference(mean, slope, fall)


@functools.lru_cache(maxsize=4096)
def _pair(dx: float, dy: float, dz: float, ratio: float) -> Array:
    """Return mean and slope of a pair over SKEWS, (2, n_skews)."""
    rows = np.array([disc_inflow(dx, dy, dz, float(s), ratio) for s in SKEWS]).T
    return np.asarray(rows, dtype=np.float64)


@functools.cache
def _disc_points() -> tuple[Array, Array]:
    """Points of a disc of radius 1 and their weights: Gauss in the square of the radius, even round it."""
    nodes, weights = np.polynomial.legendre.leggauss(_RINGS)
    radius = np.sqrt((nodes + 1) / 2)
    angle = (np.arange(_SPOKES) + 0.5) * 2 * math.pi / _SPOKES
    r, t = np.meshgrid(radius, angle, indexing="ij")
    points = np.column_stack([(r * np.cos(t)).ravel(), (r * np.sin(t)).ravel(), np.zeros(r.size)])
    return points, np.repeat(weights / 2 / _SPOKES, _SPOKES)
