"""A ledger to read from and to book in: made, opened, and each booking whole or not at all.

Bookings come one after the other: SQLite gives the next writer its turn with BEGIN IMMEDIATE, PostgreSQL with a lock on
the one row of `ledger`. So the numbers of movements follow the order in which they count, and what a booking has read
cannot change under it.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

from sqlalchemy import Connection, Engine, select, text
from sqlalchemy.exc import DBAPIError

from platewright.foundation.errors import LedgerError
from platewright.io.ledger.checkpoints import refresh_checkpoint
from platewright.io.ledger.engine import BUSY_SECONDS, WRITES, ledger_name, make_engine
from platewright.io.ledger.failures import failure, is_transient
from platewright.io.ledger.item_tables import ledger
from platewright.io.ledger.versions import REVISION, check_head, keep_log, other_version, revision_of

__all__ = ["Ledger", "open_ledger"]

_TRIES = 5
T = TypeVar("T")


class Ledger:
    """An open ledger.

    Parameters
    ----------
    engine : Engine
        To a database with the newest tables.
    name : str
        How messages call it.
    """

    def __init__(self, engine: Engine, name: str) -> None:
        self._engine = engine
        self.name = name

    @property
    def is_postgresql(self) -> bool:
        """Whether it is a PostgreSQL database rather than a SQLite file."""
        return self._engine.dialect.name == "postgresql"

    @contextlib.contextmanager
    def read(self) -> Iterator[Connection]:
        """Give a connection that sees the ledger as it is now, until the block ends.

        Raises
        ------
        LedgerError
            If the database fails.
        """
        options = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True} if self.is_postgresql else {}
        try:
            with self._engine.connect().execution_options(**options) as connection:
                yield connection
                connection.rollback()
        except DBAPIError as error:
            raise failure(error, self.name) from error

    def write(self, action: Callable[[Connection], T]) -> T:
        """Book something: all that the action does is committed together, or nothing is.

        Parameters
        ----------
        action : callable
            Gets the connection; it may be called again when the database took its work back.

        Raises
        ------
        LedgerError
            If the action refuses, or the database fails.
        """
        for attempt in range(_TRIES):
            try:
                with self._engine.connect().execution_options(**{WRITES: True}) as connection, connection.begin():
                    self._take_turn(connection)
                    result = action(connection)
                    refresh_checkpoint(connection)
                return result
            except DBAPIError as error:
                if not is_transient(error) or attempt == _TRIES - 1:
                    raise failure(error, self.name) from error
        raise AssertionError

    def close(self) -> None:
        """Close all connections."""
        self._engine.dispose()

    def _take_turn(self, connection: Connection) -> None:
        if self.is_postgresql:
            connection.execute(text(f"SET LOCAL lock_timeout = '{BUSY_SECONDS}s'"))
            connection.execute(text("SET LOCAL synchronous_commit = on"))
            connection.execute(select(ledger.c.id).with_for_update())


def open_ledger(address: str) -> Ledger:
    """Open a ledger that exists.

    Parameters
    ----------
    address : str
        Path of a SQLite file, or `postgresql://user@host/database`.

    Raises
    ------
    LedgerError
        If there is none, it cannot be read, or it is older or newer than this version.
    """
    name = ledger_name(address)
    if "://" not in address and not Path(address).is_file():
        msg = f"there is no ledger '{name}'; make one with 'platewright stock init --ledger {name}'."
        raise LedgerError("ledger.missing", msg)
    if "://" not in address:
        check_head(Path(address), name)
    engine = make_engine(address)
    try:
        found = revision_of(engine, name)
        if found != REVISION:
            raise other_version(found, name)
        keep_log(engine, name)
    except BaseException:
        engine.dispose()
        raise
    return Ledger(engine, name)
