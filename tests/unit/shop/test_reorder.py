from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import poisson

from platewright.shop.reorder import (
    LeadDemand,
    lead_demand,
    reorder_point,
    reorder_point_normal,
    reorder_point_poisson,
    safety_stock,
)


def test_lead_demand_is_that_of_drawn_lead_times():
    """Mean and variance of a sum over a random number of days, by drawing; three standard errors."""
    rng = np.random.default_rng(7)
    days = rng.choice([8, 12], 40_000)
    drawn = rng.normal(5.0 * days, 2.0 * np.sqrt(days))
    found = lead_demand(5, 2, 10, 2)
    assert drawn.mean() == pytest.approx(found.mean, abs=3 * math.sqrt(found.variance / 40_000))
    assert drawn.var() == pytest.approx(found.variance, rel=0.03)


def test_safety_stock_grows_with_the_service_level_and_is_nothing_at_a_half():
    demand = lead_demand(10, 3, 9, 2)
    assert safety_stock(demand, 0.5) == pytest.approx(0)
    assert safety_stock(demand, 0.9) < safety_stock(demand, 0.99)


@pytest.mark.parametrize("mean", [0.4, 3.0, 12.0])
def test_poisson_reorder_point_is_the_least_that_keeps_the_level(mean: float):
    point = reorder_point_poisson(LeadDemand(mean, mean), 0.95)
    assert poisson.cdf(point, mean) >= 0.95
    assert point == 0 or poisson.cdf(point - 1, mean) < 0.95


def test_parts_taken_four_at_a_time_are_four_times_the_kits():
    kits = reorder_point_poisson(LeadDemand(3.0, 3.0), 0.95)
    assert reorder_point_poisson(LeadDemand(12.0, 48.0), 0.95) == 4 * kits


def test_many_lots_are_normal_and_few_are_poisson():
    few, many = LeadDemand(3.0, 3.0), LeadDemand(900.0, 900.0)
    assert reorder_point(few, 0.95) == reorder_point_poisson(few, 0.95)
    assert reorder_point(many, 0.95) == reorder_point_normal(many, 0.95)
    assert reorder_point_poisson(many, 0.95) == pytest.approx(reorder_point_normal(many, 0.95), abs=1)


def test_nothing_asked_for_needs_no_stock():
    assert reorder_point(LeadDemand(0.0, 0.0), 0.99) == 0
    assert reorder_point_poisson(LeadDemand(6.0, 0.0), 0.99) == 6


@pytest.mark.parametrize("call", [lambda: lead_demand(-1, 1, 1), lambda: safety_stock(LeadDemand(1, 1), 1.0)])
def test_numbers_out_of_range_are_refused(call):
    with pytest.raises(ValueError, match="must"):
        call()
