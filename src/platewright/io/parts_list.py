"""The parts list of one frame: as CSV that a spreadsheet opens, and as a table to read and to tick off."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from platewright.assembly.bill import BillLine, Tool

__all__ = ["parts_list_csv", "parts_list_text"]

_HEADINGS = ("kind", "item", "quantity", "spares", "where", "note", "record")
_TITLES = {
    "part": "Cut parts",
    "screw": "Screws",
    "nut": "Nuts",
    "washer": "Washers",
    "standoff": "Standoffs",
    "spacer": "Spacers",
    "grommet": "Grommets",
    "equipment": "Equipment, not in the kit",
}


def parts_list_csv(rows: Sequence[BillLine]) -> str:
    """Return the list as CSV with headings, commas and CRLF line ends (RFC 4180).

    Examples
    --------
    >>> parts_list_csv([BillLine("nut", "nut M3 insert", 4, 1, ("stack x 4",), "DIN 985", "m3_insert")]).splitlines()[1]
    'nut,nut M3 insert,4,1,stack x 4,DIN 985,m3_insert'
    """
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(_HEADINGS)
    for row in rows:
        writer.writerow((row.kind, row.item, row.quantity, row.spares, "; ".join(row.where), row.note, row.record))
    return text.getvalue()


def parts_list_text(frame: str, revision: str, rows: Sequence[BillLine], tools: Sequence[Tool]) -> str:
    """Return the list as plain text: one block a kind, quantity first, spares beside it, then the tools."""
    lines = [f"{frame}, revision {revision}: parts list of one frame", ""]
    for kind, title in _TITLES.items():
        own = [r for r in rows if r.kind == kind]
        if own:
            lines += [title, "-" * len(title), *_block(own), ""]
    lines += ["Tools", "-----", *(f"  {t.label}: {', '.join(t.used_for)}" for t in tools), ""]
    return "\n".join(lines)


def _block(rows: Sequence[BillLine]) -> list[str]:
    width = max(len(r.item) for r in rows)
    spares = any(r.spares for r in rows)
    made = []
    for r in rows:
        extra = f" (+{r.spares} spare)" if r.spares else " " * 10 if spares else ""
        note = f"  [{r.note}]" if r.note else ""
        made.append(f"  [ ] {r.quantity:>3}{extra:<11} {r.item:<{width}}  {', '.join(r.where)}{note}".rstrip())
    return made
