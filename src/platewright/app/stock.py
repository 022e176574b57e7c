"""What a maker does with the stock: one function for each booking, each whole or not at all."""

from __future__ import annotations

import contextlib
import datetime
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

from sqlalchemy import Connection

from platewright.app.load import load
from platewright.app.stock_words import read_line
from platewright.foundation.errors import LedgerError
from platewright.io.ledger.audit import breaches
from platewright.io.ledger.checkpoints import rebuild_checkpoint
from platewright.io.ledger.csv_import import import_rows, read_form
from platewright.io.ledger.frames import EnteredFrame, enter_frame
from platewright.io.ledger.goods_back import Returned, take_back
from platewright.io.ledger.goods_in import Counted, OrderLine, Receipt, ReceiptLine, close_order, count, order, receive
from platewright.io.ledger.goods_in import reject as book_reject
from platewright.io.ledger.goods_out import Packed, SaleLine, Sold, pack, sell
from platewright.io.ledger.items import (
    add_item,
    add_offer,
    add_substitute,
    add_supplier,
    discontinue,
    find_item,
    find_supplier,
    settings,
    want_check,
)
from platewright.io.ledger.making import create_ledger, upgrade_ledger
from platewright.io.ledger.store import Ledger, open_ledger
from platewright.io.ledger.traces import Loss, losses
from platewright.io.ledger.versions import REVISION
from platewright.study.stock_items import frame_items

__all__ = [
    "DEFAULT_LEDGER",
    "add_stock_item",
    "close_stock_order",
    "count_stock",
    "discontinue_item",
    "enter_frames",
    "enter_supplier",
    "import_stock",
    "init_ledger",
    "note_price",
    "opened",
    "order_stock",
    "pack_kits",
    "rebuild_ledger",
    "receive_stock",
    "reject_stock",
    "require_check",
    "return_stock",
    "sell_stock",
]

DEFAULT_LEDGER = "ledger.sqlite"
"""In the folder where the command is run."""

T = TypeVar("T")


@contextlib.contextmanager
def opened(address: str) -> Iterator[Ledger]:
    """Give an open ledger, closed afterwards."""
    ledger = open_ledger(address)
    try:
        yield ledger
    finally:
        ledger.close()


def init_ledger(address: str, currency: str, on: datetime.date, allow_negative: bool = False) -> str:
    """Make a ledger, or raise an older one to the newest tables; return what was done, as a sentence."""
    if "://" not in address and not Path(address).exists():
        create_ledger(address, currency, on, allow_negative).close()
        return "made a new ledger."
    try:
        copy = upgrade_ledger(address)
    except LedgerError as error:
        if error.code != "ledger.missing" or "://" not in address:
            raise
        create_ledger(address, currency, on, allow_negative).close()
        return "made a new ledger."
    if copy is not None:
        return f"raised the ledger to tables {REVISION}; '{copy.name}' is as it was."
    return f"the ledger has tables {REVISION}, the newest; nothing was changed."


def enter_frames(
    address: str, designs: Sequence[Path], on: datetime.date, also: Sequence[str] = (), records: Path | None = None
) -> list[EnteredFrame]:
    """Enter the parts and hardware of frames, and freeze the bills of their kits.

    Parameters
    ----------
    address : str
        Of the ledger.
    designs : sequence of Path
        Design files.
    on : date
        When.
    also : sequence of str
        Further items of each kit, such as boxes, as `ITEM=PIECES`.
    records : Path or None
        A folder of the user's own catalogue records.
    """
    frames = [frame_items(load(path, records).assembly) for path in designs]

    def enter(connection: Connection) -> list[EnteredFrame]:
        more = {find_item(connection, name).id: pieces for name, pieces, _ in map(read_line, also)}
        return [enter_frame(connection, frame, on, more) for frame in frames]

    return _write(address, enter)


def add_stock_item(address: str, code: str, kind: str, name: str, on: datetime.date, checked: bool) -> None:
    """Add an item by hand: packing, or hardware that no design names."""
    _write(address, lambda c: add_item(c, code, kind, name, on, checked))


def require_check(address: str, item: str, checked: bool) -> str:
    """Say whether lots of an item must pass a check before they are used; return its code."""

    def change(connection: Connection) -> str:
        code = find_item(connection, item).id
        want_check(connection, code, checked)
        return code

    return _write(address, change)


def enter_supplier(address: str, code: str, name: str, days: int | None, spread_days: float | None) -> None:
    """Add a supplier, or change what is known of one."""
    _write(address, lambda c: add_supplier(c, code, name, days, spread_days))


