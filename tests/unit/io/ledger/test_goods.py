"""What comes in, is packed, sold and comes back; what is refused leaves nothing behind."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from decimal import Decimal

import pytest
from sqlalchemy import text

from ledgers import DAY, frame
from platewright.foundation.errors import LedgerError
from platewright.io.ledger.audit import breaches
from platewright.io.ledger.checks import Measure, book_check, check_sheet
from platewright.io.ledger.frames import enter_frame
from platewright.io.ledger.goods_back import take_back
from platewright.io.ledger.goods_in import OrderLine, Receipt, ReceiptLine, close_order, count, order, receive, reject
from platewright.io.ledger.goods_out import SaleLine, pack, sell
from platewright.io.ledger.items import add_item, add_substitute, discontinue, find_item, want_check
from platewright.io.ledger.queries import deliveries, lots_of, moved_by_day, open_orders, stock
from platewright.io.ledger.store import Ledger
from platewright.io.ledger.traces import losses, trace
from platewright.shop.acceptance import sampling_plan

Shop = tuple[Ledger, dict[str, str]]
PLAN = sampling_plan(0.01, 0.05, 0.10, 0.10)


def on_hand(ledger: Ledger) -> dict[str, int]:
    with ledger.read() as connection:
        assert breaches(connection) == []
        return {row.item: row.on_hand for row in stock(connection) if row.on_hand}


def refused(ledger: Ledger, code: str, action: Callable[..., object], *said: str) -> None:
    """The action is refused with a code and words, and leaves every table as it was."""
    before = contents(ledger)
    with pytest.raises(LedgerError) as caught:
        ledger.write(action)
    assert caught.value.code == code
    for words in said:
        assert words in str(caught.value)
    assert contents(ledger) == before


def contents(ledger: Ledger) -> list[object]:
    with ledger.read() as c:
        return [c.execute(text(f"SELECT COUNT(*), MAX(id) FROM {t}")).one() for t in ("document", "movement", "lot")]


def test_kits_take_their_bill_with_spares_and_the_oldest_lot_first(shop: Shop):
    ledger, codes = shop
    later = Receipt("cutter", [ReceiptLine(codes["arm"], 40, "A2", "S2")], DAY, "note 2")
    ledger.write(lambda c: receive(c, later))
    packed = ledger.write(lambda c: pack(c, "bobbin", 3, DAY))
    assert packed.numbers == tuple(f"{codes['kit']}-0000{n}" for n in (1, 2, 3))
    assert on_hand(ledger) == {
        codes["arm"]: 68,
        codes["deck"]: 7,
        "screw_m3x8": 63,
        "box": 7,
        codes["kit"]: 3,
    }
    with ledger.read() as c:
        assert {(r.lot, r.left) for r in lots_of(c, [codes["arm"]])} == {("A1", 28), ("A2", 40)}


def test_a_sold_kit_is_found_by_the_lot_of_its_parts_and_a_later_lot_is_not(shop: Shop):
    ledger, codes = shop
    ledger.write(lambda c: pack(c, codes["kit"], 9, DAY))
    ledger.write(lambda c: count(c, codes["arm"], 0, DAY, reason="the rest of A1 is scrap"))
    ledger.write(lambda c: receive(c, Receipt("cutter", [ReceiptLine(codes["arm"], 4, "A2", "S2")], DAY, "note 2")))
    ledger.write(lambda c: pack(c, codes["kit"], 1, DAY))
    ledger.write(lambda c: sell(c, [SaleLine("Bobbin", 2)], DAY, "A buyer", "1001"))
    ledger.write(lambda c: sell(c, [SaleLine(codes["kit"], 1, f"{codes['kit']}-00010")], DAY, "B buyer", "1002"))
    with ledger.read() as c:
        found = trace(c, "A1")
        assert {(h.number[-5:], h.buyer, h.reference, h.pieces) for h in found.holders if h.state == "sold"} == {
            ("00001", "A buyer", "1001", 4),
            ("00002", "A buyer", "1001", 4),
        }
        assert len([h for h in found.holders if h.state == "in stock"]) == 7
        assert (found.left, found.rejected) == (0, 0)
        later = trace(c, "A2")
        assert [(h.number[-5:], h.buyer) for h in later.holders] == [("00010", "B buyer")]
        sheet = trace(c, "S1")
        assert {r.lot for r in sheet.lots} == {"A1", "D1"}


def test_a_bad_lot_shows_in_returns_by_lot(shop: Shop):
    ledger, codes = shop
    ledger.write(lambda c: pack(c, codes["kit"], 5, DAY))
    ledger.write(lambda c: receive(c, Receipt("cutter", [ReceiptLine(codes["arm"], 40, "A2", "S2")], DAY, "note 2")))
    ledger.write(lambda c: count(c, codes["arm"], 0, DAY, "A1"))
    ledger.write(lambda c: pack(c, codes["kit"], 5, DAY))
    ledger.write(lambda c: sell(c, [SaleLine(codes["kit"], 10)], DAY))
    for number in (1, 2, 2):
        kit = f"{codes['kit']}-{number:05d}"
        ledger.write(lambda c, kit=kit: take_back(c, codes["arm"], "broken at the root", DAY, out_of=kit))
    with ledger.read() as c:
        found = trace(c, "A1")
    assert [(r.lot, r.sold, r.returned) for r in found.lots] == [("A1", 20, 3)]
    assert [(r.lot, r.sold, r.returned) for r in found.others] == [("A2", 20, 0)]
    assert on_hand(ledger).get(codes["arm"]) == 20
    again = (codes["arm"], "broken", DAY)
    refused(
        ledger,
        "ledger.not_sold",
        lambda c: take_back(c, *again, quantity=3, out_of=f"{codes['kit']}-00002"),
        "holds no 3",
    )


def test_a_returned_kit_goes_back_to_stock_or_is_rejected(shop: Shop):
    ledger, codes = shop
    packed = ledger.write(lambda c: pack(c, codes["kit"], 2, DAY))
    ledger.write(lambda c: sell(c, [SaleLine(codes["kit"], 2, unit_price=Decimal("89.90"))], DAY, "A buyer", "1001"))
    first, second = packed.numbers
    back = ledger.write(lambda c: take_back(c, first, "ordered twice", DAY, keep=True, refund=Decimal("89.90")))
    assert (back.item, back.lot) == (codes["kit"], first)
    ledger.write(lambda c: take_back(c, second, "deck cracked", DAY))
    assert on_hand(ledger)[codes["kit"]] == 1
    refused(ledger, "ledger.not_sold", lambda c: take_back(c, first, "again", DAY), "not sold")
    refused(ledger, "ledger.value", lambda c: take_back(c, second, " ", DAY), "needs a reason")
    with ledger.read() as c:
        sold = moved_by_day(c, ("sale", "return"), DAY)
    assert [(m.kind, m.pieces) for m in sold] == [("return", -2), ("sale", 2)]


def test_nothing_is_packed_when_something_is_missing_and_every_shortage_is_named(shop: Shop):
    ledger, codes = shop
    action = lambda c: pack(c, "Bobbin", 11, DAY)  # noqa: E731
    refused(ledger, "ledger.negative", action, codes["arm"], codes["deck"], "screw_m3x8", "box", "1 of 11 missing")


def test_no_more_is_sold_than_there_is(shop: Shop):
    ledger, _ = shop
    refused(ledger, "ledger.negative", lambda c: sell(c, [SaleLine("Bobbin")], DAY), "0 in stock")
    twice = [SaleLine("box", 6), SaleLine("box", 6)]
    refused(ledger, "ledger.negative", lambda c: sell(c, twice, DAY), "4 in stock")
    refused(ledger, "ledger.negative", lambda c: reject(c, "box", "B1", 11, "wet", DAY), "holds 10")


def test_unknown_things_are_refused_with_the_nearest_names(shop: Shop):
    ledger, codes = shop
    refused(ledger, "ledger.unknown_kit", lambda c: sell(c, [SaleLine("Bobin")], DAY), "did you mean", "Bobbin")
    refused(ledger, "ledger.unknown_kit", lambda c: pack(c, "shuttel", 1, DAY), "no kit 'shuttel'")
    line = ReceiptLine("screw_m3x9", 5)
    refused(ledger, "ledger.unknown_item", lambda c: receive(c, Receipt("cutter", [line], DAY)), "'screw_m3x8'")
    refused(ledger, "ledger.unknown_supplier", lambda c: receive(c, Receipt("cuter", [line], DAY)), "'cutter'")
    refused(ledger, "ledger.unknown_lot", lambda c: reject(c, codes["arm"], "A9", 1, "bent", DAY), "no lot 'A9'")


def test_a_receipt_or_a_sale_is_booked_once(shop: Shop):
    ledger, _ = shop
    again = Receipt("cutter", [ReceiptLine("box", 5)], DAY, "note 1")
    refused(ledger, "ledger.duplicate", lambda c: receive(c, again), "note 1", str(DAY), "nothing was booked")
    ledger.write(lambda c: sell(c, [SaleLine("box")], DAY, "A buyer", "7"))
    refused(ledger, "ledger.duplicate", lambda c: sell(c, [SaleLine("box")], DAY, "A buyer", "7"))
    ledger.write(lambda c: sell(c, [SaleLine("box")], DAY, "B buyer", "7"))
    assert on_hand(ledger)["box"] == 8


@pytest.mark.parametrize("quantity", [0, -3, 1_000_001])
def test_a_quantity_is_a_count_of_pieces(shop: Shop, quantity: int):
    ledger, _ = shop
    receipt = Receipt("cutter", [ReceiptLine("box", quantity)], DAY)
    refused(ledger, "ledger.value", lambda c: receive(c, receipt), "from 1 to")
    refused(ledger, "ledger.value", lambda c: sell(c, [SaleLine("box", quantity)], DAY), "from 1 to")
    refused(ledger, "ledger.value", lambda c: pack(c, "Bobbin", quantity, DAY), "from 1 to")


@pytest.mark.parametrize("price", ["-1", "NaN", "Infinity", "1.0000001", "1e12"])
def test_a_price_is_an_amount(shop: Shop, price: str):
    ledger, _ = shop
    receipt = Receipt("cutter", [ReceiptLine("box", 1, unit_price=Decimal(price))], DAY)
    refused(ledger, "ledger.value", lambda c: receive(c, receipt), "a price must be")


def test_money_comes_back_as_it_was(shop: Shop):
    ledger, _ = shop
    line = ReceiptLine("box", 3, "B2", unit_price=Decimal("0.10"))
    ledger.write(lambda c: receive(c, Receipt("cutter", [line], DAY)))
    with ledger.read() as c:
        kept = c.execute(text("SELECT unit_price, currency FROM movement WHERE unit_price IS NOT NULL")).one()
    assert tuple(kept) == ("0.10", "EUR")


def test_unchecked_parts_are_not_packed_and_a_check_frees_them(shop: Shop):
    ledger, codes = shop
    arm = codes["arm"]
    ledger.write(lambda c: want_check(c, arm, True))
    refused(ledger, "ledger.negative", lambda c: pack(c, "Bobbin", 1, DAY), "40 not accepted by a check")
    with ledger.read() as c:
        row = next(r for r in stock(c) if r.item == arm)
        assert (row.on_hand, row.held) == (40, 40)
    checked = ledger.write(lambda c: book_check(c, sheet := check_sheet(c, arm, "A1", PLAN), measures(sheet), DAY))
    assert (checked.accepted, checked.faulty, checked.sheet.plan.sample_size) == (True, (), 40)
    ledger.write(lambda c: pack(c, "Bobbin", 1, DAY))
    assert on_hand(ledger)[arm] == 36


def measures(sheet, thick: int = 0) -> list[Measure]:
    """All pieces at nominal, the first few too thick."""
    return [
        Measure(
            piece, limit.feature, limit.high + 0.01 if piece <= thick and "thick" in limit.feature else limit.nominal
        )
        for piece in range(1, sheet.plan.sample_size + 1)
        for limit in sheet.limits
    ]


def test_faulty_pieces_refuse_a_lot_or_leave_it(shop: Shop):
    ledger, codes = shop
    deck = codes["deck"]
    big = Receipt("cutter", [ReceiptLine(deck, 200, "D2")], DAY, "note 2")
    ledger.write(lambda c: receive(c, big))
    plan = ledger.write(lambda c: check_sheet(c, deck, "D2", PLAN)).plan
    assert (plan.sample_size, plan.acceptance_number) == (52, 2)
    two = ledger.write(lambda c: book_check(c, sheet := check_sheet(c, deck, "D2", PLAN), measures(sheet, 2), DAY))
    assert (two.accepted, two.faulty) == (True, (1, 2))
    assert on_hand(ledger)[deck] == 208
    three = ledger.write(
        lambda c: book_check(c, sheet := check_sheet(c, deck, "D2", PLAN), measures(sheet, 2), DAY, by_eye=1)
    )
    assert not three.accepted
    assert on_hand(ledger)[deck] == 208
    ledger.write(lambda c: count(c, deck, 0, DAY, "D1"))
    refused(ledger, "ledger.negative", lambda c: pack(c, "Bobbin", 1, DAY), "198 not accepted by a check")
    ledger.write(lambda c: reject(c, deck, "D2", None, "sent back", DAY))
    assert deck not in on_hand(ledger)


def test_a_check_is_whole_and_of_the_drawing(shop: Shop):
    ledger, codes = shop
    arm = codes["arm"]

    def short(c):
        sheet = check_sheet(c, arm, "A1", PLAN)
        return book_check(c, sheet, measures(sheet)[:-1], DAY)

    def strange(c):
        sheet = check_sheet(c, arm, "A1", PLAN)
        return book_check(c, sheet, [*measures(sheet), Measure(1, "width_mm", 12.0)], DAY)

    def doubled(c):
        sheet = check_sheet(c, arm, "A1", PLAN)
        return book_check(c, sheet, [*measures(sheet), Measure(1, "mass_g", 2.2)], DAY)

    refused(ledger, "ledger.value", short, "thickness_mm of piece 40")
    refused(ledger, "ledger.value", strange, "'width_mm' is not on the drawing")
    refused(ledger, "ledger.value", doubled, "once")


def test_counting_corrects_from_the_oldest_and_keeps_a_surplus_in_the_newest(shop: Shop):
    ledger, _ = shop
    ledger.write(lambda c: receive(c, Receipt("cutter", [ReceiptLine("box", 5, "B2")], DAY, "note 2")))
    counted = ledger.write(lambda c: count(c, "box", 4, DAY, reason="stock-taking"))
    assert (counted.before, counted.counted) == (15, 4)
    with ledger.read() as c:
        assert [(r.lot, r.left) for r in lots_of(c, ["box"])] == [("B2", 4)]
    ledger.write(lambda c: count(c, "box", 6, DAY))
    ledger.write(lambda c: count(c, "box", 6, DAY))
    assert on_hand(ledger)["box"] == 6
    ledger.write(lambda c: add_item(c, "label", "packing", "label", DAY))
    ledger.write(lambda c: count(c, "label", 100, DAY))
    assert on_hand(ledger)["label"] == 100


def test_orders_are_open_until_received_or_closed(shop: Shop):
    ledger, codes = shop
    lines = [OrderLine("box", 50, Decimal("0.8"), expected_on=DAY), OrderLine(codes["arm"], 40)]
    number = ledger.write(lambda c: order(c, "cutter", lines, DAY, "PO 1"))
    later = DAY + datetime.timedelta(days=16)
    ledger.write(lambda c: receive(c, Receipt("cutter", [ReceiptLine("box", 30)], later, "n2", number)))
    with ledger.read() as c:
        assert [(o.item, o.to_come) for o in open_orders(c)] == [(codes["arm"], 40), ("box", 20)]
        assert {r.item: r.on_order for r in stock(c) if r.on_order} == {codes["arm"]: 40, "box": 20}
        assert [(d.supplier, d.days) for d in deliveries(c)] == [("cutter", 16)]
    ledger.write(lambda c: close_order(c, number, later))
    with ledger.read() as c:
        assert open_orders(c) == []
    refused(ledger, "ledger.order", lambda c: close_order(c, 999, DAY), "no order 999")
    wrong = Receipt("cutter", [ReceiptLine("box", 1)], DAY, order=1)
    refused(ledger, "ledger.order", lambda c: receive(c, wrong))


def test_a_substitute_is_taken_when_asked_and_the_books_say_for_what(shop: Shop):
    ledger, codes = shop
    ledger.write(lambda c: add_item(c, "box_brown", "packing", "brown box", DAY))
    ledger.write(lambda c: count(c, "box_brown", 5, DAY))
    ledger.write(lambda c: count(c, "box", 1, DAY))
    ledger.write(lambda c: discontinue(c, "box", DAY))
    ledger.write(lambda c: add_substitute(c, "box", "box_brown", "same size"))
    refused(ledger, "ledger.negative", lambda c: pack(c, "Bobbin", 3, DAY), "box (2 of 3 missing)")
    with ledger.read() as c:
        (lost,) = losses(c)
    assert (lost.item, lost.on_hand, lost.substitutes[0].on_hand) == ("box", 1, 5)
    assert lost.frames == (("Bobbin", codes["kit"], 1, True),)
    ledger.write(lambda c: pack(c, "Bobbin", 3, DAY, substitutes=True))
    assert on_hand(ledger)["box_brown"] == 3
    with ledger.read() as c:
        rows = c.execute(text("SELECT item_id, quantity FROM movement WHERE stands_for = 'box'")).all()
    assert [tuple(r) for r in rows] == [("box_brown", -1), ("box_brown", -1)]


def test_the_buyers_own_equipment_is_not_taken_but_its_end_is_told(shop: Shop):
    ledger, codes = shop
    ledger.write(lambda c: discontinue(c, "motor_1404", DAY))
    with ledger.read() as c:
        (lost,) = losses(c)
    assert lost.frames == (("Bobbin", codes["kit"], 4, False),)


def test_one_shape_in_two_frames_is_one_item_and_a_change_is_a_new_revision(shop: Shop):
    ledger, codes = shop
    heddle = ledger.write(lambda c: enter_frame(c, frame("Heddle", arm_mm=90.0), DAY))
    by_part = {p.part: p for p in heddle.parts}
    assert by_part["deck"].item == codes["deck"]
    assert by_part["deck"].also == ("Bobbin deck",)
    assert by_part["arm"].item != codes["arm"]
    changed = ledger.write(lambda c: enter_frame(c, frame(arm_mm=61.0, revision="B"), DAY))
    arm = next(p for p in changed.parts if p.part == "arm")
    assert (arm.revision, arm.is_new) == (2, True)
    assert changed.kit != codes["kit"]
    again = ledger.write(lambda c: enter_frame(c, frame(), DAY, {"box": 1}))
    assert (again.kit, again.kit_is_new) == (codes["kit"], False)
    with ledger.read() as c, pytest.raises(LedgerError) as caught:
        find_item(c, "arm")
    assert caught.value.code == "ledger.ambiguous"
