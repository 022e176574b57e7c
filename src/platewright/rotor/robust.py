"""Fits that up to half of the rows may spoil, wherever they lie: a start that few rows cannot pull, then least squares.

A line starts from repeated medians (Siegel, 1982), two factors without a constant from the least median of squares over
all pairs of rows (Rousseeuw, 1984). Rows further off than 3.5 scaled median deviations are set aside, the scale made
larger for few rows by 1 + 5 / (n - 2), and the rest is fitted by least squares until nothing changes.
Source: Rousseeuw & Leroy, Robust Regression and Outlier Detection (1987), ch. 1, 2 and 5, from memory.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import t as student

__all__ = ["RobustFit", "robust_line", "robust_ratio"]

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
_OUTLIER = 3.5
_TO_SIGMA = 1.4826  # median absolute deviation to standard deviation of a normal law
_LEAST_SCALE = 0.003  # of a relative reading: what a stand tells apart at best
_ROUNDS = 10
_MOST = 300  # rows that a start looks at; of more, every so many
_MOST_OF_PAIRS = 60  # the same where all pairs are tried
_FLAT = 0.1  # spread of the position below which no slope is asked for
_NINE_TENTHS = 0.95  # of Student's law: what nine in ten keep on both sides


@dataclass(frozen=True)
class RobustFit:
    """A fit.

    Parameters
    ----------
    factors : (2,) array
        Of a line slope and level, of a ratio the two factors.
    error : (2,) array
        That nine in ten keep, from the scatter of the kept rows; infinite without rows to spare.
    kept : (n_rows,) bool array
        Rows that the fit rests on.
    residual : (n_rows,) array
        Value less fit, of all rows.
    scatter : float
        Standard deviation of the kept rows' residuals.
    """

    factors: Array
    error: Array
    kept: Bools
    residual: Array
    scatter: float


def robust_line(position: Array, value: Array, good: Bools) -> RobustFit:
    """Fit a line.

    Parameters
    ----------
    position, value : (n_rows,) array
        Across and up.
    good : (n_rows,) bool array
        Rows to look at.

    Returns
    -------
    RobustFit
        Factors are slope and level; the slope is 0 where positions hardly differ.

    Examples
    --------
    >>> x = np.arange(8.0)
    >>> y = 2 * x + 1
    >>> y[0], y[7] = 90.0, -50.0
    >>> fit = robust_line(x, y, np.ones(8, dtype=bool))
    >>> fit.factors.round(3).tolist(), np.flatnonzero(~fit.kept).tolist()
    ([2.0, 1.0], [0, 7])
    """
    is_flat = float(np.ptp(position[good])) <= _FLAT
    design = np.column_stack([np.zeros_like(position) if is_flat else position, np.ones_like(position)])
    some = _some(good, _MOST)
    slope = 0.0 if is_flat else _repeated_median(position[some], value[some])
    level = float(np.median(value[some] - slope * position[some]))
    return _refined(design, value, good, np.array([slope, level]), 1 if is_flat else 2)


def robust_ratio(design: Array, value: Array, good: Bools) -> RobustFit:
    """Fit a sum of two columns times factors, without a constant.

    Parameters
    ----------
    design : (n_rows, 2) array
        Columns.
    value : (n_rows,) array
        What their sum should be.
    good : (n_rows,) bool array
        Rows to look at.

    Returns
    -------
    RobustFit
        With both factors.
    """
    some = _some(good, _MOST_OF_PAIRS)
    a, b = design[some], value[some]
    best, start = np.inf, np.asarray(np.linalg.lstsq(a, b, rcond=None)[0], dtype=np.float64)
    for pair in itertools.combinations(range(some.size), 2):
        rows = a[list(pair)]
        if abs(np.linalg.det(rows)) < 1e-9 * np.abs(rows).max() ** 2:
            continue
        found = np.linalg.solve(rows, b[list(pair)])
        middle = float(np.median(np.abs(b - a @ found)))
        if middle < best:
            best, start = middle, np.asarray(found, dtype=np.float64)
    return _refined(design, value, good, np.asarray(start, dtype=np.float64), 2)


def _refined(design: Array, value: Array, good: Bools, start: Array, unknowns: int) -> RobustFit:
    """Set aside what lies far off, and fit again until nothing changes; half of the rows stay at least."""
    found, kept = start, np.zeros_like(good)
    few = 1 + 5 / max(int(np.count_nonzero(good)) - unknowns, 1)
    for _ in range(_ROUNDS):
        rest = np.abs(value - design @ found)
        middle = float(np.median(rest[good]))
        fresh = good & (rest <= max(_OUTLIER * _TO_SIGMA * few * middle, middle, _OUTLIER * _LEAST_SCALE))
        if np.array_equal(fresh, kept):
            break
        kept = fresh
        found = np.asarray(np.linalg.lstsq(design[fresh], value[fresh], rcond=None)[0], dtype=np.float64)
    residual = value - design @ found
    return RobustFit(found, _error(design, residual, kept, unknowns), kept, residual, float(np.std(residual[kept])))


def _error(design: Array, residual: Array, kept: Bools, unknowns: int) -> Array:
    spare = int(np.count_nonzero(kept)) - unknowns
    if spare < 1:
        return np.full(2, np.inf)
    square = float(residual[kept] @ residual[kept]) / spare
    spread = np.sqrt(square * np.clip(np.diag(np.linalg.pinv(design[kept].T @ design[kept])), 0.0, None))
    return np.asarray(student.ppf(_NINE_TENTHS, spare) * spread, dtype=np.float64)


def _repeated_median(x: Array, y: Array) -> float:
    """Median over rows of the median slope to all others; rows at one place say nothing to one another."""
    away = x[None, :] - x[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        slopes = np.where(away == 0, np.nan, (y[None, :] - y[:, None]) / away)
    return float(np.nanmedian(np.nanmedian(slopes, axis=1)))


def _some(good: Bools, most: int) -> NDArray[np.intp]:
    rows = np.flatnonzero(good)
    return rows[:: -(-rows.size // most)] if rows.size > most else rows
