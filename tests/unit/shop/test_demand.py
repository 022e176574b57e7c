from __future__ import annotations

import math

import numpy as np
import pytest

from platewright.shop.demand import demands_of, pooling


def test_pooled_spread_is_that_of_the_parts_own_weeks():
    """From the kits' covariance, or from the part's demand week by week: the same, since both are measured."""
    rng = np.random.default_rng(3)
    weeks = rng.negative_binomial(2, 0.1, (3, 104)).astype(float)
    pieces = [4, 2, 1]
    found = pooling(pieces, demands_of(weeks).covariance)
    part = np.array(pieces) @ weeks
    assert found.together == pytest.approx(math.sqrt(part.var(ddof=1) / 7))
    assert found.apart == pytest.approx(
        sum(p * math.sqrt(w.var(ddof=1) / 7) for p, w in zip(pieces, weeks, strict=True))
    )


@pytest.mark.parametrize("correlation", [-0.2, 0.0, 0.5, 1.0])
def test_square_root_law_with_correlation(correlation: float):
    covariance = 4.0 * (np.full((5, 5), correlation) + (1 - correlation) * np.eye(5))
    found = pooling([1] * 5, covariance)
    assert found.ratio == pytest.approx(math.sqrt((1 + 4 * correlation) / 5))
    assert found.correlation == pytest.approx(correlation)


def test_few_weeks_are_taken_as_poisson():
    found = demands_of(np.array([[7.0] * 7, [0.0] * 7]))
    assert not found.measured
    assert np.array_equal(found.covariance, np.diag([1.0, 0.0]))


def test_even_sales_are_not_taken_as_a_promise():
    found = demands_of(np.array([[7.0] * 20]))
    assert found.measured
    assert found.covariance[0, 0] == pytest.approx(1.0)


def test_one_user_has_nothing_to_pool():
    found = pooling([4], np.array([[2.0]]))
    assert found.ratio == 1
    assert math.isnan(found.correlation)
    assert pooling([1, 1], np.zeros((2, 2))).ratio == 1


def test_sales_without_weeks_are_refused():
    with pytest.raises(ValueError, match="a week or more"):
        demands_of(np.zeros((2, 0)))
