"""Make a ledger, whole or not at all, and raise an older one to the newest tables."""

from __future__ import annotations

import datetime
import os
import secrets
from pathlib import Path

from sqlalchemy import Engine, insert, text
from sqlalchemy.exc import DBAPIError

from platewright.foundation.errors import LedgerError
from platewright.io.ledger.engine import WRITES, ledger_name, make_engine
from platewright.io.ledger.failures import failure
from platewright.io.ledger.item_tables import ledger
from platewright.io.ledger.items import check_currency
from platewright.io.ledger.migrate import migrate
from platewright.io.ledger.store import Ledger, open_ledger
from platewright.io.ledger.versions import REVISION, check_head, keep_log, known_revisions, other_version, revision_of

__all__ = ["create_ledger", "upgrade_ledger"]


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
            if revision_of(engine, name):
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
    if "://" not in address:
        check_head(Path(address), name)
    engine = make_engine(address)
    try:
        found = revision_of(engine, name)
        if found == REVISION:
            return None
        if found not in known_revisions():
            raise other_version(found, name)
        copy = _copy(engine, Path(address), found) if "://" not in address else None
        with engine.connect().execution_options(**{WRITES: True}) as connection, connection.begin():
            migrate(connection)
        return copy
    except DBAPIError as error:
        raise failure(error, name) from error
    finally:
        engine.dispose()


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
    if path.exists():
        raise _exists(name)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise failure(error, name) from error
    try:
        engine = make_engine(str(fresh), "rwc")
        try:
            _fill(engine, name, row)
            keep_log(engine, name)
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
    try:
        with engine.connect().execution_options(**{WRITES: None}) as connection:
            connection.execute(text("VACUUM INTO :copy"), {"copy": str(copy)})
    except BaseException:
        copy.unlink(missing_ok=True)
        raise
    return copy


def _exists(name: str) -> LedgerError:
    return LedgerError("ledger.exists", f"there already is a ledger '{name}'; it was left as it is.")
