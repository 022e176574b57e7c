"""Lives of parts as a Weibull distribution, by maximum likelihood with pieces that have not failed yet.

R(t) = exp(-(t / scale)^shape). A shape below 1 is early failure, 1 chance (a constant rate), above 1 wear. Times are in
any unit. Standard errors come from the observed information, intervals from the likelihood ratio: all values whose
best log-likelihood is within half the chi-squared quantile of the greatest.

Sources: Nelson, Applied Life Data Analysis, 1982; Meeker and Escobar, Statistical Methods for Reliability Data, 1998,
chapter 8; both from memory.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import chdtri, expit, logit

from platewright.shop.intervals import Interval

__all__ = ["WeibullFit", "fit_weibull"]

_LARGEST = 700.0  # exponents beyond it overflow [-]
_WIDEST = 60.0  # an interval that reaches further in the logarithm is without end [-]
_SCALE_SHARE = 1 - math.exp(-1)  # failed at the scale [-]


@dataclass(frozen=True)
class WeibullFit:
    """A fitted life.

    Parameters
    ----------
    shape, scale : float
        Most likely [-], [time].
    shape_error, log_scale_error : float
        Standard errors of the shape and of ln(scale) [-].
    log_likelihood : float
        At the fit, of times in the unit given [-].
    log_times, failed : NDArray
        What was fitted: ln(time), and 1 for a failure, 0 for a piece that still held then.
    """

    shape: float
    scale: float
    shape_error: float
    log_scale_error: float
    log_likelihood: float
    log_times: NDArray[np.float64]
    failed: NDArray[np.float64]

    @property
    def n_failed(self) -> int:
        """Pieces that failed [-]."""
        return int(self.failed.sum())

    def reliability(self, time: float) -> float:
        """Return the share that holds a time, 0 or more [time]."""
        return math.exp(-((time / self.scale) ** self.shape))

    def life(self, share: float) -> float:
        """Return the time by which a share, between 0 and 1, has failed; B10 is `life(0.1)` [time]."""
        return self.scale * math.pow(-math.log1p(-share), 1 / self.shape)

    def shape_interval(self, confidence: float = 0.95) -> Interval:
        """Return the likelihood interval of the shape [-]."""
        return self._interval(self._of_shape, math.log(self.shape), confidence, math.exp)

    def scale_interval(self, confidence: float = 0.95) -> Interval:
        """Return the likelihood interval of the scale [time]."""
        return self.life_interval(_SCALE_SHARE, confidence)

    def life_interval(self, share: float, confidence: float = 0.95) -> Interval:
        """Return the likelihood interval of the time by which a share has failed [time]; its end may be infinite."""
        start = math.log(self.life(share))
        return self._interval(lambda log_life: self._through(log_life, share), start, confidence, math.exp)

    def reliability_interval(self, time: float, confidence: float = 0.95) -> Interval:
        """Return the likelihood interval of the share that holds a time above 0 [-]."""
        log_time = math.log(time)
        start = float(logit(min(max(self.reliability(time), 1e-300), 1 - 1e-15)))
        return self._interval(lambda x: self._through(log_time, float(expit(-x))), start, confidence, _expit)

    def _interval(
        self, profile: Callable[[float], float], start: float, confidence: float, back: Callable[[float], float]
    ) -> Interval:
        """Return where a profile of the log-likelihood is still near enough to the greatest."""
        if not 0 < confidence < 1:
            msg = f"confidence must lie between 0 and 1 (got {confidence})."
            raise ValueError(msg)
        least = self.log_likelihood - float(chdtri(1, 1 - confidence)) / 2

        def above(x: float) -> float:
            return profile(x) - least

        ends = []
        for side in (-1, 1):
            step = 0.1
            while step < _WIDEST and above(start + side * step) > 0:
                step *= 2
            if step >= _WIDEST:
                ends.append(back(side * math.inf))
            else:
                ends.append(back(float(brentq(above, start, start + side * step, xtol=1e-10))))
        return Interval(ends[0], ends[1], confidence)

    def _of_shape(self, log_shape: float) -> float:
        """Return the log-likelihood of a shape with its best scale."""
        shape = math.exp(log_shape)
        return _log_likelihood(shape, _best_log_scale(shape, self.log_times, self.failed), self.log_times, self.failed)

    def _through(self, log_life: float, share: float) -> float:
        """Return the greatest log-likelihood of all fits in which this share has failed at this time."""
        reduced = math.log(max(-math.log1p(-share), 1e-300))
        beyond = self.log_times - log_life

        def slope(shape: float) -> float:
            hazard = np.exp(np.minimum(shape * beyond + reduced, _LARGEST))
            return float(self.failed @ (1 / shape + beyond) - beyond @ hazard)

        shape = _root(slope, self.shape)
        return _log_likelihood(shape, log_life - reduced / shape, self.log_times, self.failed)


def fit_weibull(times: Sequence[float], failed: Sequence[bool]) -> WeibullFit:
    """Fit shape and scale to lives, some of which have not ended.

    Parameters
    ----------
    times : sequence of float
        Time of each failure, or up to which a piece was seen to hold, above 0 [time].
    failed : sequence of bool
        Whether the piece failed then.

    Raises
    ------
    ValueError
        If the times are not above 0, nothing failed, or nothing held longer than the failures: then no shape is the
        most likely one.

    Examples
    --------
    >>> fit = fit_weibull([1.0, 2.0, 3.0, 4.0], [True, True, True, False])
    >>> round(fit.shape, 3), round(fit.scale, 3)
    (1.832, 3.162)
    """
    log_times, ended = _checked(times, failed)
    middle = float(log_times @ ended / ended.sum())

    def slope(shape: float) -> float:
        weights = np.exp(shape * (log_times - log_times.max()))
        return 1 / shape + middle - float(weights @ log_times / weights.sum())

    shape = _root(slope, 1.0)
    log_scale = _best_log_scale(shape, log_times, ended)
    beyond = log_times - log_scale
    hazard = np.exp(shape * beyond)
    cross = -shape * float(beyond @ hazard)
    information = np.array(
        [
            [ended.sum() / shape**2 + float(beyond**2 @ hazard), cross],
            [cross, shape**2 * float(hazard.sum())],
        ]
    )
    errors = np.sqrt(np.diag(np.linalg.inv(information)))
    return WeibullFit(
        shape,
        math.exp(log_scale),
        float(errors[0]),
        float(errors[1]),
        _log_likelihood(shape, log_scale, log_times, ended),
        log_times,
        ended,
    )


def _checked(times: Sequence[float], failed: Sequence[bool]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    if len(times) != len(failed):
        msg = f"each time needs its answer to whether the piece failed (got {len(times)} and {len(failed)})."
        raise ValueError(msg)
    lives, ended = np.asarray(times, dtype=float), np.asarray(failed, dtype=float)
    if not (np.isfinite(lives).all() and (lives > 0).all()):
        msg = "every time must be above 0."
        raise ValueError(msg)
    if not ended.any():
        msg = "nothing failed, so no life can be fitted; the one-sided limit of the rate still tells something."
        raise ValueError(msg)
    if lives[ended > 0].min() >= lives.max():
        msg = "all failures came at the longest time, so every steeper fit is likelier; times must differ."
        raise ValueError(msg)
    return np.log(lives), ended


def _root(falling: Callable[[float], float], start: float) -> float:
    """Return where a function of a number above 0 that falls from above 0 to below is 0."""
    low = high = start
    while falling(low) < 0:
        low /= 2
    while falling(high) > 0:
        high *= 2
    return low if low == high else float(brentq(falling, low, high, xtol=1e-14, rtol=1e-13))


def _best_log_scale(shape: float, log_times: NDArray[np.float64], failed: NDArray[np.float64]) -> float:
    """Return ln(scale) with the greatest likelihood for a shape: scale^shape = sum(t^shape) / failures."""
    top = float(log_times.max())
    return top + math.log(float(np.exp(shape * (log_times - top)).sum()) / float(failed.sum())) / shape


def _log_likelihood(
    shape: float, log_scale: float, log_times: NDArray[np.float64], failed: NDArray[np.float64]
) -> float:
    reduced = np.minimum(shape * (log_times - log_scale), _LARGEST)
    density = math.log(shape) + reduced - log_times
    return float(failed @ density - np.exp(reduced).sum())


def _expit(x: float) -> float:
    return float(expit(x))
