"""Which form a ledger's tables have, and whether this version may touch them."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Engine, inspect, text
from sqlalchemy.exc import DBAPIError

from platewright.foundation.errors import LedgerError
from platewright.io.ledger.engine import WRITES
from platewright.io.ledger.failures import failure

__all__ = ["REVISION", "check_head", "keep_log", "known_revisions", "other_version", "revision_of"]

REVISION = "0004"
"""Newest form of the tables that this version knows; a test holds it to the migrations."""

_HEAD = b"SQLite format 3\x00"


def check_head(path: Path, name: str) -> None:
    """Leave a file alone that does not begin as SQLite's do."""
    try:
        with path.open("rb") as file:
            head = file.read(len(_HEAD))
    except OSError as error:
        raise failure(error, name) from error
    if head != _HEAD:
        if not head:
            raise other_version("", name)
        msg = f"'{name}' is no ledger; it was left as it is: name the file that 'platewright stock init' made."
        raise LedgerError("ledger.unreadable", msg)


def revision_of(engine: Engine, name: str) -> str:
    """Return the form of the tables; empty where there are none."""
    try:
        with engine.connect() as connection:
            if not inspect(connection).has_table("alembic_version"):
                return ""
            return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one())
    except DBAPIError as error:
        raise failure(error, name) from error


def keep_log(engine: Engine, name: str) -> None:
    """Have SQLite keep a write-ahead log, which a copy of a ledger may have lost."""
    if engine.dialect.name == "sqlite":
        try:
            with engine.connect().execution_options(**{WRITES: None}) as connection:
                connection.execute(text("PRAGMA journal_mode = WAL"))
        except DBAPIError as error:
            raise failure(error, name) from error


def known_revisions() -> tuple[str, ...]:
    """Return the forms that there are steps for, oldest first."""
    return tuple(f"{n:04d}" for n in range(1, int(REVISION) + 1))


def other_version(found: str, name: str) -> LedgerError:
    """Return the sentence for a ledger of another form."""
    if not found:
        msg = f"'{name}' holds no ledger; make one with 'platewright stock init'."
        return LedgerError("ledger.missing", msg)
    if found in known_revisions():
        msg = f"'{name}' was made by an older platewright (tables {found}, needed {REVISION});"
        return LedgerError(
            "ledger.older", f"{msg} run 'platewright stock init' on it, which keeps a copy and raises it."
        )
    msg = f"'{name}' was made by a newer platewright (tables {found}, this one knows {REVISION}); nothing was changed:"
    return LedgerError("ledger.newer", f"{msg} install the newer version.")
