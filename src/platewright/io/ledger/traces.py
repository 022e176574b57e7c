"""Questions along lots and items: which kits hold pieces of a lot, and which frames lose what when an item ends."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from sqlalchemy import Connection, func, or_, select

from platewright.foundation.errors import LedgerError, nearest_names
from platewright.io.ledger.checkpoints import balances
from platewright.io.ledger.item_tables import item, item_use, kit, kit_line, substitute
from platewright.io.ledger.tables import document, lot, movement

__all__ = ["Holder", "Loss", "LotReturns", "Stand", "Trace", "losses", "returns_by_lot", "revisions_of", "trace"]


@dataclass(frozen=True)
class Holder:
    """One kit that holds pieces of the lot; `state` is in stock, sold or returned."""

    kit: str
    number: str
    item: str
    pieces: int
    state: str
    buyer: str
    reference: str
    on: datetime.date | None


@dataclass(frozen=True)
class LotReturns:
    """Of one lot of an item: pieces with buyers, loose or in kits, and pieces that came back."""

    item: str
    lot: str
    sheet: str
    sold: int
    returned: int


@dataclass(frozen=True)
class Trace:
    """Where the pieces of a lot, or of all lots of a sheet, are."""

    lots: tuple[LotReturns, ...]
    left: int
    rejected: int
    spares_sold: int
    holders: tuple[Holder, ...]
    others: tuple[LotReturns, ...]


@dataclass(frozen=True)
class Stand:
    """An item that may stand for another, with its stock."""

    item: str
    on_hand: int
    note: str


@dataclass(frozen=True)
class Loss:
    """An item that is no longer to be had: what is left, what may stand for it, and which frames need it."""

    item: str
    name: str
    since: datetime.date
    on_hand: int
    substitutes: tuple[Stand, ...]
    frames: tuple[tuple[str, str, int, bool], ...]  # frame, kit, pieces in a kit, in the kit or the buyer's own


def trace(connection: Connection, code: str) -> Trace:
    """Return where the pieces of a lot are, by the lot's or the sheet's code.

    Raises
    ------
    LedgerError
        If there is none.
    """
    rows = connection.execute(
        select(lot.c.id, lot.c.item_id).where(or_(lot.c.code == code, lot.c.sheet == code)).order_by(lot.c.id)
    ).all()
    if not rows:
        known = connection.execute(select(lot.c.code).distinct().limit(5000)).scalars().all()
        near = nearest_names(code, known)
        hint = f"did you mean {' or '.join(map(repr, near))}?" if near else "'stock list ITEM' shows an item's lots."
        msg = f"there is no lot or sheet '{code}'; {hint}"
        raise LedgerError("ledger.unknown_lot", msg)
    ids = [int(r.id) for r in rows]
    items = sorted({r.item_id for r in rows})
    rows_by_kind = connection.execute(
        select(movement.c.kind, func.sum(movement.c.quantity))
        .where(movement.c.lot_id.in_(ids))
        .group_by(movement.c.kind)
    )
    sums = {kind: int(pieces) for kind, pieces in rows_by_kind}
    everything = returns_by_lot(connection, items)
    mine = {(r.item, r.lot) for r in everything if code in (r.lot, r.sheet)}
    return Trace(
        tuple(r for r in everything if (r.item, r.lot) in mine),
        sum(b.quantity for b in balances(connection, items) if b.lot_id in set(ids)),
        -sums.get("reject", 0),
        -sums.get("spare", 0),
        tuple(_holders(connection, ids)),
        tuple(r for r in everything if (r.item, r.lot) not in mine),
    )


def returns_by_lot(connection: Connection, items: list[str]) -> list[LotReturns]:
    """Return for each lot of some items how many pieces are or were with buyers, and how many came back.

    A piece counts as sold when it was sold loose or when the kit that holds it was sold; as returned when it came back,
    loose or out of a kit. Pieces in a kit that came back whole count as neither returned nor faulty.
    """
    out = movement.alias("out")
    is_sold = select(out.c.id).where(out.c.lot_id == movement.c.kit_lot_id, out.c.kind == "sale").exists()
    packed = _sums(connection, items, "pack", is_sold)
    loose = _sums(connection, items, "spare")
    back = _sums(connection, items, "return")
    rows = connection.execute(
        select(lot.c.id, lot.c.item_id, lot.c.code, lot.c.sheet).where(lot.c.item_id.in_(items)).order_by(lot.c.id)
    )
    return [
        LotReturns(r.item_id, r.code, r.sheet, -packed.get(r.id, 0) - loose.get(r.id, 0), back.get(r.id, 0))
        for r in rows
    ]


def losses(connection: Connection) -> list[Loss]:
    """Return every discontinued item with what is left of it, what may stand for it and which frames need it.

    A frame stands here with its newest kit only, and only if that kit's bill holds the item.
    """
    gone = connection.execute(
        select(item.c.id, item.c.name, item.c.discontinued_on)
        .where(item.c.discontinued_on.is_not(None))
        .order_by(item.c.discontinued_on, item.c.id)
    ).all()
    if not gone:
        return []
    on_hand: dict[str, int] = {}
    for balance in balances(connection):
        on_hand[balance.item_id] = on_hand.get(balance.item_id, 0) + balance.quantity
    newest = {
        row.frame: row.item_id for row in connection.execute(select(kit).order_by(kit.c.frozen_on, kit.c.item_id))
    }
    found = []
    for row in gone:
        stands = connection.execute(
            select(substitute.c.substitute_id, substitute.c.note)
            .where(substitute.c.item_id == row.id)
            .order_by(substitute.c.substitute_id)
        )
        lines = connection.execute(
            select(kit.c.frame, kit.c.item_id, kit_line.c.quantity + kit_line.c.spares, kit_line.c.included)
            .join(kit, kit.c.item_id == kit_line.c.kit_id)
            .where(kit_line.c.item_id == row.id, kit.c.item_id.in_(newest.values()))
            .order_by(kit.c.frame)
        )
        found.append(
            Loss(
                row.id,
                row.name,
                row.discontinued_on,
                on_hand.get(row.id, 0),
                tuple(Stand(s.substitute_id, on_hand.get(s.substitute_id, 0), s.note) for s in stands),
                tuple((r[0], r[1], int(r[2]), bool(r[3])) for r in lines),
            )
        )
    return found


def revisions_of(connection: Connection, code: str) -> list[tuple[str, str, int, datetime.date]]:
    """Return which part of which frame an item is, by revision: frame, part, revision, first entered."""
    rows = connection.execute(
        select(item_use.c.frame, item_use.c.part, item_use.c.revision, item_use.c.first_on)
        .where(item_use.c.item_id == code)
        .order_by(item_use.c.frame, item_use.c.part, item_use.c.revision)
    )
    return [(r.frame, r.part, r.revision, r.first_on) for r in rows]


def _sums(connection: Connection, items: list[str], kind: str, *more: object) -> dict[int, int]:
    own = select(lot.c.id).where(lot.c.item_id.in_(items))
    rows = connection.execute(
        select(movement.c.lot_id, func.sum(movement.c.quantity))
        .where(movement.c.lot_id.in_(own), movement.c.kind == kind, *more)  # type: ignore[arg-type]
        .group_by(movement.c.lot_id)
    )
    return {int(lot_id): int(pieces) for lot_id, pieces in rows}


def _holders(connection: Connection, lots: list[int]) -> list[Holder]:
    """Return the kits that hold pieces of some lots, with what became of each kit last."""
    held = (
        select(movement.c.kit_lot_id, movement.c.item_id, -func.sum(movement.c.quantity))
        .where(movement.c.lot_id.in_(lots), movement.c.kind.in_(("pack", "return")), movement.c.kit_lot_id.is_not(None))
        .group_by(movement.c.kit_lot_id, movement.c.item_id)
    )
    pieces = [(int(kit_lot), code, int(n)) for kit_lot, code, n in connection.execute(held) if n > 0]
    kits = select(movement.c.kit_lot_id).where(movement.c.lot_id.in_(lots), movement.c.kit_lot_id.is_not(None))
    last = (
        select(func.max(movement.c.id).label("last"))
        .where(movement.c.lot_id.in_(kits), movement.c.kind.in_(("kit", "sale", "return")))
        .group_by(movement.c.lot_id)
        .subquery()
    )
    rows = connection.execute(
        select(
            movement.c.lot_id, movement.c.kind, movement.c.on_date, document.c.party, document.c.reference,
            lot.c.code, lot.c.item_id,
        )
        .join(last, last.c.last == movement.c.id)
        .join(document, document.c.id == movement.c.document_id)
        .join(lot, lot.c.id == movement.c.lot_id)
    )  # fmt: skip
    states = {"kit": "in stock", "sale": "sold", "return": "returned"}
    about = {int(r.lot_id): r for r in rows}
    found = []
    for kit_lot, code, n in pieces:
        row = about[kit_lot]
        sold = row.kind == "sale"
        found.append(
            Holder(
                row.item_id, row.code, code, n, states[row.kind], row.party if sold else "",
                (row.reference or "") if sold else "", None if row.kind == "kit" else row.on_date,
            )
        )  # fmt: skip
    return sorted(found, key=lambda h: (h.state, h.number, h.item))
