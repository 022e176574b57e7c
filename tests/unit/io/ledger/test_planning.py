"""What planning reads from a ledger, in both databases."""

from __future__ import annotations

import datetime
from decimal import Decimal

import pytest

from ledgers import DAY
from platewright.foundation.errors import LedgerError
from platewright.io.ledger.goods_in import OrderLine, Receipt, ReceiptLine, order, receive
from platewright.io.ledger.goods_out import SaleLine, pack, sell
from platewright.io.ledger.items import add_offer, add_supplier, discontinue, want_check
from platewright.io.ledger.planning import PlanData, plan_data
from platewright.io.ledger.store import Ledger
from platewright.shop.plan_records import Offer, StockedItem, Supplier

Shop = tuple[Ledger, dict[str, str]]


def _later(days: int) -> datetime.date:
    return DAY + datetime.timedelta(days=days)


def _data(ledger: Ledger, days: int) -> PlanData:
    with ledger.read() as c:
        return plan_data(c, _later(days))


def _item(data: PlanData, code: str) -> StockedItem:
    return next(row for row in data.items if row.item == code)


def test_sales_are_weeks_that_end_on_the_day(shop: Shop):
    ledger, codes = shop
    ledger.write(lambda c: pack(c, codes["kit"], 5, DAY))
    for days, pieces in ((0, 1), (6, 1), (7, 2)):
        ledger.write(lambda c, d=days, n=pieces: sell(c, [SaleLine("Bobbin", n)], _later(d)))
    ledger.write(lambda c: sell(c, [SaleLine(codes["arm"], 3)], _later(13)))
    data = _data(ledger, 13)
    frame = data.frames[0]
    assert (frame.frame, frame.weeks, frame.kits_in_stock) == ("Bobbin", (2.0, 2.0), 1)
    assert frame.pieces == {codes["arm"]: 4, codes["deck"]: 1, "screw_m3x8": 9, "box": 1}
    assert _item(data, codes["arm"]).loose_weeks == (0.0, 3.0)
    assert _data(ledger, 6).frames[0].weeks == (2.0,)


def test_stock_is_split_by_what_checks_say(shop: Shop):
    ledger, codes = shop
    ledger.write(lambda c: want_check(c, codes["arm"], True))
    found = _item(_data(ledger, 0), codes["arm"])
    assert (found.usable, found.unchecked, found.refused) == (0, 40, 0)
    assert _item(_data(ledger, 0), "box").usable == 10


def test_orders_to_come_prices_of_the_day_and_last_delivery(shop: Shop):
    ledger, codes = shop
    arm = codes["arm"]

    def fill(c):
        add_supplier(c, "bolts", "bolts", None, None)
        for day, price in ((0, "3.40"), (5, "3.10"), (30, "9.00")):
            add_offer(c, "cutter", arm, 40, Decimal(price), "EUR", _later(day))
        add_offer(c, "bolts", arm, 1, Decimal("4.00"), "USD", DAY)
        order(c, "cutter", [OrderLine(arm, 60)], _later(1))
        receive(c, Receipt("bolts", [ReceiptLine("box", 5, "B2", "", Decimal("0.80"))], _later(2), "n 2"))

    ledger.write(fill)
    data = _data(ledger, 10)
    assert _item(data, arm).offers == (Offer("cutter", 40, 3.1),)
    assert _item(data, arm).on_order == 60
    assert (_item(data, "box").last_supplier, _item(data, "box").last_price) == ("bolts", 0.8)
    assert data.suppliers["bolts"].source == "assumed"
    assert data.suppliers["cutter"] == Supplier("cutter", 14, 3.0, "stated")


def test_lead_times_are_measured_from_three_deliveries_on(shop: Shop):
    ledger, _ = shop

    def deliver(days: int) -> None:
        number = ledger.write(lambda c: order(c, "cutter", [OrderLine("box", 1)], DAY))
        line = [ReceiptLine("box", 1, f"L{days}")]
        ledger.write(lambda c: receive(c, Receipt("cutter", line, _later(days), f"r {days}", number)))

    deliver(8)
    deliver(10)
    assert _data(ledger, 20).suppliers["cutter"].source == "stated"
    deliver(12)
    assert _data(ledger, 20).suppliers["cutter"] == Supplier("cutter", 10.0, 2.0, "measured")


def test_ended_items_say_so(shop: Shop):
    ledger, _ = shop
    ledger.write(lambda c: discontinue(c, "box", _later(3)))
    assert not _item(_data(ledger, 2), "box").ended
    assert _item(_data(ledger, 3), "box").ended


def test_expected_sales_need_a_frame_of_the_ledger(shop: Shop):
    ledger, _ = shop
    with ledger.read() as c:
        assert plan_data(c, DAY, {"Bobbin": 4.0}).frames[0].expected_per_month == 4.0
        with pytest.raises(LedgerError, match="the ledger has Bobbin"):
            plan_data(c, DAY, {"Bobin": 4.0})
