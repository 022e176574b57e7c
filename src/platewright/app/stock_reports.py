"""What a maker asks of the stock: lists, traces of lots, losses, goods-inward checks, files for a spreadsheet."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable
from dataclasses import asdict, dataclass, is_dataclass
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

from sqlalchemy import Connection

from platewright.app.stock import opened
from platewright.foundation.errors import RequestError
from platewright.io.ledger.checks import Checked, CheckSheet, book_check, check_sheet
from platewright.io.ledger.csv_export import check_sheet_rows, export_rows, write_csv
from platewright.io.ledger.csv_import import read_measures
from platewright.io.ledger.items import find_item
from platewright.io.ledger.queries import LotRow, OpenOrder, StockRow, lots_of, open_orders, stock
from platewright.io.ledger.traces import Loss, Trace, losses, revisions_of, trace
from platewright.shop.acceptance import SamplingPlan, sampling_plan

__all__ = [
    "ItemReport",
    "check_lot",
    "export_stock",
    "item_report",
    "list_losses",
    "list_orders",
    "list_stock",
    "sheet_of_lot",
    "stock_json",
    "trace_lot",
    "wanted_plan",
]

T = TypeVar("T")


@dataclass(frozen=True)
class ItemReport:
    """One item: its stock, its lots, and which part of which frame it is, by revision."""

    row: StockRow
    lots: tuple[LotRow, ...]
    used: tuple[tuple[str, str, int, datetime.date], ...]


def list_stock(address: str) -> list[StockRow]:
    """Return every item with its stock."""
    return _read(address, stock)


def item_report(address: str, item: str) -> ItemReport:
    """Return one item with its lots."""

    def ask(connection: Connection) -> ItemReport:
        code = find_item(connection, item).id
        row = next(r for r in stock(connection) if r.item == code)
        return ItemReport(row, tuple(lots_of(connection, [code])), tuple(revisions_of(connection, code)))

    return _read(address, ask)


def list_orders(address: str) -> list[OpenOrder]:
    """Return what is still to come from suppliers."""
    return _read(address, open_orders)


def list_losses(address: str) -> list[Loss]:
    """Return every discontinued item with what may stand for it, and the frames that need it."""
    return _read(address, losses)


def trace_lot(address: str, code: str) -> Trace:
    """Return where the pieces of a lot, or of all lots of a sheet, are."""
    return _read(address, lambda c: trace(c, code))


def wanted_plan(
    acceptable_percent: float, supplier_risk_percent: float, tolerated_percent: float, buyer_risk_percent: float
) -> SamplingPlan:
    """Return the sampling plan for shares and risks in percent.

    Raises
    ------
    RequestError
        If there is no such plan.
    """
    shares = (acceptable_percent, supplier_risk_percent, tolerated_percent, buyer_risk_percent)
    try:
        return sampling_plan(*(share / 100 for share in shares))
    except ValueError as error:
        msg = (
            "--acceptable-percent must be below --tolerated-percent, both from 0 to 100 and not too near each other, "
            f"and both risks between 0 and 100 (got {', '.join(f'{share:g}' for share in shares)}): {error}"
        )
        raise RequestError(msg) from error


def sheet_of_lot(address: str, item: str, lot: str, plan: SamplingPlan, out: Path | None = None) -> CheckSheet:
    """Return what to measure on a lot; with a file's name, also write the sheet to be filled in."""
    sheet = _read(address, lambda c: check_sheet(c, item, lot, plan))
    if out is not None:
        write_csv(out, check_sheet_rows(sheet))
    return sheet


def check_lot(
    address: str,
    item: str,
    lot: str,
    plan: SamplingPlan,
    on: datetime.date,
    values: Path | None,
    by_eye: int = 0,
    encoding: str = "",
    decimal_comma: bool = False,
) -> Checked:
    """Book a goods-inward check from a filled-in sheet; without one, an item that has nothing to measure."""
    measures = read_measures(values, encoding, decimal_comma) if values is not None else []
    with opened(address) as ledger:
        return ledger.write(lambda c: book_check(c, check_sheet(c, item, lot, plan), measures, on, by_eye))


def export_stock(address: str, what: str, path: Path, decimal_comma: bool = False, mark: bool = True) -> int:
    """Write a table of the ledger as CSV and return how many rows it has."""
    return _read(address, lambda c: write_csv(path, export_rows(c, what), decimal_comma, mark))


def stock_json(result: object) -> str:
    """Return a result as JSON: money and dates as text."""
    return json.dumps(_plain(result), indent=2, ensure_ascii=False, allow_nan=False)


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, type):
        return {name: _plain(item) for name, item in asdict(value).items()}
    if isinstance(value, dict):
        return {str(name): _plain(item) for name, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Decimal):
        return f"{value:f}"
    return value.isoformat() if isinstance(value, datetime.date) else value


def _read(address: str, question: Callable[[Connection], T]) -> T:
    with opened(address) as ledger, ledger.read() as connection:
        return question(connection)
