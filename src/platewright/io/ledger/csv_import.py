"""Book the rows of a CSV file: all of them, or none if one is wrong."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection

from platewright.foundation.errors import LedgerError
from platewright.io.ledger.checks import Measure
from platewright.io.ledger.csv_read import CsvRow, CsvTable, read_csv
from platewright.io.ledger.goods_in import Receipt, ReceiptLine, count, receive
from platewright.io.ledger.goods_out import SaleLine, sell
from platewright.io.ledger.items import add_item, add_offer, add_supplier, find_item, find_supplier, settings

__all__ = ["FORMS", "CsvForm", "import_rows", "read_form", "read_measures"]


@dataclass(frozen=True)
class CsvForm:
    """Headings that a kind of file must and may have."""

    required: tuple[str, ...]
    optional: tuple[str, ...]


FORMS = {
    "items": CsvForm(("item", "kind", "name"), ("checked",)),
    "suppliers": CsvForm(("supplier", "name"), ("lead_time_days", "lead_time_spread_days")),
    "prices": CsvForm(("supplier", "item", "minimum_quantity", "unit_price"), ("currency", "valid_from")),
    "receipts": CsvForm(
        ("supplier", "item", "quantity"), ("date", "reference", "lot", "sheet", "unit_price", "currency")
    ),
    "sales": CsvForm(("item", "quantity"), ("date", "buyer", "reference", "lot", "unit_price", "currency")),
    "counts": CsvForm(("item", "quantity"), ("date", "lot", "reason")),
}


def read_form(path: Path, form: str, encoding: str = "", decimal_comma: bool = False) -> CsvTable:
    """Read a file of one of the `FORMS`.

    Raises
    ------
    LedgerError
        If there is no such form.
    DesignFileError
        If the file cannot be read.
    """
    if form not in FORMS:
        msg = f"'{form}' cannot be imported; choose {', '.join(FORMS)}."
        raise LedgerError("ledger.value", msg)
    return read_csv(path, FORMS[form].required, FORMS[form].optional, encoding, decimal_comma)


def import_rows(connection: Connection, form: str, table: CsvTable, on: datetime.date) -> int:
    """Book all rows of a table and return how many bookings that made.

    Rows of receipts with one supplier, delivery note and date are one receipt; rows of sales with one buyer, reference
    and date are one sale. What a booking refuses is a problem of its row, and then nothing is booked.

    Parameters
    ----------
    connection : Connection
        That writes.
    form : str
        One of the `FORMS`.
    table : CsvTable
        From `read_form`.
    on : date
        For rows without a date.

    Raises
    ------
    DesignFileError
        With every problem of every row.
    """
    table.problems.clear()  # the booking may be tried again
    book = _BOOKERS[form]
    groups = _groups(table, form, on)
    for rows in groups:
        known = len(table.problems)
        try:
            with connection.begin_nested():
                book(connection, rows, on)
                if len(table.problems) > known:
                    raise _WrongRowError
        except _WrongRowError:
            continue
        except LedgerError as error:
            if error.code == "ledger.value" and len(table.problems) > known:
                continue  # the value that stands for a cell which was found wrong already
            said = str(error).removesuffix(f" [{error.code}]")
            rows[0].problem(error.code, "", said)
    table.finish()
    return len(groups)


def read_measures(path: Path, encoding: str = "", decimal_comma: bool = False) -> list[Measure]:
    """Read the values of a goods-inward check: `piece`, `feature`, `value`; rows without a value are left out.

    Raises
    ------
    DesignFileError
        If the file cannot be read.
    """
    table = read_csv(path, ("piece", "feature", "value"), ("nominal", "low", "high"), encoding, decimal_comma)
    measures = []
    for row in table.rows:
        value = row.number("value", required=False)
        if value is not None:
            measures.append(Measure(row.whole("piece"), row.text("feature"), float(value)))
    table.finish()
    return measures


class _WrongRowError(Exception):
    """A row has problems of its own: what was booked of its group is taken back."""


def _groups(table: CsvTable, form: str, on: datetime.date) -> list[list[CsvRow]]:
    """Return rows that are one booking; a row without a reference is one of its own."""
    party = {"receipts": "supplier", "sales": "buyer"}.get(form)
    found: dict[object, list[CsvRow]] = {}
    for n, row in enumerate(table.rows):
        cells = row.cells
        reference = cells.get("reference", "").strip()
        key = (cells.get(party, "").strip(), reference, cells.get("date", "").strip()) if party and reference else n
        found.setdefault(key, []).append(row)
    return list(found.values())


def _items(connection: Connection, rows: list[CsvRow], on: datetime.date) -> None:
    for row in rows:
        checked = row.text("checked", required=False).lower()
        if checked not in ("", "yes", "no"):
            row.problem("csv.choice", "checked", f"must be yes or no (got '{checked}').")
        add_item(connection, row.text("item"), row.text("kind"), row.text("name"), on, checked == "yes")


def _suppliers(connection: Connection, rows: list[CsvRow], on: datetime.date) -> None:
    for row in rows:
        days = row.whole("lead_time_days", required=False) if row.text("lead_time_days", required=False) else None
        spread = row.number("lead_time_spread_days", required=False)
        spread_days = float(spread) if spread is not None else None
        add_supplier(connection, row.text("supplier"), row.text("name"), days, spread_days)


def _prices(connection: Connection, rows: list[CsvRow], on: datetime.date) -> None:
    for row in rows:
        price = row.number("unit_price")
        currency = row.text("currency", required=False) or settings(connection).currency
        code = find_item(connection, row.text("item")).id
        seller = find_supplier(connection, row.text("supplier"))
        from_pieces, valid = row.whole("minimum_quantity"), row.date("valid_from", on)
        if price is not None:
            add_offer(connection, seller, code, from_pieces, price, currency, valid)


def _receipts(connection: Connection, rows: list[CsvRow], on: datetime.date) -> None:
    lines = [
        ReceiptLine(
            row.text("item"),
            row.whole("quantity"),
            row.text("lot", required=False),
            row.text("sheet", required=False),
            row.number("unit_price", required=False),
            row.text("currency", required=False) or None,
        )
        for row in rows
    ]
    first = rows[0]
    reference = first.text("reference", required=False)
    receive(connection, Receipt(first.text("supplier"), lines, first.date("date", on), reference))


def _sales(connection: Connection, rows: list[CsvRow], on: datetime.date) -> None:
    lines = [
        SaleLine(
            row.text("item"),
            row.whole("quantity"),
            row.text("lot", required=False),
            row.number("unit_price", required=False),
            row.text("currency", required=False) or None,
        )
        for row in rows
    ]
    first = rows[0]
    buyer, reference = first.text("buyer", required=False), first.text("reference", required=False)
    sell(connection, lines, first.date("date", on), buyer, reference)


def _counts(connection: Connection, rows: list[CsvRow], on: datetime.date) -> None:
    for row in rows:
        lot_code, reason = row.text("lot", required=False), row.text("reason", required=False)
        count(connection, row.text("item"), row.whole("quantity"), row.date("date", on), lot_code, reason)


_BOOKERS: dict[str, Callable[[Connection, list[CsvRow], datetime.date], None]] = {
    "items": _items,
    "suppliers": _suppliers,
    "prices": _prices,
    "receipts": _receipts,
    "sales": _sales,
    "counts": _counts,
}
