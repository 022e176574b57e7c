from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from platewright.shop.plan_records import FrameSales, Offer, PlanOptions, PlanReport, StockedItem, Supplier
from platewright.shop.planning import plan_orders
from platewright.shop.reorder import LeadDemand, reorder_point_normal

RNG = np.random.default_rng(5)
BOBBIN = FrameSales("Bobbin", tuple(map(float, RNG.poisson(20, 52))), 0, {"arm": 4, "screw": 8})
HEDDLE = FrameSales("Heddle", tuple(map(float, RNG.poisson(10, 52))), 0, {"screw": 16})
ARM = StockedItem("arm", "part", "arm", 0, 0, 0, 0, (0.0,) * 52, (Offer("cutter", 1, 3.0),))
SCREW = StockedItem("screw", "hardware", "screw M3x8", 0, 0, 0, 0, (0.0,) * 52, (Offer("bolts", 100, 0.05),))
SUPPLIERS = {
    "": Supplier("", 14, 0, "assumed"),
    "cutter": Supplier("cutter", 12, 3.0, "stated"),
    "bolts": Supplier("bolts", 5, 0, "measured"),
}


def _plan(*items: StockedItem, frames: tuple[FrameSales, ...] = (BOBBIN, HEDDLE), **options: float) -> PlanReport:
    chosen = replace(PlanOptions(), **options)  # type: ignore[arg-type]
    return plan_orders("2026-03-02", "EUR", frames, items, SUPPLIERS, chosen)


def test_reorder_point_is_that_of_the_parts_own_weeks():
    """The arm's weeks are four times Bobbin's, over 12 + 7 days with 3 days of spread in the lead time."""
    weeks = 4 * np.array(BOBBIN.weeks)
    day = weeks.mean() / 7
    variance = max(weeks.var(ddof=1), 16 * np.mean(BOBBIN.weeks)) / 7
    demand = LeadDemand(day * 19, 19 * variance + (day * 3) ** 2)
    row = _plan(ARM).items[0]
    assert row.demand_per_day == pytest.approx(day, abs=1e-4)
    assert row.reorder_point == reorder_point_normal(demand, 0.95)
    assert row.order_today > row.reorder_point
    assert row.cost == pytest.approx(3 * row.order_today)


def test_an_order_is_due_at_the_reorder_point_and_not_above():
    point = _plan(ARM).items[0].reorder_point
    assert _plan(replace(ARM, usable=point)).items[0].order_today > 0
    assert _plan(replace(ARM, usable=point + 1)).items[0].order_today == 0


def test_all_that_will_serve_counts_and_refused_pieces_do_not():
    point = _plan(ARM).items[0].reorder_point
    packed = replace(BOBBIN, kits_in_stock=2)
    some = replace(ARM, usable=1, unchecked=point - 10, on_order=2, refused=1000)
    row = _plan(some, frames=(packed, HEDDLE)).items[0]
    assert (row.position, row.in_kits) == (point + 1, 8)
    assert row.order_today == 0
    assert _plan(replace(some, on_order=1), frames=(packed, HEDDLE)).items[0].order_today > 0


def test_cheaper_year_chooses_supplier_and_break():
    offers = (Offer("cutter", 1, 3.0), Offer("cutter", 5000, 2.9), Offer("bolts", 1, 2.8))
    row = _plan(replace(ARM, offers=offers)).items[0]
    assert (row.supplier, row.unit_price) == ("bolts", 2.8)


def test_no_order_is_for_longer_than_wanted_unless_the_supplier_asks_for_more():
    cheap = replace(SCREW, offers=(Offer("bolts", 1, 0.0001),))
    row = _plan(cheap, most_days=30).items[0]
    assert row.order_size == math.ceil(row.demand_per_day * 30)
    least = replace(SCREW, offers=(Offer("bolts", 90_000, 0.0001),))
    assert _plan(least, most_days=30).items[0].order_today == 90_000


