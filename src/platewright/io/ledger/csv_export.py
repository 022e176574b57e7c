"""Write tables of a ledger as CSV that a spreadsheet opens: headings, UTF-8, with a byte-order mark unless refused."""

from __future__ import annotations

import csv
import datetime
import os
import secrets
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from pathlib import Path

from sqlalchemy import Connection, text

from platewright.foundation.errors import LedgerError, OutputError
from platewright.io.ledger.checks import CheckSheet
from platewright.io.ledger.csv_read import FORMULA_SIGNS
from platewright.io.ledger.queries import lots_of, stock

__all__ = ["EXPORTS", "check_sheet_rows", "export_rows", "write_csv"]

_QUERIES = {
    "movements": "SELECT m.id AS movement, m.on_date AS date, d.kind AS document_kind, m.document_id AS document, "
    "m.kind, m.item_id AS item, l.code AS lot, l.sheet, m.quantity, k.code AS kit, m.stands_for, m.unit_price, "
    "m.currency, d.party, d.reference, m.reason FROM movement AS m JOIN document AS d ON d.id = m.document_id "
    "JOIN lot AS l ON l.id = m.lot_id LEFT JOIN lot AS k ON k.id = m.kit_lot_id ORDER BY m.id",
    "items": "SELECT id AS item, kind, name, CASE WHEN checked THEN 'yes' ELSE 'no' END AS checked FROM item "
    "WHERE kind <> 'kit' ORDER BY kind, id",
    "suppliers": "SELECT id AS supplier, name, lead_time_days, lead_time_spread_days FROM supplier ORDER BY id",
    "prices": "SELECT supplier_id AS supplier, item_id AS item, minimum_quantity, unit_price, currency, valid_from "
    "FROM offer ORDER BY supplier_id, item_id, minimum_quantity, valid_from",
    "kits": "SELECT l.kit_id AS kit, k.frame, k.revision, k.frozen_on, l.item_id AS item, l.quantity, l.spares, "
    "CASE WHEN l.included THEN 'yes' ELSE 'no' END AS included FROM kit_line AS l "
    "JOIN kit AS k ON k.item_id = l.kit_id ORDER BY l.kit_id, l.item_id",
    "measurements": "SELECT i.document_id AS document, l.item_id AS item, l.code AS lot, m.piece, m.feature, m.value, "
    "m.low, m.high FROM measurement AS m JOIN inspection AS i ON i.document_id = m.document_id "
    "JOIN lot AS l ON l.id = i.lot_id ORDER BY m.document_id, m.piece, m.feature",
}
EXPORTS = ("stock", "lots", *_QUERIES)
"""What can be exported."""

_STOCK = ("item", "kind", "name", "on_hand", "held", "on_order", "discontinued_on")
_LOTS = ("item", "lot", "sheet", "supplier", "received_on", "left", "state")
Row = Sequence[object]


def export_rows(connection: Connection, what: str) -> Iterator[Row]:
    """Yield the headings, then the rows of a table.

    Raises
    ------
    LedgerError
        If there is no such table.
    """
    if what not in EXPORTS:
        msg = f"'{what}' cannot be exported; choose {', '.join(EXPORTS)}."
        raise LedgerError("ledger.value", msg)
    if what == "stock":
        yield _STOCK
        yield from ([getattr(row, name) for name in _STOCK] for row in stock(connection))
    elif what == "lots":
        yield _LOTS
        yield from ([getattr(row, name) for name in _LOTS] for row in lots_of(connection))
    else:
        result = connection.execution_options(yield_per=5000).execute(text(_QUERIES[what]))
        headings = tuple(result.keys())
        yield headings
        amounts = [n for n, name in enumerate(headings) if name == "unit_price"]
        for row in result:
            cells = list(row)
            for n in amounts:
                cells[n] = None if cells[n] is None else Decimal(cells[n])
            yield cells


def check_sheet_rows(sheet: CheckSheet) -> Iterator[Row]:
    """Yield the sheet of a goods-inward check, to be filled in: one row for each feature of each piece to draw."""
    yield ("piece", "feature", "nominal", "low", "high", "value")
    for piece in range(1, sheet.plan.sample_size + 1):
        for limit in sheet.limits:
            yield (piece, limit.feature, *(Decimal(f"{v:.6g}") for v in (limit.nominal, limit.low, limit.high)), None)


def write_csv(path: Path, rows: Iterable[Row], decimal_comma: bool = False, mark: bool = True) -> int:
    """Write rows, headings first, into a file that appears whole or not at all; return how many rows there were.

    Parameters
    ----------
    path : Path
        The file; an existing one is replaced.
    rows : iterable of sequences
        Headings, then rows.
    decimal_comma : bool
        Write 12,50, and part cells by `;`.
    mark : bool
        Begin with a byte-order mark, by which spreadsheets tell UTF-8.

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(4)}.new")
    n = -1
    try:
        with fresh.open("w", encoding="utf-8-sig" if mark else "utf-8", newline="") as file:
            writer = csv.writer(file, delimiter=";" if decimal_comma else ",")
            for row in rows:
                writer.writerow([_cell(value, decimal_comma) for value in row])
                n += 1
        os.replace(fresh, path)
    except OSError as error:
        msg = f"'{path.name}' cannot be written: {error.strerror or error}; what was there is as it was."
        raise OutputError(msg) from error
    finally:
        fresh.unlink(missing_ok=True)
    return n


def _cell(value: object, decimal_comma: bool) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, Decimal | float):
        said = f"{value:f}" if isinstance(value, Decimal) else repr(value)
        return said.replace(".", ",") if decimal_comma else said
    said = str(value)
    if isinstance(value, str) and said.startswith(FORMULA_SIGNS):
        return f"'{said}"  # else a spreadsheet would run it
    return said
