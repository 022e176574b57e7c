"""Stock formulas against an independent library: stockpyl (MIT licence), by L. V. Snyder and Z.-J. M. Shen's textbook.

Printed examples (Heizer and Render; Nahmias; Chopra and Meindl; all recomputed, and as remembered) are rows of
`cases/stock.toml`.
"""

from __future__ import annotations

import pytest
from scipy.stats import norm
from stockpyl.eoq import economic_order_quantity as their_eoq
from stockpyl.eoq import economic_order_quantity_with_all_units_discounts as their_discounts
from stockpyl.newsvendor import newsvendor_normal, newsvendor_poisson

from platewright.shop.lot_size import economic_order_quantity, order_size, yearly_cost
from platewright.shop.newsvendor import buy_once, buy_once_poisson
from platewright.shop.reorder import lead_demand, reorder_point_poisson, safety_stock


@pytest.mark.parametrize(("order_cost", "holding", "demand"), [(8, 0.225, 1300), (10, 0.5, 1000), (4000, 100, 12_000)])
def test_economic_order_quantity(order_cost: float, holding: float, demand: float):
    quantity, cost = their_eoq(order_cost, holding, demand)
    ours = economic_order_quantity(demand, order_cost, holding)
    assert ours == pytest.approx(quantity)
    assert yearly_cost(ours, demand, order_cost, holding) == pytest.approx(cost)


@pytest.mark.parametrize("order_cost", [8, 30, 200])
def test_price_breaks(order_cost: float):
    """Theirs may be a fraction of a piece; ours is a whole one and costs at most that of half a piece more."""
    breaks, prices = [0, 400, 800], [0.75, 0.72, 0.68]
    quantity, _, cost = their_discounts(order_cost, 0.3, 1300, breaks, prices)
    ours = order_size(1300, order_cost, 0.3, [(1, 0.75), (400, 0.72), (800, 0.68)])
    assert abs(ours.quantity - quantity) <= 1
    assert cost * (1 - 1e-12) <= ours.cost_per_year <= cost * (1 + 1e-5)


def test_newsvendor():
    quantity, _ = newsvendor_normal(0.18, 0.70, 50, 8)
    assert buy_once(50, 8, 0.70, 0.18) == pytest.approx(quantity)
    assert buy_once_poisson(50, 0.70, 0.18) == newsvendor_poisson(0.18, 0.70, 50)[0]


@pytest.mark.parametrize(("mean", "level"), [(2.5, 0.9), (18, 0.95), (60, 0.99)])
def test_poisson_reorder_point_is_a_newsvendor(mean: float, level: float):
    """With costs in the ratio of the service level, the quantity that demand stays within is the reorder point."""
    theirs, _ = newsvendor_poisson(1 - level, level, mean)
    assert reorder_point_poisson(lead_demand(mean, mean**0.5, 1), level) == theirs


def test_normal_base_stock_over_a_lead_time():
    """Theirs covers the lead time and one period, with a spread per period."""
    theirs, _ = newsvendor_normal(0.05, 0.95, 10, 3, lead_time=8)
    demand = lead_demand(10, 3, 9)
    assert demand.mean + safety_stock(demand, 0.95) == pytest.approx(theirs)
    assert safety_stock(demand, 0.95) == pytest.approx(norm.ppf(0.95) * 9)
