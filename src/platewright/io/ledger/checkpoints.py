"""Stock by lot: the sums kept at the last checkpoint and the movements since. Quantities are whole pieces."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import Connection, bindparam, text

__all__ = ["CHECKPOINT_EVERY", "LotBalance", "balances", "rebuild_checkpoint", "refresh_checkpoint"]

CHECKPOINT_EVERY = 2000
"""Movements after which a booking moves the checkpoint on: what reading the stock has to add up at most."""

# Both ends of the range are given: a planner without statistics then takes the index, as for one end it would not.
_TAIL = "id > :up_to AND id <= :newest"
_RANGE = "SELECT (SELECT up_to FROM checkpoint_head), (SELECT COALESCE(MAX(id), 0) FROM movement)"
_BALANCES = (
    "SELECT lot_id, item_id, SUM(quantity) AS quantity FROM ("
    "SELECT lot_id, item_id, quantity FROM checkpoint{where} "
    f"UNION ALL SELECT lot_id, item_id, quantity FROM movement WHERE {_TAIL}{{and_where}}"
    ") AS moved GROUP BY lot_id, item_id HAVING SUM(quantity) <> 0 ORDER BY lot_id"
)
_ADVANCE = (
    "INSERT INTO checkpoint (lot_id, item_id, quantity) "
    f"SELECT lot_id, item_id, SUM(quantity) FROM movement WHERE {_TAIL} GROUP BY lot_id, item_id "
    "ON CONFLICT (lot_id) DO UPDATE SET quantity = checkpoint.quantity + excluded.quantity"
)


@dataclass(frozen=True)
class LotBalance:
    """What is left of a lot."""

    lot_id: int
    item_id: str
    quantity: int


def balances(connection: Connection, items: Iterable[str] | None = None) -> list[LotBalance]:
    """Return what is left of every lot that is not used up, oldest lot first.

    Parameters
    ----------
    connection : Connection
        To the ledger.
    items : iterable of str or None
        Only these items; all when None.
    """
    ends = _range(connection)
    if items is None:
        rows = connection.execute(text(_BALANCES.format(where="", and_where="")), ends)
    else:
        statement = text(_BALANCES.format(where=" WHERE item_id IN :items", and_where=" AND item_id IN :items"))
        named = statement.bindparams(bindparam("items", expanding=True))
        rows = connection.execute(named, {**ends, "items": sorted(set(items))})
    return [LotBalance(int(lot), item, int(quantity)) for lot, item, quantity in rows]


def refresh_checkpoint(connection: Connection) -> None:
    """Move the checkpoint on if many movements have come since; part of the booking that calls it."""
    ends = _range(connection)
    if ends["newest"] - ends["up_to"] >= CHECKPOINT_EVERY:
        _advance(connection)


def rebuild_checkpoint(connection: Connection) -> None:
    """Forget the checkpoint and add up all movements anew."""
    connection.execute(text("DELETE FROM checkpoint"))
    connection.execute(text("UPDATE checkpoint_head SET up_to = 0"))
    _advance(connection)


def _advance(connection: Connection) -> None:
    if connection.dialect.name == "postgresql":  # no row numbered below the newest may still be on its way
        connection.execute(text("LOCK TABLE movement IN SHARE ROW EXCLUSIVE MODE"))
    ends = _range(connection)
    connection.execute(text(_ADVANCE), ends)
    connection.execute(text("DELETE FROM checkpoint WHERE quantity = 0"))
    connection.execute(text("UPDATE checkpoint_head SET up_to = :newest"), {"newest": ends["newest"]})


def _range(connection: Connection) -> dict[str, int]:
    """Return the last movement in the checkpoint and the last there is."""
    up_to, newest = connection.execute(text(_RANGE)).one()
    return {"up_to": int(up_to), "newest": int(newest)}
