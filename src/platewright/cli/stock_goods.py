"""`platewright stock`: what comes in, is checked, packed, sold, sent back, counted."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

from platewright.app.stock import (
    DEFAULT_LEDGER,
    close_stock_order,
    count_stock,
    order_stock,
    pack_kits,
    receive_stock,
    reject_stock,
    return_stock,
    sell_stock,
)
from platewright.app.stock_reports import check_lot, sheet_of_lot, stock_json, wanted_plan
from platewright.app.stock_words import read_amount
from platewright.cli.stock_options import AsJson, ItemName, LedgerAddress, LotCode, OnDay
from platewright.cli.stock_tables import checked_lines, sheet_lines

__all__ = ["count", "inspect", "order", "pack", "receive", "reject", "sell", "take_back"]


def order(
    supplier: str,
    *lines: str,
    reference: str = "",
    expected: datetime.date | None = None,
    close: int | None = None,
    on: OnDay = None,
    ledger: LedgerAddress = DEFAULT_LEDGER,
) -> int:
    """Note an order to a supplier, or that nothing more will come of one.

    Parameters
    ----------
    supplier
        To whom.
    lines
        What, as in heddle:arm=40 or heddle:arm=40@3.20.
    reference
        Your number of it.
    expected
        When it should come.
    close
        Number of an order of which nothing more will come; no lines then.
    """
    day = on or datetime.date.today()
    if close is not None:
        if lines:
            print("an order is closed or placed; give --close or lines, not both.", file=sys.stderr)
            return 2
        close_stock_order(ledger, close, day)
        print(f"closed order {close}.")
        return 0
    print(f"noted order {order_stock(ledger, supplier, lines, day, reference, expected)}.")
    return 0


def receive(
    supplier: str,
    *lines: str,
    note: str = "",
    lot: str = "",
    sheet: str = "",
    order: int | None = None,
    on: OnDay = None,
    ledger: LedgerAddress = DEFAULT_LEDGER,
) -> int:
    """Book a delivery.

    Parameters
    ----------
    supplier
        Who sent it.
    lines
        What, as in heddle:arm=40 or heddle:arm=40@3.20.
    note
        Number of the delivery note; the same one is booked once.
    lot
        Code of the lot; the receipt's number if none is given.
    sheet
        The sheet that the parts were cut from.
    order
        Number of the order that it belongs to.
    """
    day, more = on or datetime.date.today(), {"lot": lot, "sheet": sheet}
    print(f"booked receipt {receive_stock(ledger, supplier, lines, day, reference=note, order_number=order, **more)}.")
    return 0


def inspect(
    item: ItemName,
    lot: LotCode,
    /,
    *,
    values: Path | None = None,
    sheet_out: Path | None = None,
    by_eye: int = 0,
    book: bool = False,
    acceptable_percent: float = 1.0,
    supplier_risk_percent: float = 5.0,
    tolerated_percent: float = 10.0,
    buyer_risk_percent: float = 10.0,
    encoding: str = "",
    decimal_comma: bool = False,
    on: OnDay = None,
    ledger: LedgerAddress = DEFAULT_LEDGER,
    json: AsJson = False,
) -> int:
    """Say what to measure on a lot and, with the values, book the check.

    Parameters
    ----------
    values
        The filled-in sheet, CSV with the headings piece, feature, value.
    sheet_out
        Write the sheet to be filled in.
    by_eye
        Pieces put aside that were within all limits.
    book
        Book the check of an item that has nothing to measure.
    acceptable_percent
        Share of faulty pieces that is still good.
    supplier_risk_percent
        How often such a lot may be refused.
    tolerated_percent
        Share of faulty pieces that must not pass.
    buyer_risk_percent
        How often such a lot may be accepted.
    encoding
        Of the values, if it is not UTF-8.
    decimal_comma
        The values are written as 2,05.
    """
    plan = wanted_plan(acceptable_percent, supplier_risk_percent, tolerated_percent, buyer_risk_percent)
    if values is None and not book:
        sheet = sheet_of_lot(ledger, item, lot, plan, sheet_out)
        print(stock_json(sheet) if json else "\n".join(sheet_lines(sheet)))
        return 0
    day = on or datetime.date.today()
    checked = check_lot(ledger, item, lot, plan, day, values, by_eye, encoding, decimal_comma)
    print(stock_json(checked) if json else "\n".join(checked_lines(checked)))
    return 0 if checked.accepted else 1


def reject(
    item: ItemName,
    lot: LotCode,
    pieces: int | None = None,
    /,
    *,
    reason: str,
    on: OnDay = None,
    ledger: LedgerAddress = DEFAULT_LEDGER,
) -> int:
    """Take faulty pieces of a lot out of stock.

    Parameters
    ----------
    pieces
        How many; all that are left if none is given.
    reason
        Why.
    """
    print(f"booked reject {reject_stock(ledger, item, lot, pieces, reason, on or datetime.date.today())}.")
    return 0


def pack(
    kit: str,
    pieces: int = 1,
    /,
    *,
    substitutes: bool = False,
    on: OnDay = None,
    ledger: LedgerAddress = DEFAULT_LEDGER,
    json: AsJson = False,
) -> int:
    """Pack kits: parts, hardware and spares leave the stock, numbered kits enter it.

    Parameters
    ----------
    kit
        The frame's name, for its newest kit, or the kit's code.
    pieces
        How many.
    substitutes
        Where an item runs out, take what stands for it.
    """
    packed = pack_kits(ledger, kit, pieces, on or datetime.date.today(), substitutes)
    numbers = packed.numbers
    span = " to ".join(dict.fromkeys((numbers[0], numbers[-1])))
    print(stock_json(packed) if json else f"packed {span} (booking {packed.document}).")
    return 0


def sell(
    *lines: str,
    to: str = "",
    reference: str = "",
    lot: str = "",
    on: OnDay = None,
    ledger: LedgerAddress = DEFAULT_LEDGER,
    json: AsJson = False,
) -> int:
    """Sell kits or spares, the oldest first.

    Parameters
    ----------
    lines
        What, as in heddle, heddle=2@129.00, heddle:arm=1, or a kit's own number.
    to
        The buyer.
    reference
        Number of the sale; the same one of the same buyer is booked once.
    lot
        Take it from this lot.
    """
    sold = sell_stock(ledger, lines, on or datetime.date.today(), to, reference, lot)
    if json:
        print(stock_json(sold))
    else:
        for item, lots in sold.lines:
            print(f"sold {item}: {', '.join(f'{n} of {code}' if n > 1 else code for code, n in lots)}.")
    return 0


def take_back(
    what: str,
    /,
    *,
    reason: str,
    pieces: int = 1,
    lot: str = "",
    out_of: str = "",
    keep: bool = False,
    refund: str = "",
    on: OnDay = None,
    ledger: LedgerAddress = DEFAULT_LEDGER,
    json: AsJson = False,
) -> int:
    """Book what a buyer sent back: a kit, a spare, or a part out of a kit.

    Parameters
    ----------
    what
        The kit's own number, or an item.
    reason
        Why it came back.
    pieces
        How many.
    lot
        Lot of a spare, where several were sold.
    out_of
        Number of the kit that the part came out of.
    keep
        It goes into stock again; otherwise it is scrapped.
    refund
        Paid back for one piece, as in 12.50.
    """
    amount = read_amount(refund) if refund else None
    day = on or datetime.date.today()
    back = return_stock(ledger, what, reason, day, pieces=pieces, lot=lot, out_of=out_of, keep=keep, refund=amount)
    state = "back in stock" if keep else "scrapped"
    print(stock_json(back) if json else f"{back.item} of lot {back.lot} is {state} (booking {back.document}).")
    return 0


def count(
    item: ItemName,
    pieces: int,
    /,
    *,
    lot: str = "",
    reason: str = "",
    on: OnDay = None,
    ledger: LedgerAddress = DEFAULT_LEDGER,
    json: AsJson = False,
) -> int:
    """Set an item to what was counted; the difference is booked.

    Parameters
    ----------
    pieces
        How many there are.
    lot
        Only this lot was counted.
    reason
        Why it was counted.
    """
    counted = count_stock(ledger, item, pieces, on or datetime.date.today(), lot, reason)
    told = f"{counted.item}: {counted.before} in the books, {counted.counted - counted.before:+d} booked."
    print(stock_json(counted) if json else told)
    return 0