def test_sharing_is_measured_against_a_stock_for_each_frame():
    report = _plan(SCREW)
    shared = report.sharing[0]
    assert shared.frames == ("Bobbin", "Heddle")
    alone = [_plan(SCREW, frames=(frame,)).items[0] for frame in (BOBBIN, HEDDLE)]
    assert shared.safety_apart == pytest.approx(sum(row.safety_stock for row in alone), abs=0.02)
    assert shared.safety_together == pytest.approx(report.items[0].safety_stock, abs=0.02)
    assert shared.correlation == pytest.approx(np.corrcoef(BOBBIN.weeks, HEDDLE.weeks)[0, 1], abs=0.03)
    assert shared.saved_pieces > 0
    assert shared.saved_money == pytest.approx(0.05 * shared.saved_pieces, abs=0.01)


def test_frames_that_sell_together_save_less():
    """Heddle sells half of what Bobbin sells, week by week: nothing is left to pool but the orders."""
    twin = replace(HEDDLE, weeks=tuple(w / 2 for w in BOBBIN.weeks))
    both = _plan(SCREW, frames=(replace(BOBBIN, pieces={"screw": 1}), replace(twin, pieces={"screw": 2}))).sharing[0]
    assert both.correlation is not None
    assert both.correlation > 0.6
    apart = _plan(SCREW, frames=(replace(BOBBIN, pieces={"screw": 1}), replace(HEDDLE, pieces={"screw": 2}))).sharing[0]
    assert both.safety_together / both.safety_apart > apart.safety_together / apart.safety_apart


def test_expected_sales_stand_for_what_was_sold():
    new = FrameSales("Shuttle", (0.0,), 0, {"arm": 4}, expected_per_month=30.0)
    row = _plan(ARM, frames=(new,)).items[0]
    assert row.demand_per_day == pytest.approx(4.0)
    assert row.spread_per_day == pytest.approx(4.0)


def test_a_younger_frame_is_not_diluted_by_weeks_before_it():
    young = FrameSales("Shuttle", (7.0, 7.0), 0, {"arm": 1})
    assert _plan(ARM, frames=(replace(BOBBIN, pieces={}), young)).items[0].demand_per_day == pytest.approx(1.0)


def test_loose_sales_are_demand_too():
    row = _plan(replace(ARM, loose_weeks=(7.0,) * 52), frames=()).items[0]
    assert row.demand_per_day == pytest.approx(1.0)
    assert _plan(ARM, frames=()).items == ()


def test_an_ended_item_is_named_and_not_ordered():
    row = _plan(replace(ARM, ended=True)).items[0]
    assert row.order_today == 0
    assert "no longer" in row.note


def test_without_a_price_the_order_is_for_two_months_and_costs_nothing():
    report = _plan(replace(ARM, offers=()))
    row = report.items[0]
    assert (row.cost, report.to_pay, report.unpriced) == (None, 0, ("arm",))
    assert row.order_today == max(row.reorder_point + 1, math.ceil(row.demand_per_day * 60))
    last = _plan(replace(ARM, offers=(), last_price=2.5, last_supplier="cutter")).items[0]
    assert (last.supplier, last.unit_price) == ("cutter", 2.5)


def test_cash_is_what_is_there_by_price():
    packed = replace(BOBBIN, kits_in_stock=2)
    report = _plan(replace(ARM, usable=10, unchecked=5, refused=7, on_order=3), frames=(packed,))
    assert (report.cash_loose, report.cash_in_kits, report.cash_on_order) == (45.0, 24.0, 9.0)


def test_higher_service_needs_more():
    assert _plan(ARM, service_level=0.99).items[0].reorder_point > _plan(ARM).items[0].reorder_point


@pytest.mark.parametrize("options", [{"order_cost": -1}, {"holding_percent": 0}, {"most_days": 0}])
def test_options_out_of_range_are_refused(options: dict[str, float]):
    with pytest.raises(ValueError, match="must be"):
        _plan(ARM, **options)
