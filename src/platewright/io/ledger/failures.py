"""What a database says when something fails, as one sentence for people."""

from __future__ import annotations

import errno
import sqlite3

from sqlalchemy.exc import DBAPIError

from platewright.foundation.errors import LedgerError

__all__ = ["failure", "is_transient"]

_TRANSIENT = ("40001", "40P01")  # serialization failure, deadlock: rolled back whole, may be tried again
_SENTENCES = {
    "ledger.full": "the disk of {name} is full; nothing was booked and the ledger is as it was: make room and run this "
    "again.",
    "ledger.busy": "another process has been writing to {name} all the time; nothing was booked: run this again.",
    "ledger.readonly": "{name} may not be written to; nothing was booked: give yourself the right to write to it and "
    "to its folder.",
    "ledger.unreadable": "{name} is damaged or no ledger; nothing was booked: restore it from its last copy.",
    "ledger.unreachable": "{name} cannot be reached; nothing is known to be booked: see that the server runs and that "
    "the URL is right, then look with 'stock list'.",
    "ledger.refused": "{name} refuses what a ledger must not do: {said}; nothing was booked.",
}
_STATES = {
    "53100": "ledger.full",
    "53200": "ledger.full",
    "55P03": "ledger.busy",
    "40001": "ledger.busy",
    "40P01": "ledger.busy",
    "25006": "ledger.readonly",
    "42501": "ledger.readonly",
    "XX001": "ledger.unreadable",
}
_RESULTS = {
    sqlite3.SQLITE_FULL: "ledger.full",
    sqlite3.SQLITE_BUSY: "ledger.busy",
    sqlite3.SQLITE_LOCKED: "ledger.busy",
    sqlite3.SQLITE_READONLY: "ledger.readonly",
    sqlite3.SQLITE_PERM: "ledger.readonly",
    sqlite3.SQLITE_CANTOPEN: "ledger.readonly",
    sqlite3.SQLITE_CORRUPT: "ledger.unreadable",
    sqlite3.SQLITE_NOTADB: "ledger.unreadable",
    sqlite3.SQLITE_IOERR: "ledger.full",  # writing past a limit of the file system shows as an input or output error
}


def failure(error: DBAPIError | OSError, name: str) -> LedgerError:
    """Return the sentence for a failure of the database.

    Parameters
    ----------
    error : DBAPIError or OSError
        As it was raised.
    name : str
        How messages call the ledger.
    """
    code = _os_code(error) if isinstance(error, OSError) else _database_code(error)
    said = "" if isinstance(error, OSError) else str(error.orig).splitlines()[0].strip().rstrip(".")
    return LedgerError(code, _SENTENCES[code].format(name=f"'{name}'", said=said))


def is_transient(error: DBAPIError) -> bool:
    """Whether the database took back a whole transaction that may simply be tried again."""
    return getattr(error.orig, "sqlstate", None) in _TRANSIENT


def _os_code(error: OSError) -> str:
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return "ledger.full"
    return "ledger.readonly"


def _database_code(error: DBAPIError) -> str:
    if isinstance(error.orig, sqlite3.Error):
        result = getattr(error.orig, "sqlite_errorcode", 0) & 0xFF
        return _RESULTS.get(result, "ledger.refused")
    state = getattr(error.orig, "sqlstate", None)
    if state is None or state.startswith(("08", "57P")):
        return "ledger.unreachable"
    return _STATES.get(state, "ledger.refused")
