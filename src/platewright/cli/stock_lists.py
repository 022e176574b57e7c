"""`platewright stock list` and `where`: what there is, what is to come, and where the pieces of a lot are."""

from __future__ import annotations

from platewright.app.stock import DEFAULT_LEDGER
from platewright.app.stock_reports import item_report, list_orders, list_stock, stock_json, trace_lot
from platewright.cli.stock_options import AsJson, ItemName, LedgerAddress
from platewright.cli.stock_tables import lots_table, orders_table, stock_table, trace_lines, trace_table
from platewright.cli.tables import screen

__all__ = ["show", "where"]


def show(
    item: ItemName = "",
    /,
    *,
    all: bool = False,
    orders: bool = False,
    ledger: LedgerAddress = DEFAULT_LEDGER,
    json: AsJson = False,
) -> int:
    """List what is in stock or on order; one item with its lots.

    Parameters
    ----------
    all
        Items without stock too.
    orders
        List what is to come from suppliers instead.
    """
    console = screen()
    if orders:
        rows = list_orders(ledger)
        console.print(orders_table(rows)) if not json else print(stock_json(rows))
    elif item:
        report = item_report(ledger, item)
        if json:
            print(stock_json(report))
        else:
            console.print(stock_table([report.row]))
            console.print(lots_table(report.lots))
            for frame, part, revision, first_on in report.used:
                console.print(f"{frame} {part}, revision {revision}, since {first_on}")
    else:
        found = [row for row in list_stock(ledger) if all or row.on_hand or row.on_order]
        console.print(stock_table(found)) if not json else print(stock_json(found))
    return 0


def where(lot: str, /, *, ledger: LedgerAddress = DEFAULT_LEDGER, json: AsJson = False) -> int:
    """Say where the pieces of a lot are: which kits hold them, who bought those, and how many came back.

    Parameters
    ----------
    lot
        Code of a lot, or of a sheet for all lots cut from it.
    """
    found = trace_lot(ledger, lot)
    if json:
        print(stock_json(found))
        return 0
    console = screen()
    if found.holders:
        console.print(trace_table(found))
    console.print("\n".join(trace_lines(lot, found)))
    return 0
