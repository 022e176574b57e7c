"""Bookings of what comes in: orders, receipts, rejects, and corrections by counting."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import Connection, insert, select

from platewright.foundation.errors import LedgerError
from platewright.io.ledger.booking import Move, add_lot, add_moves, check_quantity, find_lot, open_document, price_of
from platewright.io.ledger.checkpoints import balances
from platewright.io.ledger.items import find_item, find_supplier
from platewright.io.ledger.tables import document, lot, order_line
from platewright.shop.lots import take_oldest_first

__all__ = ["Counted", "OrderLine", "Receipt", "ReceiptLine", "close_order", "count", "order", "receive", "reject"]


@dataclass(frozen=True)
class ReceiptLine:
    """Pieces of one item that came in together; without a lot's code the receipt's number is its code."""

    item: str
    quantity: int
    lot: str = ""
    sheet: str = ""
    unit_price: Decimal | None = None
    currency: str | None = None


@dataclass(frozen=True)
class Receipt:
    """A delivery: whose, by which delivery note, for which order."""

    supplier: str
    lines: Sequence[ReceiptLine]
    on: datetime.date
    reference: str = ""
    order: int | None = None
    note: str = ""


@dataclass(frozen=True)
class OrderLine:
    """One line of an order to a supplier."""

    item: str
    quantity: int
    unit_price: Decimal | None = None
    currency: str | None = None
    expected_on: datetime.date | None = None


@dataclass(frozen=True)
class Counted:
    """What a count found: pieces in the books before, and counted."""

    document: int
    item: str
    before: int
    counted: int


def receive(connection: Connection, receipt: Receipt) -> int:
    """Book a delivery and return its number.

    Raises
    ------
    LedgerError
        If its delivery note was booked before, or a supplier, item, order or quantity is wrong.
    """
    party = find_supplier(connection, receipt.supplier)
    if not receipt.lines:
        msg = "a receipt needs one line or more; give an item and its quantity."
        raise LedgerError("ledger.value", msg)
    if receipt.order is not None:
        _check_order(connection, receipt.order, party)
    number = open_document(connection, "receipt", receipt.on, party, receipt.reference, receipt.order, receipt.note)
    moves = []
    for n, line in enumerate(receipt.lines, 1):
        code = find_item(connection, line.item).id
        quantity = check_quantity(line.quantity, f"'{code}'")
        price = price_of(connection, line.unit_price, line.currency)
        lot_code = line.lot.strip() or (f"r{number}" if len(receipt.lines) == 1 else f"r{number}.{n}")
        lot_id = _lot(connection, number, code, lot_code, line.sheet.strip(), party, price)
        moves.append(Move("receipt", code, lot_id, quantity, **price))  # type: ignore[arg-type]
    add_moves(connection, number, receipt.on, moves)
    return number


def reject(
    connection: Connection, item: str, lot_code: str, quantity: int | None, reason: str, on: datetime.date
) -> int:
    """Take faulty pieces of a lot out of stock, all of it when no quantity is given; return the number of the booking.

    Raises
    ------
    LedgerError
        If the lot does not hold as many.
    """
    code = find_item(connection, item).id
    lot_id = find_lot(connection, code, lot_code)
    left = {b.lot_id: b.quantity for b in balances(connection, [code])}.get(lot_id, 0)
    wanted = left if quantity is None else check_quantity(quantity, f"'{code}'")
    if not 0 < wanted <= left:
        msg = f"lot '{lot_code}' of '{code}' holds {left}, {wanted} cannot be rejected; nothing was booked."
        raise LedgerError("ledger.negative", msg)
    if not reason.strip():
        msg = "a reject needs a reason, such as 'delaminated edge'; give one with --reason."
        raise LedgerError("ledger.value", msg)
    number = open_document(connection, "reject", on)
    add_moves(connection, number, on, [Move("reject", code, lot_id, -wanted, reason=reason.strip())])
    return number


def count(
    connection: Connection, item: str, counted: int, on: datetime.date, lot_code: str = "", reason: str = ""
) -> Counted:
    """Set an item, or one of its lots, to what was counted.

    A shortage is taken from the oldest lots, which should be used up first; a surplus goes to the newest.
    """
    if not 0 <= counted <= 1_000_000:
        msg = f"a count must be from 0 to 1000000 (got {counted})."
        raise LedgerError("ledger.value", msg)
    code = find_item(connection, item).id
    lots = balances(connection, [code])
    if lot_code:
        lot_id = find_lot(connection, code, lot_code)
        lots = [b for b in lots if b.lot_id == lot_id]
    before = sum(b.quantity for b in lots)
    number = open_document(connection, "count", on, note=reason)
    moves: list[Move] = []
    if counted < before:
        taken, _ = take_oldest_first([(b.lot_id, b.quantity) for b in lots], before - counted)
        moves = [Move("count", code, lot, -pieces, reason=reason) for lot, pieces in taken]
    elif counted > before:
        target = lot_id if lot_code else _newest(connection, code) or add_lot(connection, number, code, f"c{number}")
        moves = [Move("count", code, target, counted - before, reason=reason)]
    add_moves(connection, number, on, moves)
    return Counted(number, code, before, counted)


def order(
    connection: Connection, supplier: str, lines: Sequence[OrderLine], on: datetime.date, reference: str = ""
) -> int:
    """Note an order to a supplier and return its number; receipts that name it are set off against it."""
    party = find_supplier(connection, supplier)
    if not lines:
        msg = "an order needs one line or more; give an item and its quantity."
        raise LedgerError("ledger.value", msg)
    number = open_document(connection, "order", on, party, reference)
    rows: list[dict[str, object]] = []
    for line in lines:
        code = find_item(connection, line.item).id
        if any(r["item_id"] == code for r in rows):
            msg = f"'{code}' stands in the order twice; add the quantities up."
            raise LedgerError("ledger.duplicate", msg)
        quantity = check_quantity(line.quantity, f"'{code}'")
        price = price_of(connection, line.unit_price, line.currency)
        rows.append(
            {"document_id": number, "item_id": code, "quantity": quantity, "expected_on": line.expected_on, **price}
        )
    connection.execute(insert(order_line), rows)
    return number


def close_order(connection: Connection, number: int, on: datetime.date, note: str = "") -> int:
    """Note that nothing more will come of an order."""
    party = _check_order(connection, number, None)
    return open_document(connection, "order_closed", on, party, str(number), number, note)


def _lot(connection: Connection, number: int, code: str, lot_code: str, sheet: str, party: str, price: object) -> int:
    """Return the lot of that code, which may have come in several deliveries of one supplier, or make it."""
    row = connection.execute(
        select(lot.c.id, lot.c.sheet, lot.c.supplier_id).where(lot.c.item_id == code, lot.c.code == lot_code)
    ).first()
    if row is None:
        values = {"sheet": sheet[:80], "supplier_id": party, **dict(price)}  # type: ignore[call-overload]
        return add_lot(connection, number, code, lot_code, **values)
    if row.supplier_id != party or (sheet and row.sheet != sheet):
        msg = (
            f"lot '{lot_code}' of '{code}' came from supplier '{row.supplier_id}', sheet '{row.sheet}'; "
            "give another lot's code."
        )
        raise LedgerError("ledger.duplicate", msg)
    return int(row.id)


def _newest(connection: Connection, code: str) -> int | None:
    found = connection.execute(select(lot.c.id).where(lot.c.item_id == code).order_by(lot.c.id.desc()).limit(1))
    return found.scalar()


def _check_order(connection: Connection, number: int, party: str | None) -> str:
    row = connection.execute(select(document.c.kind, document.c.party).where(document.c.id == number)).first()
    if row is None or row.kind != "order" or (party is not None and row.party != party):
        of = f" to supplier '{party}'" if party is not None else ""
        msg = f"there is no order {number}{of}; 'stock list --orders' shows those that are open."
        raise LedgerError("ledger.order", msg)
    return str(row.party)
