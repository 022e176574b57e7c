"""What every booking is made of: a document, its movements, the lots it takes from."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import Connection, func, insert, select

from platewright.foundation.errors import LedgerError
from platewright.io.ledger.checkpoints import LotBalance, balances
from platewright.io.ledger.item_tables import item
from platewright.io.ledger.items import check_amount, check_currency, settings
from platewright.io.ledger.tables import document, inspection, lot, movement

__all__ = [
    "Move",
    "add_lot",
    "add_moves",
    "check_quantity",
    "find_lot",
    "lot_states",
    "open_document",
    "price_of",
    "usable",
]


_NAMED = 500  # numbers that a question names one by one; with more, all rows are read and chosen from


@dataclass(frozen=True)
class Move:
    """One movement to be written: into stock when positive, out of it when negative."""

    kind: str
    item: str
    lot: int
    quantity: int
    kit_lot: int | None = None
    stands_for: str | None = None
    unit_price: Decimal | None = None
    currency: str | None = None
    reason: str = ""


def open_document(
    connection: Connection,
    kind: str,
    on: datetime.date,
    party: str = "",
    reference: str | None = None,
    order: int | None = None,
    note: str = "",
) -> int:
    """Write the head of a booking and return its number.

    Parameters
    ----------
    connection : Connection
        That writes.
    kind : str
        receipt, sale, ...
    on : date
        When it happened.
    party, reference : str
        Who sent or bought, and their number of it; the same number of the same party is booked once.
    order : int or None
        The order that a receipt belongs to.
    note : str
        Anything else.

    Raises
    ------
    LedgerError
        If that reference was booked before.
    """
    reference = (reference or "").strip()[:120] or None
    if reference is not None:
        wanted = (document.c.kind == kind, document.c.party == party, document.c.reference == reference)
        before = connection.execute(select(document.c.id, document.c.on_date).where(*wanted)).first()
        if before is not None:
            of = f" of '{party}'" if party else ""
            msg = f"{kind} '{reference}'{of} was booked on {before.on_date} as number {before.id}; nothing was booked."
            raise LedgerError("ledger.duplicate", msg)
    now = datetime.datetime.now(datetime.UTC).isoformat(timespec="milliseconds")
    statement = insert(document).values(
        kind=kind, on_date=on, party=party[:120], reference=reference, order_id=order, note=note[:400], recorded_at=now
    )
    return int(connection.execute(statement.returning(document.c.id)).scalar_one())


def add_moves(connection: Connection, number: int, on: datetime.date, moves: Iterable[Move]) -> None:
    """Write movements of a document."""
    rows = [
        {
            "document_id": number,
            "on_date": on,
            "kind": m.kind,
            "item_id": m.item,
            "lot_id": m.lot,
            "quantity": m.quantity,
            "kit_lot_id": m.kit_lot,
            "stands_for": m.stands_for,
            "unit_price": m.unit_price,
            "currency": m.currency,
            "reason": m.reason[:200],
        }
        for m in moves
    ]
    if rows:
        connection.execute(insert(movement), rows)


def add_lot(connection: Connection, number: int, item_code: str, code: str, **more: object) -> int:
    """Write a lot that came with a document and return its number."""
    values = {"item_id": item_code, "code": code[:80], "sheet": "", "document_id": number, **more}
    return int(connection.execute(insert(lot).values(**values).returning(lot.c.id)).scalar_one())


def find_lot(connection: Connection, item_code: str, code: str) -> int:
    """Return the number of an item's lot.

    Raises
    ------
    LedgerError
        If there is none of that code.
    """
    found = connection.execute(select(lot.c.id).where(lot.c.item_id == item_code, lot.c.code == code)).scalar()
    if found is None:
        msg = f"'{item_code}' has no lot '{code}'; 'stock list {item_code}' shows its lots."
        raise LedgerError("ledger.unknown_lot", msg)
    return int(found)


def lot_states(connection: Connection, lots: Sequence[int]) -> dict[int, str]:
    """Return what the last check said of lots, `accepted` or `refused`; one that was never checked is left out."""
    if not lots:
        return {}
    last = select(func.max(inspection.c.document_id).label("last")).group_by(inspection.c.lot_id)
    if len(lots) <= _NAMED:
        last = last.where(inspection.c.lot_id.in_(lots))
    newest = last.subquery()
    rows = connection.execute(
        select(inspection.c.lot_id, inspection.c.accepted).join(newest, newest.c.last == inspection.c.document_id)
    )
    wanted = set(lots)
    return {int(r.lot_id): "accepted" if r.accepted else "refused" for r in rows if r.lot_id in wanted}


def usable(connection: Connection, items: Iterable[str]) -> tuple[dict[str, list[LotBalance]], dict[str, int]]:
    """Return the lots of items that may be packed or sold, oldest first, and how many pieces may not.

    Refused lots may not, nor lots that wait for their check where the item wants one.
    """
    wanted = sorted(set(items))
    rows = connection.execute(select(item.c.id, item.c.checked).where(item.c.id.in_(wanted)))
    checked = {row.id: row.checked for row in rows}
    free: dict[str, list[LotBalance]] = {code: [] for code in wanted}
    held: dict[str, int] = {}
    found = balances(connection, wanted)
    states = lot_states(connection, [b.lot_id for b in found])
    for balance in found:
        state = states.get(balance.lot_id, "unchecked" if checked[balance.item_id] else "accepted")
        if state == "accepted" or balance.quantity < 0:
            free[balance.item_id].append(balance)
        else:
            held[balance.item_id] = held.get(balance.item_id, 0) + balance.quantity
    return free, held


def check_quantity(quantity: int, what: str) -> int:
    """Return a quantity.

    Raises
    ------
    LedgerError
        If it is not 1 to 1 000 000.
    """
    if not 1 <= quantity <= 1_000_000:
        msg = f"the quantity of {what} must be from 1 to 1000000 (got {quantity})."
        raise LedgerError("ledger.value", msg)
    return quantity


def price_of(connection: Connection, amount: Decimal | None, currency: str | None) -> Mapping[str, object]:
    """Return the columns of a price; one without a currency is in that of the ledger."""
    if amount is None:
        return {"unit_price": None, "currency": None}
    return {
        "unit_price": check_amount(amount),
        "currency": check_currency(currency or settings(connection).currency),
    }
