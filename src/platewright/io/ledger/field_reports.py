"""Reports from the field in a ledger: booked together or not at all, and read back; sales by lot as reports."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence

from sqlalchemy import Connection, insert, select

from platewright.foundation.errors import LedgerError
from platewright.io.ledger.tables import field_report
from platewright.io.ledger.traces import returns_by_lot
from platewright.shop.field_reports import FieldReport

__all__ = ["book_field_reports", "field_reports", "sold_reports"]


def book_field_reports(connection: Connection, frame: str, reports: Sequence[FieldReport]) -> int:
    """Book reports of one frame and return how many.

    Raises
    ------
    LedgerError
        If a report with that reference was booked before, or one is withdrawn that is not there.
    """
    now = datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")
    known = {(r.kind, r.part, r.reference) for r in field_reports(connection, frame) if r.reference}
    for report in reports:
        key = report.kind, report.part, report.reference
        if report.reference and key in known:
            what = f"the report '{report.reference}' of {report.part} ({report.kind})"
            msg = f"{what} was booked before; nothing was booked."
            raise LedgerError("ledger.duplicate", msg)
        if report.kind == "withdrawn" and not any(k[1:] == key[1:] for k in known):
            msg = f"there is no report '{report.reference}' of {report.part} to withdraw; nothing was booked."
            raise LedgerError("ledger.value", msg)
        known.add(key)
    if reports:
        connection.execute(insert(field_report), [_row(frame, report, now) for report in reports])
    return len(reports)


def field_reports(connection: Connection, frame: str) -> list[FieldReport]:
    """Return all reports of a frame, oldest booking first, withdrawn ones too."""
    rows = connection.execute(select(field_report).where(field_report.c.frame == frame).order_by(field_report.c.id))
    return [
        FieldReport(
            r.kind,
            r.on_date,
            r.part,
            r.revision,
            r.lot,
            r.pieces,
            None if r.x_mm is None or r.y_mm is None else (r.x_mm, r.y_mm),
            r.what,
            r.hours,
            r.flights,
            r.reference or "",
        )
        for r in rows
    ]


def sold_reports(connection: Connection, items: Mapping[str, tuple[str, int]], on: datetime.date) -> list[FieldReport]:
    """Return what the ledger's own sales are, as reports.

    Parameters
    ----------
    connection : Connection
        That reads.
    items : mapping of str to (str, int)
        Part and first revision of each item.
    on : date
        Of the reports.
    """
    return [
        FieldReport("sold", on, *items[row.item], row.lot, row.sold)
        for row in returns_by_lot(connection, list(items))
        if row.sold > 0
    ]


def _row(frame: str, report: FieldReport, now: str) -> dict[str, object]:
    x, y = report.at_mm or (None, None)
    return {
        "kind": report.kind,
        "on_date": report.on,
        "frame": frame,
        "part": report.part,
        "revision": report.revision,
        "lot": report.lot,
        "pieces": report.pieces,
        "x_mm": x,
        "y_mm": y,
        "what": report.what[:400],
        "hours": report.hours,
        "flights": report.flights,
        "reference": report.reference or None,
        "recorded_at": now,
    }
