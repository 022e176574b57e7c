from __future__ import annotations

import math

import numpy as np
import pytest

from platewright.shop.weibull import fit_weibull

TIMES = [12.0, 30.0, 30.0, 41.0, 55.0, 60.0, 60.0, 75.0]
FAILED = [True, False, True, True, False, True, False, False]


def _direct(shape: float, scale: float) -> float:
    """Log-likelihood written out piece by piece."""
    total = 0.0
    for time, failed in zip(TIMES, FAILED, strict=True):
        total -= (time / scale) ** shape
        if failed:
            total += math.log(shape / scale) + (shape - 1) * math.log(time / scale)
    return total


def test_likelihood_is_greatest_at_the_fit():
    fit = fit_weibull(TIMES, FAILED)
    assert fit.log_likelihood == pytest.approx(_direct(fit.shape, fit.scale))
    for shape, scale in ((1.01, 1), (0.99, 1), (1, 1.01), (1, 0.99)):
        assert _direct(fit.shape * shape, fit.scale * scale) < fit.log_likelihood
    assert fit.n_failed == 4


def test_standard_errors_are_the_curvature():
    fit = fit_weibull(TIMES, FAILED)
    h = 1e-3

    def at(a: float, b: float) -> float:
        return _direct(fit.shape + a, fit.scale * math.exp(b))

    aa = (at(h, 0) + at(-h, 0) - 2 * at(0, 0)) / h**2
    bb = (at(0, h) + at(0, -h) - 2 * at(0, 0)) / h**2
    ab = (at(h, h) + at(-h, -h) - at(h, -h) - at(-h, h)) / (4 * h**2)
    covariance = np.linalg.inv(-np.array([[aa, ab], [ab, bb]]))
    assert fit.shape_error == pytest.approx(math.sqrt(covariance[0, 0]), rel=1e-4)
    assert fit.log_scale_error == pytest.approx(math.sqrt(covariance[1, 1]), rel=1e-4)


def test_likelihood_intervals_end_where_the_likelihood_fell_by_192():
    """Half the 95 % quantile of chi-squared with one freedom is 1.9207; the other number is searched on a grid."""
    fit = fit_weibull(TIMES, FAILED)
    shapes = np.exp(np.linspace(math.log(fit.shape) - 3, math.log(fit.shape) + 2, 4001))
    least = fit.log_likelihood - 1.92073
    life, held, shape = fit.life_interval(0.1), fit.reliability_interval(40.0), fit.shape_interval()
    for end in (life.low, life.high):
        best = max(_direct(s, end / (-math.log(0.9)) ** (1 / s)) for s in shapes)
        assert best == pytest.approx(least, abs=1e-4)
    for end in (held.low, held.high):
        best = max(_direct(s, 40.0 / (-math.log(end)) ** (1 / s)) for s in shapes)
        assert best == pytest.approx(least, abs=1e-4)
    scales = np.exp(np.linspace(0, 15, 20001))
    assert max(_direct(shape.high, s) for s in scales) == pytest.approx(least, abs=1e-4)
    assert life.low < fit.life(0.1) < life.high
    assert held.low < fit.reliability(40.0) < held.high
    assert fit.scale_interval().low < fit.scale < fit.scale_interval().high


def test_unit_of_time_changes_nothing_else():
    one, other = fit_weibull(TIMES, FAILED), fit_weibull([t * 3600 for t in TIMES], FAILED)
    assert other.shape == pytest.approx(one.shape)
    assert other.scale == pytest.approx(3600 * one.scale)
    assert other.life_interval(0.1).low == pytest.approx(3600 * one.life_interval(0.1).low, rel=1e-6)


def test_reliability_and_life_are_inverse():
    fit = fit_weibull(TIMES, FAILED)
    assert fit.reliability(fit.life(0.3)) == pytest.approx(0.7)
    assert fit.reliability(0.0) == 1


def test_one_failure_gives_an_interval_that_says_how_little_it_tells():
    fit = fit_weibull([10.0, 40.0, 50.0], [True, False, False])
    assert fit.life_interval(0.5).high / fit.life_interval(0.5).low > 100


@pytest.mark.parametrize(
    ("times", "failed", "words"),
    [
        ([1.0, 2.0], [False, False], "nothing failed"),
        ([1.0, 5.0], [False, True], "longest time"),
        ([1.0, 0.0], [True, False], "above 0"),
        ([1.0, math.inf], [True, False], "above 0"),
        ([1.0], [True, False], "needs its answer"),
    ],
)
def test_what_cannot_be_fitted_is_refused(times: list[float], failed: list[bool], words: str):
    with pytest.raises(ValueError, match=words):
        fit_weibull(times, failed)


def test_confidence_out_of_range_is_refused():
    with pytest.raises(ValueError, match="between 0 and 1"):
        fit_weibull(TIMES, FAILED).shape_interval(1.0)
