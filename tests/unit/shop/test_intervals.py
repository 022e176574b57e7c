from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import binom, poisson

from platewright.shop.intervals import (
    exposure_to_tell,
    median_rank,
    median_rank_benard,
    poisson_interval,
    poisson_upper,
    rate_difference,
    rate_of,
    rate_ratio,
    zero_failure_sample_size,
)


@pytest.mark.parametrize("events", [1, 4, 30])
def test_ends_of_the_interval_leave_the_tails(events: int):
    found = poisson_interval(events, 0.9)
    assert poisson.sf(events - 1, found.low) == pytest.approx(0.05, rel=1e-9)
    assert poisson.cdf(events, found.high) == pytest.approx(0.05, rel=1e-9)


def test_no_event_has_no_lower_end_and_a_rule_of_three():
    assert poisson_interval(0).low == 0
    assert poisson_upper(0) == pytest.approx(-math.log(0.05))


def test_rate_carries_its_exposure():
    rate = rate_of(4, 200)
    assert (rate.value, rate.events, rate.exposure) == (0.02, 4, 200)
    assert rate.interval.high == pytest.approx(poisson_interval(4).high / 200)


def test_ratio_ends_are_those_of_the_binomial():
    """At each end of the ratio, the tail of the binomial given the sum is a fortieth."""
    found = rate_ratio(3, 50, 9, 120)
    for ratio, tail in ((found.interval.low, "above"), (found.interval.high, "below")):
        share = ratio * 50 / (ratio * 50 + 120)
        chance = binom.sf(2, 12, share) if tail == "above" else binom.cdf(3, 12, share)
        assert chance == pytest.approx(0.025, rel=1e-9)


def test_ratio_turned_about_is_its_inverse():
    one, other = rate_ratio(3, 50, 9, 120), rate_ratio(9, 120, 3, 50)
    assert one.value == pytest.approx(1 / other.value)
    assert one.interval.low == pytest.approx(1 / other.interval.high)
    assert one.chance_if_equal == pytest.approx(other.chance_if_equal)


def test_ratio_without_events_says_nothing():
    nothing = rate_ratio(0, 10, 0, 10)
    assert math.isnan(nothing.value)
    assert (nothing.interval.low, nothing.interval.high, nothing.chance_if_equal) == (0, math.inf, 1)
    assert rate_ratio(2, 10, 0, 10).value == math.inf
    assert rate_ratio(2, 10, 0, 10).interval.high == math.inf
    assert rate_ratio(0, 10, 5, 10).interval.low == 0


def test_difference_holds_the_truth_at_least_as_often_as_it_says():
    """Exact coverage, summed over all pairs of counts that matter, at rates where it is hardest to hold."""
    for one, other in ((2.0, 5.0), (0.5, 0.5), (8.0, 3.0)):
        x, y = np.meshgrid(np.arange(30), np.arange(30))
        weight = poisson.pmf(x, one) * poisson.pmf(y, other)
        ends = {n: poisson_interval(n, math.sqrt(0.95)) for n in range(30)}
        held = np.array(
            [
                [ends[a].low - ends[b].high <= one - other <= ends[a].high - ends[b].low for a in range(30)]
                for b in range(30)
            ]
        )
        assert (weight * held).sum() >= 0.95
    found = rate_difference(4, 1, 2, 1)
    assert (found.low, found.high) == (
        pytest.approx(ends[4].low - ends[2].high),
        pytest.approx(ends[4].high - ends[2].low),
    )


@pytest.mark.parametrize(("events", "exposure", "ratio"), [(10, 100.0, 0.25), (40, 100.0, 0.7), (10, 7.5, 0.0)])
def test_exposure_to_tell_is_enough_and_less_is_not(events: int, exposure: float, ratio: float):
    """Judged by the two-sided interval at twice the risk, whose upper end is the one-sided limit."""
    needed = exposure_to_tell(events, exposure, ratio)
    assert needed is not None

    def power(share: float) -> float:
        seen = share * needed
        counts = [n for n in range(400) if rate_ratio(n, seen, events, exposure, 0.9).interval.high < 1]
        return float(poisson.pmf(counts, ratio * events / exposure * seen).sum())

    assert power(1.0001) >= 0.8
    assert power(0.9) < 0.8


def test_too_few_old_events_can_never_be_beaten():
    assert exposure_to_tell(2, 100, 0.0) is not None
    assert exposure_to_tell(2, 100, 0.5) is None
    assert exposure_to_tell(0, 100, 0.0) is None


def test_median_ranks_are_symmetric_and_benard_is_near():
    for order in range(1, 8):
        assert median_rank(order, 7) == pytest.approx(1 - median_rank(8 - order, 7))
        assert median_rank_benard(order, 7) == pytest.approx(median_rank(order, 7), rel=0.01)


def test_sample_size_without_failures_is_enough():
    for reliability, confidence in ((0.9, 0.9), (0.97, 0.8), (0.5, 0.5)):
        n = zero_failure_sample_size(reliability, confidence)
        assert reliability**n <= 1 - confidence + 1e-12 < reliability ** (n - 1) + 1e-11


@pytest.mark.parametrize(
    "call",
    [
        lambda: poisson_interval(-1),
        lambda: poisson_interval(1, 1.0),
        lambda: rate_of(1, 0.0),
        lambda: rate_ratio(1, 1, 1, math.inf),
        lambda: exposure_to_tell(1, 1, 1.0),
        lambda: median_rank(6, 5),
        lambda: zero_failure_sample_size(1.0, 0.9),
    ],
)
def test_numbers_out_of_range_are_refused(call):
    with pytest.raises(ValueError, match=r"must|from 0 to below 1"):
        call()
