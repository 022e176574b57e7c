"""What a ledger holds of a design's revisions: kits and parts by the hash of the design they were made of."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from sqlalchemy import Connection, select

from platewright.io.ledger.checkpoints import balances
from platewright.io.ledger.item_tables import item, item_use, kit, kit_line

__all__ = ["RevisionStock", "revision_stock"]


@dataclass(frozen=True)
class RevisionStock:
    """A part of a revision: its item and pieces in stock; a kit has no part."""

    design_hash: str
    kit: str
    part: str
    item: str
    on_hand: int


def revision_stock(connection: Connection, hashes: Collection[str]) -> list[RevisionStock]:
    """Return the kits of some designs, each followed by its cut parts.

    Parameters
    ----------
    connection : Connection
        That reads.
    hashes : collection of str
        Of the designs, as `study.stock_items.design_hash` gives them.
    """
    on_hand: dict[str, int] = {}
    for balance in balances(connection):
        on_hand[balance.item_id] = on_hand.get(balance.item_id, 0) + balance.quantity
    kits = connection.execute(
        select(kit.c.item_id, kit.c.frame, kit.c.design_hash)
        .where(kit.c.design_hash.in_(list(hashes)))
        .order_by(kit.c.frozen_on, kit.c.item_id)
    ).all()
    found = []
    for row in kits:
        found.append(RevisionStock(row.design_hash, row.item_id, "", row.item_id, on_hand.get(row.item_id, 0)))
        parts = connection.execute(
            select(item_use.c.part, item_use.c.item_id)
            .distinct()
            .join(kit_line, kit_line.c.item_id == item_use.c.item_id)
            .join(item, item.c.id == item_use.c.item_id)
            .where(kit_line.c.kit_id == row.item_id, item_use.c.frame == row.frame, item.c.kind == "part")
            .order_by(item_use.c.part)
        )
        found += [
            RevisionStock(row.design_hash, row.item_id, p.part, p.item_id, on_hand.get(p.item_id, 0)) for p in parts
        ]
    return found
