"""Bookings of what comes back from buyers: a kit, a spare, or a part out of a kit, with its lot and a reason."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import Connection, func, select

from platewright.foundation.errors import LedgerError
from platewright.io.ledger.booking import Move, add_moves, check_quantity, open_document, price_of
from platewright.io.ledger.items import find_item
from platewright.io.ledger.tables import document, lot, movement

__all__ = ["Returned", "take_back"]

_SALES = ("sale", "spare", "return")


@dataclass(frozen=True)
class Returned:
    """What came back: the booking, the item and its lot."""

    document: int
    item: str
    lot: str


def take_back(
    connection: Connection,
    what: str,
    reason: str,
    on: datetime.date,
    *,
    quantity: int = 1,
    lot_code: str = "",
    out_of: str = "",
    keep: bool = False,
    refund: Decimal | None = None,
    currency: str | None = None,
    reference: str = "",
) -> Returned:
    """Book a return.

    Parameters
    ----------
    connection : Connection
        That writes.
    what : str
        The number of a kit that was sold, or an item.
    reason : str
        Why it came back.
    on : date
        When.
    quantity : int
        Pieces.
    lot_code : str
        Lot of a spare; may be left out where only one lot of it was sold.
    out_of : str
        The number of the kit that a part came out of.
    keep : bool
        It goes into stock again; otherwise it is rejected in the same booking.
    refund : Decimal or None
        Paid back for each piece.
    currency : str or None
        Of the refund.
    reference : str
        The number of the return; booked once.

    Raises
    ------
    LedgerError
        If as many were never sold, or there is no reason.
    """
    if not reason.strip():
        msg = "a return needs a reason, such as 'arm broken at the root'; give one with --reason."
        raise LedgerError("ledger.value", msg)
    check_quantity(quantity, f"'{what}'")
    kit_lot = None
    if out_of:
        code, lot_id, name, kit_lot = _part_of_kit(connection, what, out_of, lot_code, quantity)
    else:
        code, lot_id, name = _sold_lot(connection, what, lot_code, quantity)
    number = open_document(connection, "return", on, reference=reference)
    price = price_of(connection, refund, currency)
    moves = [Move("return", code, lot_id, quantity, kit_lot=kit_lot, reason=reason.strip(), **price)]  # type: ignore[arg-type]
    if not keep:
        moves.append(Move("reject", code, lot_id, -quantity, kit_lot=kit_lot, reason=reason.strip()))
    add_moves(connection, number, on, moves)
    return Returned(number, code, name)


def _sold_lot(connection: Connection, what: str, lot_code: str, quantity: int) -> tuple[str, int, str]:
    """Return item, lot and its code of something sold and not yet returned."""
    by_number = connection.execute(
        select(lot.c.id, lot.c.item_id, lot.c.code)
        .join(movement, movement.c.lot_id == lot.c.id)
        .where(lot.c.code == what, movement.c.kind == "kit")
    ).first()
    if by_number is not None:
        out = _out(connection, int(by_number.id))
        if out < quantity:
            msg = f"kit '{what}' is not sold, or has come back already; nothing was booked."
            raise LedgerError("ledger.not_sold", msg)
        return by_number.item_id, int(by_number.id), by_number.code
    code = find_item(connection, what).id
    rows = connection.execute(
        select(lot.c.id, lot.c.code)
        .join(movement, movement.c.lot_id == lot.c.id)
        .where(lot.c.item_id == code, movement.c.kind.in_(_SALES), movement.c.kit_lot_id.is_(None))
        .group_by(lot.c.id, lot.c.code)
        .having(func.sum(movement.c.quantity) <= -quantity)
        .order_by(lot.c.id)
    ).all()
    if lot_code:
        rows = [r for r in rows if r.code == lot_code]
    if len(rows) > 1:
        msg = f"'{code}' was sold from lots {', '.join(r.code for r in rows[:8])}; name the lot or the kit's number."
        raise LedgerError("ledger.ambiguous", msg)
    if not rows:
        msg = (
            f"{quantity} of '{code}'{f' of lot {lot_code!r}' if lot_code else ''} were never sold; nothing was booked."
        )
        raise LedgerError("ledger.not_sold", msg)
    return code, int(rows[0].id), rows[0].code


def _part_of_kit(
    connection: Connection, what: str, out_of: str, lot_code: str, quantity: int
) -> tuple[str, int, str, int]:
    """Return item, lot, its code and the kit's lot, of a part that a sold kit holds."""
    kit_row = connection.execute(
        select(lot.c.id)
        .join(movement, movement.c.lot_id == lot.c.id)
        .where(lot.c.code == out_of, movement.c.kind == "kit")
    ).first()
    if kit_row is None or _out(connection, int(kit_row.id)) < 1:
        msg = f"no kit '{out_of}' is sold; 'stock where LOT' shows the numbers of kits."
        raise LedgerError("ledger.not_sold", msg)
    kit_lot = int(kit_row.id)
    code = find_item(connection, what).id
    rows = connection.execute(
        select(lot.c.id, lot.c.code, func.sum(movement.c.quantity).label("held"))
        .join(movement, movement.c.lot_id == lot.c.id)
        .where(movement.c.kit_lot_id == kit_lot, movement.c.item_id == code, movement.c.kind.in_(("pack", "return")))
        .group_by(lot.c.id, lot.c.code)
        .having(func.sum(movement.c.quantity) <= -quantity)
        .order_by(lot.c.id)
    ).all()
    if lot_code:
        rows = [r for r in rows if r.code == lot_code]
    if not rows:
        msg = f"kit '{out_of}' holds no {quantity} of '{code}' that have not come back; nothing was booked."
        raise LedgerError("ledger.not_sold", msg)
    if len(rows) > 1:
        msg = f"kit '{out_of}' holds '{code}' of lots {', '.join(r.code for r in rows)}; name the lot."
        raise LedgerError("ledger.ambiguous", msg)
    return code, int(rows[0].id), rows[0].code, kit_lot


def _out(connection: Connection, lot_id: int) -> int:
    """Return how many of a lot are with buyers; only what was sold as it is, not in a kit."""
    total = connection.execute(
        select(func.sum(movement.c.quantity))
        .join(document, document.c.id == movement.c.document_id)
        .where(movement.c.lot_id == lot_id, movement.c.kind.in_(_SALES))
    ).scalar()
    return -int(total or 0)
