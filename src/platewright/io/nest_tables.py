"""Tables of a nest as CSV that a spreadsheet opens (RFC 4180): its pieces, and what is left of its sheets."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from platewright.study.nest_results import NestReport

__all__ = ["pieces_csv", "rests_csv"]

_PIECES = ("sheet", "number", "frame", "part", "x_mm", "y_mm", "turn_deg", "in_opening", "cutter_mm")
_RESTS = ("id", "material", "thickness_mm", "length_mm", "width_mm", "of_sheet")


def pieces_csv(report: NestReport) -> str:
    """Return every piece with its sheet, shift and turn, in the order of cutting."""
    return _csv(
        _PIECES,
        (
            (
                *(sheet.id, p.number, p.frame, p.part, p.x_mm, p.y_mm, p.turn_deg),
                *("yes" if p.in_opening else "", p.cutter_mm),
            )
            for row in report.groups
            for sheet in row.sheets
            for p in sheet.pieces
        ),
    )


def rests_csv(report: NestReport) -> str:
    """Return what is worth keeping of each sheet, its keys those of an `[[offcut]]`."""
    return _csv(
        _RESTS,
        (
            (
                f"rest_{sheet.id}",
                row.material,
                row.thickness_mm,
                f"{sheet.rest.length_mm:.0f}",
                f"{sheet.rest.width_mm:.0f}",
                sheet.stock,
            )
            for row in report.groups
            for sheet in row.sheets
            if sheet.rest is not None
        ),
    )


def _csv(headings: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(headings)
    writer.writerows(rows)
    return text.getvalue()
