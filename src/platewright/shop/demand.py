"""Demand of items from what was sold: means, spreads and covariances per day, and what sharing an item saves.

Demand of kits is known week by week. A part's demand is the sum over frames of kits times pieces, so its variance is
w' C w with the covariance C of the kits' demands and the pieces w. Kept apart for each frame, the safety stocks would
follow the sum of spreads; kept together they follow the spread of the sum (risk pooling): for n equal demands with
correlation r the ratio is sqrt((1 + (n - 1) r) / n), the square-root law of Maister for r = 0.

Sources: Maister, International Journal of Physical Distribution 6, 1976; Eppen, Management Science 25, 1979; both from
memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["WEEK", "Demands", "Pooling", "demands_of", "pooling"]

WEEK = 7
"""Days of one bucket of demand."""
_FEWEST = 8  # weeks with which spreads are taken from data, not assumed Poisson [-]
Vector = NDArray[np.float64]


@dataclass(frozen=True)
class Demands:
    """Demands of several things.

    Parameters
    ----------
    means : ndarray
        [1/day].
    covariance : ndarray
        Variances and covariances of a day's demand [1/day].
    measured : bool
        Spreads are from data; otherwise there were too few weeks, and each demand is taken as Poisson and independent.
    """

    means: Vector
    covariance: Vector
    measured: bool


@dataclass(frozen=True)
class Pooling:
    """Spread of demand when users keep an item apart and when they share it.

    Parameters
    ----------
    apart : float
        Sum of standard deviations of a day [1/day].
    together : float
        Standard deviation of the sum [1/day].
    correlation : float
        Mean correlation of pairs, weighted by their spreads; not a number when fewer than two vary [-].
    """

    apart: float
    together: float
    correlation: float

    @property
    def ratio(self) -> float:
        """Safety stock together over apart; 1 when nothing varies [-]."""
        return self.together / self.apart if self.apart > 0 else 1.0


def demands_of(weeks: Vector) -> Demands:
    """Return demands from sales by week.

    Parameters
    ----------
    weeks : ndarray
        A row for each thing, a column for each week, pieces sold [-].

    Notes
    -----
    With fewer than 8 weeks the variance is taken as Poisson. With more it is measured, but never taken as less than
    Poisson: a few like weeks by chance are no promise of steady demand.

    Examples
    --------
    >>> found = demands_of(np.array([[0.0, 7.0, 14.0, 7.0]]))
    >>> float(found.means[0]), found.measured
    (1.0, False)
    """
    if weeks.ndim != 2 or weeks.shape[1] < 1:
        msg = f"sales need a row for each thing and a week or more (got the shape {weeks.shape})."
        raise ValueError(msg)
    means = weeks.mean(axis=1) / WEEK
    if weeks.shape[1] < _FEWEST:
        return Demands(means, np.diag(means), False)
    covariance = np.atleast_2d(np.cov(weeks, ddof=1)) / WEEK
    missing = np.maximum(means - np.diag(covariance), 0.0)
    return Demands(means, covariance + np.diag(missing), True)


def pooling(pieces: Sequence[float], covariance: Vector) -> Pooling:
    """Return what sharing does to the spread of an item's demand.

    Parameters
    ----------
    pieces : sequence of float
        Of the item, that each user takes for one of its own [-].
    covariance : ndarray
        Of the users' demands, from `demands_of` [1/day].

    Examples
    --------
    >>> round(pooling([1, 1, 1, 1], np.eye(4)).ratio, 12)
    0.5
    """
    weights = np.asarray(pieces, dtype=float)
    spreads = weights * np.sqrt(np.diag(covariance))
    variance = float(weights @ covariance @ weights)
    pairs = float(spreads.sum() ** 2 - (spreads**2).sum())
    correlation = (variance - float((spreads**2).sum())) / pairs if pairs > 1e-300 else math.nan
    return Pooling(float(spreads.sum()), math.sqrt(max(variance, 0.0)), correlation)
