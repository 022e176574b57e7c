"""What a few events tell of a rate: exact Poisson intervals, two rates compared, how much must be seen, median ranks.

Events are counts of a Poisson process; exposure is what they are counted over (units sold, flights, hours), in any unit
that both sides share. Two-sided intervals leave (1 - confidence)/2 on each side. Numbers out of range raise ValueError.

Sources: Garwood, Biometrika 28, 1936 (exact interval by chi-squared); Przyborowski and Wilenski, Biometrika 31, 1940
(two counts: given their sum one of them is binomial); Clopper and Pearson, Biometrika 26, 1934; Abernethy, The New
Weibull Handbook (median ranks); all from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import bdtr, betaincinv, gammaincinv, pdtr, pdtrc

__all__ = [
    "Interval",
    "Rate",
    "RateRatio",
    "exposure_to_tell",
    "median_rank",
    "median_rank_benard",
    "poisson_interval",
    "poisson_upper",
    "rate_difference",
    "rate_of",
    "rate_ratio",
    "zero_failure_sample_size",
]

_MOST_EVENTS = 20_000  # of the new revision; where more would be needed there is no answer [-]


@dataclass(frozen=True)
class Interval:
    """From `low` to `high`, that holds the true value with at least `confidence` [-]."""

    low: float
    high: float
    confidence: float


@dataclass(frozen=True)
class Rate:
    """Events over their exposure, and the exact interval of the rate, both by the unit of exposure."""

    events: int
    exposure: float
    value: float
    interval: Interval


@dataclass(frozen=True)
class RateRatio:
    """Rate of the first over the rate of the second.

    Parameters
    ----------
    value : float
        Observed; infinite when only the second has no event, and not a number when neither has [-].
    interval : Interval
        Exact given the sum of both counts; from 0 to infinity when nothing happened [-].
    chance_if_equal : float
        Two-sided: how often two equal rates would look at least this unequal (twice the smaller tail, at most 1) [-].
    """

    value: float
    interval: Interval
    chance_if_equal: float


def poisson_interval(events: int, confidence: float = 0.95) -> Interval:
    """Return the exact interval of the mean of a Poisson count.

    Examples
    --------
    >>> found = poisson_interval(4)
    >>> round(found.low, 4), round(found.high, 4)
    (1.0899, 10.2416)
    """
    _check_count(events)
    tail = (1 - _checked_share(confidence, "confidence")) / 2
    low = float(gammaincinv(events, tail)) if events else 0.0
    return Interval(low, float(gammaincinv(events + 1, 1 - tail)), confidence)


def poisson_upper(events: int, confidence: float = 0.95) -> float:
    """Return the one-sided upper limit of the mean of a Poisson count; 3.0 for no event, the "rule of three".

    Examples
    --------
    >>> round(poisson_upper(0), 3)
    2.996
    """
    _check_count(events)
    return float(gammaincinv(events + 1, _checked_share(confidence, "confidence")))


def rate_of(events: int, exposure: float, confidence: float = 0.95) -> Rate:
    """Return events over exposure with the exact interval.

    Parameters
    ----------
    events : int
        0 or more [-].
    exposure : float
        Above 0, in any unit.
    confidence : float
        Between 0 and 1 [-].

    Examples
    --------
    >>> rate_of(3, 120).value
    0.025
    """
    _check_exposure(exposure)
    mean = poisson_interval(events, confidence)
    return Rate(events, exposure, events / exposure, Interval(mean.low / exposure, mean.high / exposure, confidence))


def rate_ratio(
    events: int, exposure: float, other_events: int, other_exposure: float, confidence: float = 0.95
) -> RateRatio:
    """Return how many times the other rate the first rate is, exactly given the sum of both counts.

    Given n = x + y, x is binomial with p = m/(1 + m), m = ratio x exposure / other exposure; the interval is Clopper
    and Pearson's interval of p.

    Parameters
    ----------
    events, other_events : int
        Counts [-].
    exposure, other_exposure : float
        Above 0, both in the same unit.
    confidence : float
        Between 0 and 1 [-].

    Examples
    --------
    >>> found = rate_ratio(2, 100, 10, 100)
    >>> found.value, round(found.interval.high, 3), round(found.chance_if_equal, 4)
    (0.2, 0.939, 0.0386)
    """
    _check_count(events)
    _check_count(other_events)
    _check_exposure(exposure)
    _check_exposure(other_exposure)
    tail = (1 - _checked_share(confidence, "confidence")) / 2
    both = events + other_events
    scale = other_exposure / exposure
    low = _odds(float(betaincinv(events, other_events + 1, tail))) * scale if events else 0.0
    high = _odds(float(betaincinv(events + 1, other_events, 1 - tail))) * scale if other_events else math.inf
    value = math.nan if both == 0 else math.inf if other_events == 0 else events / other_events * scale
    share = exposure / (exposure + other_exposure)
    below = float(bdtr(events, both, share))
    above = 1.0 if events == 0 else 1 - float(bdtr(events - 1, both, share))
    return RateRatio(value, Interval(low, high, confidence), min(1.0, 2 * min(below, above)))


def rate_difference(
    events: int, exposure: float, other_events: int, other_exposure: float, confidence: float = 0.95
) -> Interval:
    """Return an interval of the first rate less the other that holds it with at least the confidence.

    Both exact intervals are taken at the square root of the confidence; that both hold has the confidence, and then
    the difference lies between the differences of their ends. It is wider than need be, never too narrow.

    Examples
    --------
    >>> found = rate_difference(2, 100, 10, 100)
    >>> found.low < -0.08 < found.high
    True
    """
    each = math.sqrt(_checked_share(confidence, "confidence"))
    one = rate_of(events, exposure, each).interval
    other = rate_of(other_events, other_exposure, each).interval
    return Interval(one.low - other.high, one.high - other.low, confidence)


def exposure_to_tell(
    events: int, exposure: float, ratio: float, confidence: float = 0.95, power: float = 0.8
) -> float | None:
    """Return how much of a new revision must be seen to know that it is better than what was seen of the old.

    The new one counts as better when the exact conditional test, one-sided at 1 - confidence, says so. The returned
    exposure is the least at which that happens with the chance `power`, if the new rate is `ratio` times the old one's
    observed rate.

    Parameters
    ----------
    events, exposure : int, float
        Of the old revision, in any unit; the answer is in the same.
    ratio : float
        True rate of the new over the old, 0 <= ratio < 1 [-].
    confidence, power : float
        Between 0 and 1 [-].

    Returns
    -------
    float or None
        Exposure; None when no amount tells, because the old revision has too few events itself.

    Raises
    ------
    ValueError
        If a number is out of range.

    Examples
    --------
    >>> round(exposure_to_tell(10, 100, 0.25))
    117
    >>> exposure_to_tell(2, 100, 0.5) is None
    True
    """
    _check_count(events)
    _check_exposure(exposure)
    wanted = _checked_share(power, "power")
    risk = 1 - _checked_share(confidence, "confidence")
    if not 0 <= ratio < 1:
        msg = f"a better revision has a ratio of rates from 0 to below 1 (got {ratio})."
        raise ValueError(msg)
    if events == 0 or (ratio > 0 and pdtrc(events - 1, ratio * events) > risk):
        return None
    seen = np.arange(_MOST_EVENTS + 1)
    share = betaincinv(seen + 1, events, 1 - risk)
    with np.errstate(divide="ignore"):
        needed = exposure * share / (1 - share)
    reached = np.flatnonzero(pdtr(seen, ratio * events / exposure * needed) >= wanted)
    return float(needed[reached[0]]) if reached.size and math.isfinite(needed[reached[0]]) else None


def zero_failure_sample_size(reliability: float, confidence: float) -> int:
    """Return how many pieces must pass without a failure to show a reliability: ln(1 - C) / ln R, rounded up.

    Examples
    --------
    >>> zero_failure_sample_size(0.90, 0.90), zero_failure_sample_size(0.95, 0.95)
    (22, 59)
    """
    shown = _checked_share(reliability, "reliability")
    return math.ceil(math.log1p(-_checked_share(confidence, "confidence")) / math.log(shown) - 1e-12)


def median_rank(order: int, n: int) -> float:
    """Return the median of the share failed at the `order`-th of `n` failures: the median of Beta(i, n + 1 - i).

    Examples
    --------
    >>> round(median_rank(1, 5), 5)
    0.12945
    """
    _check_order(order, n)
    return float(betaincinv(order, n + 1 - order, 0.5))


def median_rank_benard(order: int, n: int) -> float:
    """Return Benard's approximation of the median rank, (i - 0.3)/(n + 0.4).

    Examples
    --------
    >>> round(median_rank_benard(1, 5), 5)
    0.12963
    """
    _check_order(order, n)
    return (order - 0.3) / (n + 0.4)


def _odds(share: float) -> float:
    return math.inf if share >= 1 else share / (1 - share)


def _check_count(events: int) -> None:
    if events < 0:
        msg = f"a number of events must be 0 or more (got {events})."
        raise ValueError(msg)


def _check_exposure(exposure: float) -> None:
    if not (exposure > 0 and math.isfinite(exposure)):
        msg = f"an exposure must be above 0 (got {exposure})."
        raise ValueError(msg)


def _check_order(order: int, n: int) -> None:
    if not 1 <= order <= n:
        msg = f"the order of a failure must be from 1 to the number of pieces, {n} (got {order})."
        raise ValueError(msg)


def _checked_share(share: float, name: str) -> float:
    if not 0 < share < 1:
        msg = f"{name} must lie between 0 and 1 (got {share})."
        raise ValueError(msg)
    return share
