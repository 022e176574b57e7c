"""Reports from the field in both databases: whole or not at all, once, withdrawn by another row, with sales by lot."""

import pytest
from sqlalchemy import text

from ledgers import DAY
from platewright.foundation.errors import LedgerError
from platewright.io.ledger.audit import breaches
from platewright.io.ledger.field_reports import book_field_reports, field_reports, sold_reports
from platewright.io.ledger.goods_out import SaleLine, pack, sell
from platewright.io.ledger.revisions import revision_stock
from platewright.shop.field_reports import FieldReport, standing

BROKEN = FieldReport("broken", DAY, "arm", 1, "A1", 1, (41.5, -2.0), "gate post", 12.5, None, "R1")
WHOLE = FieldReport("whole", DAY, "arm", 1, pieces=4, flights=60.0)


def test_reports_come_back_as_they_were_booked_and_move_no_stock(shop):
    ledger, _ = shop
    with ledger.read() as c:
        before = c.execute(text("SELECT count(*) FROM movement")).scalar_one()
    assert ledger.write(lambda c: book_field_reports(c, "Bobbin", [BROKEN, WHOLE])) == 2
    with ledger.read() as c:
        assert field_reports(c, "Bobbin") == [BROKEN, WHOLE]
        assert field_reports(c, "Heddle") == []
        assert c.execute(text("SELECT count(*) FROM movement")).scalar_one() == before
        assert breaches(c) == []


def test_a_report_is_booked_once_and_its_file_whole_or_not_at_all(shop):
    ledger, _ = shop
    ledger.write(lambda c: book_field_reports(c, "Bobbin", [BROKEN]))
    with pytest.raises(LedgerError, match="'R1' of arm") as caught:
        ledger.write(lambda c: book_field_reports(c, "Bobbin", [WHOLE, BROKEN]))
    assert caught.value.code == "ledger.duplicate"
    with ledger.read() as c:
        assert field_reports(c, "Bobbin") == [BROKEN]


def test_a_wrong_report_is_withdrawn_by_another_and_both_stay(shop):
    ledger, _ = shop
    gone = FieldReport("withdrawn", DAY, "arm", 1, reference="R1")
    with pytest.raises(LedgerError, match="no report 'R1' of arm to withdraw"):
        ledger.write(lambda c: book_field_reports(c, "Bobbin", [gone]))
    ledger.write(lambda c: book_field_reports(c, "Bobbin", [BROKEN, gone]))
    with ledger.read() as c:
        found = field_reports(c, "Bobbin")
    assert len(found) == 2
    assert standing(found) == []


@pytest.mark.parametrize("statement", ["UPDATE field_report SET pieces = 9", "DELETE FROM field_report"])
def test_a_report_is_never_changed(shop, statement: str):
    ledger, _ = shop
    ledger.write(lambda c: book_field_reports(c, "Bobbin", [BROKEN]))
    with pytest.raises(LedgerError, match="never changed or removed"):
        ledger.write(lambda c: c.execute(text(statement)))
    with ledger.read() as c:
        assert field_reports(c, "Bobbin") == [BROKEN]


def test_parts_of_sold_kits_are_sales_of_their_lot_and_stock_knows_the_design(shop):
    ledger, codes = shop
    ledger.write(lambda c: pack(c, "Bobbin", 3, DAY))
    ledger.write(lambda c: sell(c, [SaleLine("Bobbin", 2)], DAY, "a buyer", "1"))
    with ledger.read() as c:
        digest = c.execute(text("SELECT design_hash FROM kit")).scalar_one()
        assert sold_reports(c, {codes["arm"]: ("arm", 1)}, DAY) == [FieldReport("sold", DAY, "arm", 1, "A1", 8)]
        rows = {(r.part, r.item): r.on_hand for r in revision_stock(c, [digest])}
        assert rows == {("", codes["kit"]): 1, ("arm", codes["arm"]): 28, ("deck", codes["deck"]): 7}
        assert revision_stock(c, ["another"]) == []