def note_price(
    address: str, supplier: str, item: str, price: Decimal, pieces: int, currency: str, on: datetime.date
) -> None:
    """Note a supplier's price from a number of pieces on."""

    def note(connection: Connection) -> None:
        code = find_item(connection, item).id
        money = currency or settings(connection).currency
        add_offer(connection, find_supplier(connection, supplier), code, pieces, price, money, on)

    _write(address, note)


def order_stock(
    address: str,
    supplier: str,
    words: Sequence[str],
    on: datetime.date,
    reference: str = "",
    expected_on: datetime.date | None = None,
) -> int:
    """Note an order; `words` are `ITEM=PIECES` or `ITEM=PIECES@PRICE`. Returns its number."""
    lines = [OrderLine(name, pieces, price, None, expected_on) for name, pieces, price in map(read_line, words)]
    return _write(address, lambda c: order(c, supplier, lines, on, reference))


def close_stock_order(address: str, number: int, on: datetime.date) -> None:
    """Note that nothing more will come of an order."""
    _write(address, lambda c: close_order(c, number, on))


def receive_stock(
    address: str,
    supplier: str,
    words: Sequence[str],
    on: datetime.date,
    *,
    reference: str = "",
    lot: str = "",
    sheet: str = "",
    order_number: int | None = None,
) -> int:
    """Book a delivery; `words` as in `order_stock`. Returns its number."""
    lines = [ReceiptLine(name, pieces, lot, sheet, price) for name, pieces, price in map(read_line, words)]
    return _write(address, lambda c: receive(c, Receipt(supplier, lines, on, reference, order_number)))


def reject_stock(address: str, item: str, lot: str, pieces: int | None, reason: str, on: datetime.date) -> int:
    """Take faulty pieces of a lot out of stock, all when no number is given. Returns the booking's number."""
    return _write(address, lambda c: book_reject(c, item, lot, pieces, reason, on))


def pack_kits(address: str, kit: str, pieces: int, on: datetime.date, substitutes: bool = False) -> Packed:
    """Pack kits of a frame from the stock."""
    return _write(address, lambda c: pack(c, kit, pieces, on, substitutes))


def sell_stock(
    address: str, words: Sequence[str], on: datetime.date, buyer: str = "", reference: str = "", lot: str = ""
) -> Sold:
    """Sell kits or spares; `words` as in `order_stock`, a kit also by its frame's name or its own number."""

    def book(connection: Connection) -> Sold:
        lines = [SaleLine(name, pieces, lot, price) for name, pieces, price in map(read_line, words)]
        return sell(connection, lines, on, buyer, reference)

    return _write(address, book)


def return_stock(
    address: str,
    what: str,
    reason: str,
    on: datetime.date,
    *,
    pieces: int = 1,
    lot: str = "",
    out_of: str = "",
    keep: bool = False,
    refund: Decimal | None = None,
) -> Returned:
    """Book what a buyer sent back."""
    return _write(
        address,
        lambda c: take_back(
            c, what, reason, on, quantity=pieces, lot_code=lot, out_of=out_of, keep=keep, refund=refund
        ),
    )


def count_stock(address: str, item: str, pieces: int, on: datetime.date, lot: str = "", reason: str = "") -> Counted:
    """Set an item, or one of its lots, to what was counted."""
    return _write(address, lambda c: count(c, item, pieces, on, lot, reason))


def discontinue_item(
    address: str, item: str, on: datetime.date, substitutes: Sequence[str] = (), again: bool = False
) -> Loss | None:
    """Note that an item is no longer to be had, and what may stand for it; return which frames lose what.

    Parameters
    ----------
    address, item : str
        Ledger and item.
    on : date
        Since when.
    substitutes : sequence of str
        Items that may stand for it.
    again : bool
        It is to be had again; returns None.
    """

    def change(connection: Connection) -> Loss | None:
        code = find_item(connection, item).id
        for other in substitutes:
            add_substitute(connection, code, find_item(connection, other).id)
        discontinue(connection, code, None if again else on)
        return next((row for row in losses(connection) if row.item == code), None)

    return _write(address, change)


def import_stock(
    address: str, path: Path, form: str, on: datetime.date, encoding: str = "", decimal_comma: bool = False
) -> int:
    """Book all rows of a CSV file, or none; return how many bookings that made."""
    table = read_form(path, form, encoding, decimal_comma)
    return _write(address, lambda c: import_rows(c, form, table, on))


def rebuild_ledger(address: str) -> list[str]:
    """Look at every row, add up all movements anew, and return what was wrong before."""

    def rebuild(connection: Connection) -> list[str]:
        found = breaches(connection)
        rebuild_checkpoint(connection)
        return found

    return _write(address, rebuild)


def _write(address: str, action: Callable[[Connection], T]) -> T:
    with opened(address) as ledger:
        return ledger.write(action)
