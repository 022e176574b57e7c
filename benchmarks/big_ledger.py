"""A ledger of any size, written in bulk: years of deliveries, kits packed and sold, as they would be booked.

The rows go past the bookings, which write one kit at a time, and past foreign keys and the disk's confirmation, but
keep everything that `audit` looks at.
"""

from __future__ import annotations

import contextlib
import datetime
import sqlite3
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

from sqlalchemy import Connection, text

from platewright.io.ledger.checkpoints import rebuild_checkpoint
from platewright.io.ledger.item_tables import item, kit, kit_line
from platewright.io.ledger.items import add_item, add_supplier
from platewright.io.ledger.store import open_ledger

__all__ = ["fill_ledger"]

START = datetime.date(2020, 1, 1)
N_LINES = 33  # of a kit's bill, like Heddle's
N_FRAMES = 3
KITS_A_DELIVERY = 200
Row = tuple[object, ...]
_COLUMNS = {
    "document": "id, kind, on_date, party, reference, order_id, note, recorded_at",
    "lot": "id, item_id, code, sheet, supplier_id, document_id, unit_price, currency",
    "movement": "id, document_id, kind, on_date, item_id, lot_id, quantity, kit_lot_id, unit_price, currency, reason",
}


def fill_ledger(address: str, n_movements: int) -> int:
    """Fill an empty ledger with about as many movements; return how many there are."""
    ledger = open_ledger(address)
    ledger.write(_items)
    if ledger.is_postgresql:
        total = ledger.write(lambda c: _copy(c, n_movements))
    else:
        with contextlib.closing(sqlite3.connect(address, isolation_level=None)) as raw:
            raw.execute("PRAGMA synchronous = OFF")
            raw.execute("BEGIN IMMEDIATE")
            total = _write(lambda name, rows: _insert(raw, name, rows), n_movements)
            raw.execute("COMMIT")
    ledger.write(rebuild_checkpoint)
    ledger.write(lambda c: c.execute(text("ANALYZE")))  # which a server does by itself after a while
    ledger.close()
    return total


def _items(connection: Connection) -> None:
    add_supplier(connection, "cutter", "cutter", 14, 3.0)
    for n in range(N_LINES + N_FRAMES):
        add_item(connection, f"item_{n:02d}", "hardware", f"item {n}", START)
    for frame in range(N_FRAMES):
        code = f"frame-{frame}"
        add_item(connection, code, "kit", code, START)
        row = {"item_id": code, "frame": code, "revision": "A", "design_hash": code, "bill_hash": code}
        connection.execute(kit.insert().values(**row, frozen_on=START))
        lines = [
            {"kit_id": code, "item_id": name, "quantity": pieces - 1, "spares": 1, "included": True}
            for name, pieces in _bill(frame)
        ]
        connection.execute(kit_line.insert(), lines)
    assert connection.execute(item.select()).fetchone() is not None


def _bill(frame: int) -> list[tuple[str, int]]:
    """Items and pieces of a kit: all but one are shared by all frames."""
    shared = [(f"item_{n:02d}", 2 + n % 5) for n in range(N_LINES - 1)]
    return [*shared, (f"item_{N_LINES + frame:02d}", 4)]


def _copy(connection: Connection, n_movements: int) -> int:
    connection.execute(text("SET LOCAL session_replication_role = replica"))
    cursor = connection.connection.cursor()
    total = _write(lambda name, rows: _copy_rows(cursor, name, rows), n_movements)
    for name in _COLUMNS:
        last = f"(SELECT MAX(id) FROM {name})"
        connection.execute(text(f"SELECT setval(pg_get_serial_sequence('{name}', 'id'), {last})"))
    return total


def _copy_rows(cursor: Any, name: str, rows: list[Row]) -> None:
    with cursor.copy(f"COPY {name} ({_COLUMNS[name]}) FROM STDIN") as copy:
        for row in rows:
            copy.write_row(row)


def _insert(raw: sqlite3.Connection, name: str, rows: list[Row]) -> None:
    marks = ", ".join("?" * (_COLUMNS[name].count(",") + 1))
    raw.executemany(f"INSERT INTO {name} ({_COLUMNS[name]}) VALUES ({marks})", rows)


def _write(put: Callable[[str, list[Row]], None], n_movements: int) -> int:
    tables: dict[str, list[Row]] = {name: [] for name in _COLUMNS}
    total = 0
    for name, row in _years(n_movements):
        tables[name].append(row)
        total += name == "movement"
        if len(tables["movement"]) >= 50_000:
            for table, rows in tables.items():
                put(table, rows)
                rows.clear()
    for table, rows in tables.items():
        put(table, rows)
    return total


def _years(n_movements: int) -> Iterator[tuple[str, Row]]:
    """Yield rows in the order in which they would be booked; the last 40 kits are still in stock."""
    document = lot = movement = 0
    lots: dict[str, int] = {}
    waiting: list[tuple[int, str]] = []
    n_kits = 0
    while movement < n_movements:
        day = (START + datetime.timedelta(days=n_kits // 12)).isoformat()
        if n_kits % KITS_A_DELIVERY == 0:
            document += 1
            yield "document", (document, "receipt", day, "cutter", f"note {document}", None, "", day)
            frames = [n % N_FRAMES for n in range(n_kits, n_kits + KITS_A_DELIVERY)]
            needed = Counter(name for frame in frames for name, pieces in _bill(frame) for _ in range(pieces))
            for name, pieces in needed.items():
                lot += 1
                movement += 1
                lots[name] = lot
                code = f"{name}.{document}"
                yield "lot", (lot, name, code, f"s{document}", "cutter", document, "0.50", "EUR")
                yield "movement", (movement, document, "receipt", day, name, lot, pieces, None, "0.50", "EUR", "")
        frame = n_kits % N_FRAMES
        code = f"frame-{frame}"
        document += 1
        lot += 1
        movement += 1
        yield "document", (document, "pack", day, "", None, None, "", day)
        yield "lot", (lot, code, f"{code}-{n_kits:06d}", "", None, document, None, None)
        yield "movement", (movement, document, "kit", day, code, lot, 1, lot, None, None, "")
        for name, pieces in _bill(frame):
            movement += 1
            yield "movement", (movement, document, "pack", day, name, lots[name], -pieces, lot, None, None, "")
        waiting.append((lot, code))
        if len(waiting) > 40:
            sold, sold_code = waiting.pop(0)
            document += 1
            movement += 1
            yield "document", (document, "sale", day, "buyer", f"sale {document}", None, "", day)
            yield "movement", (movement, document, "sale", day, sold_code, sold, -1, None, "129.00", "EUR", "")
        n_kits += 1
