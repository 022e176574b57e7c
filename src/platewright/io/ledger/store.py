"""A ledger to read from and to book in: made, opened, and each booking whole or not at all.

Bookings come one after the other: SQLite gives the next writer its turn with BEGIN IMMEDIATE, PostgreSQL with a lock on
the one row of `ledger`. So the numbers of movements follow the order in which they count, and what a booking has read
cannot change under it.
"""

from __future__ import annotations

import contextlib
import datetime
import os
import secrets
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

from sqlalchemy import Connection, Engine, insert, inspect, select, text
from sqlalchemy.exc import DBAPIError

from platewright.foundation.errors import LedgerError
from platewright.io.ledger.checkpoints import refresh_checkpoint
from platewright.io.ledger.engine import BUSY_SECONDS, WRITES, ledger_name, make_engine
from platewright.io.ledger.failures import failure, is_transient
from platewright.io.ledger.item_tables import ledger
from platewright.io.ledger.items import check_currency
from platewright.io.ledger.migrate import migrate

__all__ = ["REVISION", "Ledger", "create_ledger", "open_ledger", "upgrade_ledger"]

REVISION = "0003"
"""Newest form of the tables that this version knows; a test holds it to the migrations."""

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
    engine = make_engine(address)
    try:
        found = _revision(engine, name)
        if found != REVISION:
            raise _other_version(found, name)
    except BaseException:
        engine.dispose()
        raise
    return Ledger(engine, name)


def create_ledger(address: str, currency: str, on: datetime.date, allow_negative: bool = False) -> Ledger:
    """Make a ledger; a file appears whole or not at all.

    Parameters
    ----------
    address : str
        Path of a SQLite file, or URL of an empty PostgreSQL database.
    currency : str
        Three letters (ISO 4217), for prices without one.
    on : date
        When it begins.
    allow_negative : bool
        Whether more may be taken than the books hold.

    Raises
    ------
    LedgerError
        If there already is one, or it cannot be made.
    """
    name = ledger_name(address)
    check_currency(currency)
    row = {"id": 1, "currency": currency, "created_on": on, "allow_negative": allow_negative}
    if "://" in address:
        engine = make_engine(address)
        try:
            if _revision(engine, name):
                raise _exists(name)
            _fill(engine, name, row)
        finally:
            engine.dispose()
        return open_ledger(address)
    _create_file(Path(address), name, row)
    return open_ledger(address)


def upgrade_ledger(address: str) -> Path | None:
    """Raise an older ledger to the newest tables; a copy of a file is kept beside it.

    Returns
    -------
    Path or None
        The copy; None if nothing was to be done, or for PostgreSQL.

    Raises
    ------
    LedgerError
        If it is newer than this version, or the database fails; it is then as it was.
    """
    name = ledger_name(address)
    engine = make_engine(address)
    try:
        found = _revision(engine, name)
        if found == REVISION:
            return None
        if found not in _known():
            raise _other_version(found, name)
        copy = _copy(engine, Path(address), found) if "://" not in address else None
        with engine.connect().execution_options(**{WRITES: True}) as connection, connection.begin():
            migrate(connection)
        return copy
    except DBAPIError as error:
        raise failure(error, name) from error
    finally:
        engine.dispose()


def _known() -> tuple[str, ...]:
    return tuple(f"{n:04d}" for n in range(1, int(REVISION) + 1))


def _revision(engine: Engine, name: str) -> str:
    """Return the form of the tables; empty where there are none."""
    try:
        with engine.connect() as connection:
            if not inspect(connection).has_table("alembic_version"):
                return ""
            return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one())
    except DBAPIError as error:
        raise failure(error, name) from error


def _fill(engine: Engine, name: str, row: dict[str, object]) -> None:
    try:
        with engine.connect().execution_options(**{WRITES: True}) as connection, connection.begin():
            migrate(connection)
            connection.execute(insert(ledger).values(**row))
    except DBAPIError as error:
        raise failure(error, name) from error


def _create_file(path: Path, name: str, row: dict[str, object]) -> None:
    """Fill a file beside the place, then give it its name, which fails if something has it already."""
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(4)}.new")
    try:
        if path.exists():
            raise _exists(name)
        path.parent.mkdir(parents=True, exist_ok=True)
        engine = make_engine(str(fresh), "rwc")
        try:
            _fill(engine, name, row)
        finally:
            engine.dispose()
        os.link(fresh, path)
    except FileExistsError:
        raise _exists(name) from None
    except OSError as error:
        raise failure(error, name) from error
    finally:
        for suffix in ("", "-wal", "-shm", "-journal"):
            fresh.with_name(fresh.name + suffix).unlink(missing_ok=True)


def _copy(engine: Engine, path: Path, found: str) -> Path:
    copy = path.with_name(f"{path.name}.before_{found}")
    if copy.exists():
        msg = f"'{copy.name}' is in the way of the copy that is kept; move it elsewhere and run this again."
        raise LedgerError("ledger.exists", msg)
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(text("VACUUM INTO :copy"), {"copy": str(copy)})
    return copy


def _exists(name: str) -> LedgerError:
    return LedgerError("ledger.exists", f"there already is a ledger '{name}'; it was left as it is.")


def _other_version(found: str, name: str) -> LedgerError:
    if not found:
        msg = f"'{name}' holds no ledger; make one with 'platewright stock init'."
        return LedgerError("ledger.missing", msg)
    if found in _known():
        msg = f"'{name}' was made by an older platewright (tables {found}, needed {REVISION});"
        return LedgerError(
            "ledger.older", f"{msg} run 'platewright stock init' on it, which keeps a copy and raises it."
        )
    msg = f"'{name}' was made by a newer platewright (tables {found}, this one knows {REVISION}); nothing was changed:"
    return LedgerError("ledger.newer", f"{msg} install the newer version.")
