"""Reports from the field as CSV: what broke where, what was sold, what was seen whole."""

from __future__ import annotations

import datetime
from collections.abc import Collection, Mapping
from pathlib import Path

from platewright.foundation.errors import nearest_names
from platewright.geometry.loops import Outline, bounding_box
from platewright.io.ledger.csv_read import CsvRow, read_csv
from platewright.shop.field_reports import REPORT_KINDS, FieldReport

__all__ = ["OPTIONAL", "REQUIRED", "read_field_reports"]

REQUIRED = ("kind", "part", "revision")
OPTIONAL = ("date", "lot", "pieces", "x_mm", "y_mm", "what", "hours", "flights", "reference")
_BESIDE = 10.0  # a place may lie so far off the part's box: older revisions had other outlines [mm]


def read_field_reports(
    path: Path,
    parts: Mapping[str, Outline],
    revisions: Collection[int],
    on: datetime.date,
    encoding: str = "",
    decimal_comma: bool = False,
) -> list[FieldReport]:
    """Read a file of reports.

    Parameters
    ----------
    path : Path
        The file.
    parts : mapping of str to Outline
        Those of the frame, by id.
    revisions : collection of int
        Frozen ones; any number above 0 where there are none.
    on : date
        For rows without a date.
    encoding : str
        If it is not UTF-8.
    decimal_comma : bool
        Numbers are written as 12,50.

    Raises
    ------
    DesignFileError
        With every problem of every row.
    """
    table = read_csv(path, REQUIRED, OPTIONAL, encoding, decimal_comma)
    reports = [_report(row, parts, revisions, on) for row in table.rows]
    table.finish()
    return reports


def _report(row: CsvRow, parts: Mapping[str, Outline], revisions: Collection[int], on: datetime.date) -> FieldReport:
    kind, part = row.text("kind").lower(), row.text("part")
    if kind and kind not in REPORT_KINDS:
        row.problem("csv.choice", "kind", f"must be {', '.join(REPORT_KINDS)} (got '{kind}').")
    if part and part not in parts:
        near = nearest_names(part, parts)
        hint = f"did you mean {' or '.join(near)}?" if near else f"there is {', '.join(parts)}."
        row.problem("csv.choice", "part", f"names no part of the frame (got '{part}'); {hint}")
    revision = row.whole("revision")
    if revision < 1 and row.text("revision", required=False):
        row.problem("csv.number", "revision", f"must be 1 or more (got {revision}).")
    elif revision and revisions and revision not in revisions:
        known = ", ".join(map(str, sorted(revisions)))
        row.problem("csv.choice", "revision", f"must be a frozen revision (got {revision}; there is {known}).")
    pieces = row.whole("pieces", required=False) if row.text("pieces", required=False) else 1
    if pieces < 1:
        row.problem("csv.number", "pieces", f"must be 1 or more (got {pieces}).")
    reference = row.text("reference", required=kind == "withdrawn")
    hours, flights = (_time(row, heading) for heading in ("hours", "flights"))
    if kind == "whole" and hours is None and flights is None:
        row.problem("csv.missing", "hours", "or flights must say for how long the piece has been whole.")
    return FieldReport(
        kind,
        row.date("date", on),
        part,
        max(revision, 1),
        row.text("lot", required=False)[:80],
        max(pieces, 1),
        _place(row, parts.get(part)),
        row.text("what", required=False)[:400],
        hours,
        flights,
        reference[:120],
    )


def _time(row: CsvRow, heading: str) -> float | None:
    value = row.number(heading, required=False)
    if value is None:
        return None
    if value <= 0:
        row.problem("csv.number", heading, f"must be above 0 (got {value}); leave it empty where it is not known.")
        return None
    return float(value)


def _place(row: CsvRow, outline: Outline | None) -> tuple[float, float] | None:
    x, y = (row.number(heading, required=False) for heading in ("x_mm", "y_mm"))
    if x is None or y is None:
        if (x is None) != (y is None):
            row.problem("csv.missing", "x_mm" if x is None else "y_mm", "must be given with the other coordinate.")
        return None
    at = float(x), float(y)
    if outline is not None:
        x0, y0, x1, y1 = bounding_box(outline)
        if not (x0 - _BESIDE <= at[0] <= x1 + _BESIDE and y0 - _BESIDE <= at[1] <= y1 + _BESIDE):
            box = f"from {x0:.0f}, {y0:.0f} to {x1:.0f}, {y1:.0f}"
            text = f"lies off the part (got {at[0]:g}, {at[1]:g}; it reaches {box})."
            row.problem("csv.number", "x_mm", text)
    return at
