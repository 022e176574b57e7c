"""What must hold in a ledger whatever happened to the computer: looked at row by row, each breach as a sentence."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, text

from platewright.io.ledger.items import settings
from platewright.io.ledger.tables import UNCHANGING

__all__ = ["breaches"]

_EMPTY = (
    "SELECT id, kind FROM document AS d WHERE kind IN ('receipt', 'reject', 'pack', 'sale', 'return') "
    "AND NOT EXISTS (SELECT 1 FROM movement AS m WHERE m.document_id = d.id)"
)
_NEGATIVE = "SELECT item_id, lot_id, SUM(quantity) FROM movement GROUP BY item_id, lot_id HAVING SUM(quantity) < 0"
# A kit's lot must have taken its bill, no more and no less, in the booking that made it; a substitute counts as what it
# stands for.
_PACKED = """
SELECT k.lot_id, COALESCE(want.item_id, took.item_id)
FROM (SELECT lot_id, item_id, document_id FROM movement WHERE kind = 'kit') AS k
JOIN kit_line AS want ON want.kit_id = k.item_id AND want.included
LEFT JOIN (
  SELECT kit_lot_id, document_id, COALESCE(stands_for, item_id) AS item_id, SUM(-quantity) AS pieces
  FROM movement WHERE kind = 'pack' GROUP BY kit_lot_id, document_id, COALESCE(stands_for, item_id)
) AS took ON took.kit_lot_id = k.lot_id AND took.document_id = k.document_id AND took.item_id = want.item_id
WHERE took.pieces IS NULL OR took.pieces <> want.quantity + want.spares
"""
_EXTRA = """
SELECT m.kit_lot_id, m.item_id FROM movement AS m JOIN lot AS l ON l.id = m.kit_lot_id
WHERE m.kind = 'pack' AND NOT EXISTS (
  SELECT 1 FROM kit_line AS w
  WHERE w.kit_id = l.item_id AND w.included AND w.item_id = COALESCE(m.stands_for, m.item_id))
"""
_SERIALS = "SELECT lot_id FROM movement WHERE kind = 'kit' GROUP BY lot_id HAVING SUM(quantity) <> 1 OR COUNT(*) <> 1"
_SUMS = """
SELECT lot_id, SUM(moved), SUM(kept) FROM (
  SELECT lot_id, quantity AS moved, 0 AS kept FROM movement WHERE id <= (SELECT up_to FROM checkpoint_head)
  UNION ALL SELECT lot_id, 0 AS moved, quantity AS kept FROM checkpoint
) AS sums GROUP BY lot_id HAVING SUM(moved) <> SUM(kept)
"""


def breaches(connection: Connection) -> list[str]:
    """Return everything that is not as it must be; nothing for a sound ledger.

    Parameters
    ----------
    connection : Connection
        To the ledger.
    """
    return list(_breaches(connection))


def _breaches(connection: Connection) -> Iterator[str]:
    if connection.dialect.name == "sqlite":
        yield from (
            f"the file is damaged: {row[0]}"
            for row in connection.execute(text("PRAGMA integrity_check"))
            if row[0] != "ok"
        )
        for row in connection.execute(text("PRAGMA foreign_key_check")):
            yield f"row {row[1]} of {row[0]} names a row of {row[2]} that does not exist"
    yield from _missing_guards(connection)
    for number, kind in connection.execute(text(_EMPTY)):
        yield f"{kind} {number} has no movements"
    if not settings(connection).allow_negative:
        for item, lot, pieces in connection.execute(text(_NEGATIVE)):
            yield f"lot {lot} of '{item}' holds {pieces}"
    for lot, item in connection.execute(text(_PACKED)):
        yield f"the kit of lot {lot} did not take the pieces of '{item}' that its bill says"
    for lot, item in connection.execute(text(_EXTRA)):
        yield f"the kit of lot {lot} took '{item}', which is not in its bill"
    for (lot,) in connection.execute(text(_SERIALS)):
        yield f"the kit of lot {lot} was not packed exactly once"
    for lot, pieces, kept in connection.execute(text(_SUMS)):
        yield f"the checkpoint holds {kept} of lot {lot}, its movements add up to {pieces}"


def _missing_guards(connection: Connection) -> Iterator[str]:
    if connection.dialect.name == "sqlite":
        rows = connection.execute(text("SELECT tbl_name, name FROM sqlite_master WHERE type = 'trigger'"))
        wanted = {(t, f"{t}_no_{verb}") for t in UNCHANGING for verb in ("update", "delete")}
    else:
        rows = connection.execute(
            text(
                "SELECT c.relname, t.tgname FROM pg_trigger AS t JOIN pg_class AS c ON c.oid = t.tgrelid "
                "WHERE NOT t.tgisinternal AND t.tgenabled <> 'D' AND c.relnamespace = current_schema()::regnamespace"
            )
        )
        wanted = {(t, f"{t}_no_{verb}") for t in UNCHANGING for verb in ("change", "truncate")}
    for table, name in sorted(wanted - {(row[0], row[1]) for row in rows}):
        yield f"the trigger {name} that guards {table} is gone"
