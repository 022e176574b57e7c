"""The stable codes of what a ledger and its CSV files may refuse; each has a section in `docs/reference/errors.md`."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["LEDGER_CODES"]

LEDGER_CODES: Mapping[str, str] = {
    "csv.choice": "a cell is none of the choices",
    "csv.date": "a cell is no date",
    "csv.decimal": "a number has a comma that nobody announced",
    "csv.encoding": "a file is not in the encoding it should be",
    "csv.form": "a file is no table of rows and cells",
    "csv.heading": "headings are missing, unknown or double",
    "csv.missing": "a cell is empty",
    "csv.number": "a cell is no number",
    "ledger.address": "an address is neither a file nor a PostgreSQL URL",
    "ledger.ambiguous": "a name may mean several things",
    "ledger.busy": "another process keeps writing",
    "ledger.driver": "the driver of PostgreSQL is not installed",
    "ledger.duplicate": "something was booked before",
    "ledger.exists": "there already is one",
    "ledger.full": "the disk is full",
    "ledger.missing": "there is no ledger",
    "ledger.negative": "more would be taken than there is",
    "ledger.newer": "the ledger is from a newer version",
    "ledger.not_sold": "what comes back was not sold",
    "ledger.older": "the ledger is from an older version",
    "ledger.order": "there is no such order",
    "ledger.readonly": "the ledger may not be written to",
    "ledger.refused": "the database refuses a change that must not be made",
    "ledger.unknown_item": "there is no such item",
    "ledger.unknown_kit": "there is no such kit",
    "ledger.unknown_lot": "there is no such lot",
    "ledger.unknown_supplier": "there is no such supplier",
    "ledger.unreachable": "the database server cannot be reached",
    "ledger.unreadable": "the file is no ledger, or damaged",
    "ledger.value": "a value is out of range or has the wrong form",
}
"""Code and what it means, in a few words."""
