"""Questions to a ledger about stock, lots, orders, sales and delivery times; quantities are whole pieces."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import Connection, bindparam, func, select

from platewright.io.ledger.booking import lot_states
from platewright.io.ledger.checkpoints import balances
from platewright.io.ledger.item_tables import item
from platewright.io.ledger.tables import document, lot, movement, order_line

__all__ = [
    "Delivery",
    "LotRow",
    "MovedOn",
    "OpenOrder",
    "StockRow",
    "deliveries",
    "lots_of",
    "moved_by_day",
    "open_orders",
    "stock",
]


_NAMED = 5000  # numbers that one question names at most


@dataclass(frozen=True)
class StockRow:
    """One item: pieces in stock, of them held back by checks, and pieces on order."""

    item: str
    kind: str
    name: str
    on_hand: int
    held: int
    on_order: int
    discontinued_on: datetime.date | None


@dataclass(frozen=True)
class LotRow:
    """One lot of an item that is not used up; `state` is accepted, refused, unchecked or free (no check wanted)."""

    item: str
    lot: str
    sheet: str
    supplier: str
    received_on: datetime.date
    left: int
    state: str


@dataclass(frozen=True)
class OpenOrder:
    """What is still to come of one line of an order."""

    order: int
    supplier: str
    reference: str
    ordered_on: datetime.date
    expected_on: datetime.date | None
    item: str
    ordered: int
    received: int
    unit_price: Decimal | None
    currency: str | None

    @property
    def to_come(self) -> int:
        """Pieces not yet received."""
        return max(self.ordered - self.received, 0)


@dataclass(frozen=True)
class MovedOn:
    """Pieces of an item that left (positive) on one day, by one kind of movement."""

    on: datetime.date
    item: str
    kind: str
    pieces: int


@dataclass(frozen=True)
class Delivery:
    """Days from an order to each delivery for it."""

    supplier: str
    order: int
    days: int


def stock(connection: Connection) -> list[StockRow]:
    """Return every item with its stock, those without any too."""
    on_hand: dict[str, int] = {}
    found = balances(connection)
    items = connection.execute(
        select(item.c.id, item.c.kind, item.c.name, item.c.checked, item.c.discontinued_on).order_by(
            item.c.kind, item.c.id
        )
    ).all()
    checked = {row.id for row in items if row.checked}
    states = lot_states(connection, [b.lot_id for b in found if b.item_id in checked])
    held: dict[str, int] = {}
    for balance in found:
        on_hand[balance.item_id] = on_hand.get(balance.item_id, 0) + balance.quantity
        if balance.item_id in checked and states.get(balance.lot_id) != "accepted":
            held[balance.item_id] = held.get(balance.item_id, 0) + balance.quantity
    coming: dict[str, int] = {}
    for order in open_orders(connection):
        coming[order.item] = coming.get(order.item, 0) + order.to_come
    return [
        StockRow(
            row.id, row.kind, row.name, on_hand.get(row.id, 0), held.get(row.id, 0), coming.get(row.id, 0),
            row.discontinued_on,
        )
        for row in items
    ]  # fmt: skip


def lots_of(connection: Connection, items: Iterable[str] | None = None) -> list[LotRow]:
    """Return the lots that are not used up, of some items or of all, oldest first."""
    found = {b.lot_id: b.quantity for b in balances(connection, items)}
    states = lot_states(connection, list(found))
    live = list(found)
    parts = [live[start : start + _NAMED] for start in range(0, len(live), _NAMED)]
    statement = (
        select(lot.c.id, lot.c.item_id, lot.c.code, lot.c.sheet, lot.c.supplier_id, document.c.on_date, item.c.checked)
        .join(document, document.c.id == lot.c.document_id)
        .join(item, item.c.id == lot.c.item_id)
        .where(lot.c.id.in_(bindparam("live", expanding=True)))
    )
    rows = [row for part in parts for row in connection.execute(statement, {"live": part})]
    return [
        LotRow(
            row.item_id, row.code, row.sheet, row.supplier_id or "", row.on_date, found[row.id],
            states.get(row.id, "unchecked" if row.checked else "free"),
        )
        for row in sorted(rows, key=lambda r: (r.item_id, r.id))
    ]  # fmt: skip


def open_orders(connection: Connection) -> list[OpenOrder]:
    """Return the lines of orders of which pieces are still to come, oldest first."""
    receipt, closing = document.alias("receipt"), document.alias("closing")
    received = (
        select(receipt.c.order_id, movement.c.item_id, func.sum(movement.c.quantity).label("pieces"))
        .join(movement, movement.c.document_id == receipt.c.id)
        .where(receipt.c.kind == "receipt", receipt.c.order_id.is_not(None))
        .group_by(receipt.c.order_id, movement.c.item_id)
        .subquery()
    )
    closed = select(closing.c.order_id).where(closing.c.kind == "order_closed")
    rows = connection.execute(
        select(
            document.c.id, document.c.party, document.c.reference, document.c.on_date, order_line.c.expected_on,
            order_line.c.item_id, order_line.c.quantity, func.coalesce(received.c.pieces, 0),
            order_line.c.unit_price, order_line.c.currency,
        )
        .join(order_line, order_line.c.document_id == document.c.id)
        .outerjoin(
            received, (received.c.order_id == document.c.id) & (received.c.item_id == order_line.c.item_id)
        )
        .where(document.c.id.not_in(closed), order_line.c.quantity > func.coalesce(received.c.pieces, 0))
        .order_by(document.c.id, order_line.c.item_id)
    )  # fmt: skip
    return [OpenOrder(r[0], r[1], r[2] or "", r[3], r[4], r[5], r[6], int(r[7]), r[8], r[9]) for r in rows]


def moved_by_day(
    connection: Connection, kinds: Iterable[str], since: datetime.date, items: Iterable[str] | None = None
) -> list[MovedOn]:
    """Return what left the stock day by day, for demand: sales (`sale`), spares (`spare`), parts packed (`pack`).

    Parameters
    ----------
    connection : Connection
        To the ledger.
    kinds : iterable of str
        Kinds of movements; `return` counts back.
    since : date
        First day.
    items : iterable of str or None
        Only these; all when None.
    """
    statement = (
        select(movement.c.on_date, movement.c.item_id, movement.c.kind, -func.sum(movement.c.quantity))
        .where(movement.c.kind.in_(list(kinds)), movement.c.on_date >= since)
        .group_by(movement.c.on_date, movement.c.item_id, movement.c.kind)
        .order_by(movement.c.on_date, movement.c.item_id, movement.c.kind)
    )
    if items is not None:
        statement = statement.where(movement.c.item_id.in_(list(items)))
    return [MovedOn(r[0], r[1], r[2], int(r[3])) for r in connection.execute(statement)]


def deliveries(connection: Connection) -> list[Delivery]:
    """Return how long each delivery for an order took, for lead times and their spread."""
    order = document.alias("placed")
    rows = connection.execute(
        select(order.c.party, order.c.id, order.c.on_date, document.c.on_date)
        .join(document, document.c.order_id == order.c.id)
        .where(document.c.kind == "receipt")
        .order_by(document.c.id)
    )
    return [Delivery(party, number, (came - placed).days) for party, number, placed, came in rows]
