"""Time, packs, margins: worked by hand."""

import math
from decimal import Decimal

import pytest

from platewright.fabrication.bit import Bit
from platewright.fabrication.cost import (
    Break,
    SheetOffer,
    hours_cost,
    margin_at,
    packs_cost,
    price_of,
    sheets_cost,
    started,
    tool_changes,
)
from platewright.fabrication.cutting import Pace, cut_time
from platewright.fabrication.plan import cut_plan
from platewright.geometry.loops import Circle, Outline, cut_length
from platewright.geometry.shapes import rectangle_loop

BIT = Bit(2.0, 1.05, 2.5, 8.0, 10.0, 1.0, 25_000.0)
BREAKS = [Break(1, Decimal("2.00")), Break(10, Decimal("1.50")), Break(100, Decimal("1.00"))]


def test_time_of_a_plate_by_hand():
    outline = Outline(
        rectangle_loop(0, 0, 60, 40), (rectangle_loop(0, 0, 10, 10),), (Circle(20, 0, 1.6), Circle(25, 0, 1))
    )
    found = cut_time(cut_plan(outline, BIT, 0.05, 2.0), 2.5, BIT, Pace(3.0, 4.0))
    routed = 200 + 40 + 2 * math.pi * 1.6
    assert found.length == pytest.approx(routed)
    assert found.length == pytest.approx(cut_length(outline) - 2 * math.pi)  # the drilled hole has no contour
    assert found.path == pytest.approx(routed - 2 * math.pi)  # one outside, two inside, each pi d
    assert found.passes == 3
    assert found.cutting == pytest.approx(3 * found.path / 10)
    assert found.travel == pytest.approx(3 * 3 + 4)
    assert found.wear == pytest.approx(routed * 2.5 / 25_000)
    assert (found.holes, found.drilled, found.openings, found.bridges) == (1, 1, 1, 3)


def test_a_whole_number_of_passes_is_not_one_more():
    plan = cut_plan(Outline(rectangle_loop(0, 0, 60, 40)), BIT, 0.0, None)
    assert cut_time(plan, 3.0, BIT, Pace(0.0, 0.0)).passes == 3


@pytest.mark.parametrize(("quantity", "price"), [(1, "2.00"), (9, "2.00"), (10, "1.50"), (99, "1.50"), (5000, "1.00")])
def test_price_breaks(quantity, price):
    assert price_of(BREAKS, quantity) == Decimal(price)


def test_packs():
    assert packs_cost(BREAKS, 1, 0) == (0, Decimal(0))
    assert packs_cost(BREAKS, 25, 26) == (2, Decimal("4.00"))
    assert packs_cost(BREAKS, 1, 8) == (10, Decimal("15.00"))  # ten are cheaper than eight
    assert packs_cost(BREAKS, 1, 7) == (7, Decimal("14.00"))


LARGE = SheetOffer(20.0, (Break(1, Decimal(71)), Break(10, Decimal(60))))
SMALL = SheetOffer(6.0, (Break(1, Decimal("24.50")),))


@pytest.mark.parametrize("area", [5.0, 11.0, 14.0, 23.0, 44.0, 165.0, 190.0, 247.0])
def test_sheets_are_those_that_cost_least_with_their_set_ups(area):
    """Against all mixes, tried one by one."""
    number, cash, used = sheets_cost([LARGE, SMALL], area, Decimal(9))
    everything = [
        (many * price_of(LARGE.breaks, many) + few * price_of(SMALL.breaks, few) + 9 * (many + few), many + few)
        for many in range(14)
        for few in range(45)
        if many * 20 + few * 6 >= area
    ]
    assert (cash + 9 * number, number) == min(everything)
    assert 0 < used <= cash


def test_two_large_sheets_and_a_small_one():
    """Of 44: 166.50 and three set-ups, against 213 for three large ones, or 196 and eight set-ups for small ones."""
    number, cash, used = sheets_cost([LARGE, SMALL], 44.0, Decimal(9))
    assert (number, cash) == (3, Decimal("166.50"))
    assert float(used) == pytest.approx(166.5 * 44 / 46)


def test_scrap_hours_tools_and_margin():
    assert started(40, 0.0) == 40
    assert started(97, 0.03) == pytest.approx(100)
    assert hours_cost(1800.0, Decimal("38.00")) == Decimal("19.00")
    assert tool_changes(1, drilled=False, sheets=4) == 0
    assert tool_changes(2, drilled=True, sheets=4) == 8
    margin = margin_at(Decimal("89.00"), 6.0, Decimal("70.00"))
    assert margin.fee == Decimal("5.34")
    assert margin.left == Decimal("13.66")
    assert margin.percent == pytest.approx(100 * 13.66 / 89)
