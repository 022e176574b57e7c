from __future__ import annotations

import pytest
from scipy.integrate import quad
from scipy.stats import norm, poisson

from platewright.shop.newsvendor import buy_once, buy_once_poisson, critical_ratio, one_buy


def test_means_are_integrals_over_demand():
    found = one_buy(420, 350, 100, 250, 100, 80)
    lost = quad(lambda d: (d - 420) * norm.pdf(d, 350, 100), 420, 1200)[0]
    left = quad(lambda d: (420 - d) * norm.pdf(d, 350, 100), -500, 420)[0]
    assert found.lost_sales == pytest.approx(lost, rel=1e-6)
    assert found.left_over == pytest.approx(left, rel=1e-6)
    assert found.profit == pytest.approx(150 * (350 - lost) - 20 * left, rel=1e-6)


def test_best_quantity_has_the_greatest_profit():
    best = buy_once(350, 100, 150, 20)
    profits = [one_buy(best + step, 350, 100, 250, 100, 80).profit for step in (-1, 0, 1)]
    assert max(profits) == profits[1]


@pytest.mark.parametrize("mean", [0.0, 0.3, 7.0, 400.0])
def test_poisson_quantity_is_the_least_that_meets_the_ratio(mean: float):
    quantity = buy_once_poisson(mean, 3, 1)
    assert poisson.cdf(quantity, mean) >= 0.75
    assert quantity == 0 or poisson.cdf(quantity - 1, mean) < 0.75


@pytest.mark.parametrize(
    "call",
    [lambda: critical_ratio(0, 1), lambda: buy_once_poisson(-1, 1, 1), lambda: one_buy(1, 1, 0, 1, 1, 1)],
)
def test_numbers_out_of_range_are_refused(call):
    with pytest.raises(ValueError, match="must be"):
        call()
