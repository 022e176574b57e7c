"""The reference page of the ledger's tables and files, written from the tables themselves.

Run as a program, this writes `docs/reference/ledger.md`.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import Column, Table

from platewright.io.ledger.csv_export import EXPORTS
from platewright.io.ledger.csv_import import FORMS
from platewright.io.ledger.tables import DOCUMENT_KINDS, METADATA, MOVEMENT_KINDS, UNCHANGING
from platewright.io.ledger.versions import REVISION

__all__ = ["reference_page"]

_HEAD = """# Ledger

The tables behind `platewright stock`, in SQLite and PostgreSQL alike, and the CSV files it reads and writes. Written by
`sh scripts/reference_pages` from the tables; change those, not this page. What they mean and why they are so:
[theory](../theory/ledger.md); how to keep them: [keep stock](../how_to/keep_stock.md).

Dates are ISO 8601. Money is exact decimal text with up to six decimals, its currency beside it (ISO 4217). Quantities
are whole pieces; a movement into stock is positive. Lengths, masses and limits carry their unit in the feature's name.
"""
_FILES = """\
Cells are parted by `,`, `;` or tabs; UTF-8 with or without a byte-order mark unless `--encoding` names another; decimal
points unless `--decimal-comma` is given. Rows of receipts with one supplier, reference and date are one receipt, and
rows of sales with one buyer, reference and date one sale. All rows are booked, or none.

`platewright stock export WHAT FILE.csv` writes {exports}.
A text that a spreadsheet would take for a formula begins with an apostrophe there, which import takes off again.
"""
_NOTES = {
    "ledger": "One row: the currency of prices without one, and whether stock may be negative. In PostgreSQL a "
    "writer holds this row locked.",
    "supplier": "Who delivers, with lead time and its standard deviation.",
    "item": "What may be in stock: cut parts, hardware, equipment, packing, and kits. A part is known by its "
    "shape, laminate and thickness (`part_identity`, JSON); `checked` wants a goods-inward check "
    "before pieces are used.",
    "item_feature": "What the drawing says of a part: thickness, hole diameters, mass, with limits.",
    "item_use": "Which item a frame's part is, revision by revision.",
    "offer": "A supplier's price from a number of pieces on, from a day on; one row for each price break.",
    "substitute": "What may stand for an item.",
    "kit": "A frozen bill of materials; `design_hash` is the design's, `bill_hash` that of the bill with "
    "what was added.",
    "kit_line": "How many of an item one kit takes; what is not `included` is the buyer's own.",
    "document": "The head of every booking: what, when, whose, by which reference, and when it was recorded (UTC).",
    "lot": "Pieces of one item that came together, from one sheet. Every packed kit is a lot with its own number.",
    "movement": "Pieces into or out of stock. `kit_lot_id` is the kit that a part went into or came out of; "
    "`stands_for` the item of the bill that a substitute replaced.",
    "order_line": "What was ordered, by document of kind `order`; receipts name the order in `document.order_id`.",
    "inspection": "A goods-inward check: the plan with its two risks, how many were faulty, the verdict.",
    "measurement": "What was measured on which piece of the sample, and the limits at that time.",
    "field_report": "What broke, was sold elsewhere or was seen whole, by part and frozen revision, from "
    "`platewright breakages`; places in the part's own axes. No stock moves by it; a wrong row is withdrawn by "
    "another.",
    "checkpoint": "Sums of movements by lot up to `checkpoint_head.up_to`, without lots that are used up. Only a "
    "cache: `platewright stock rebuild` makes it anew and says whether it was right.",
    "checkpoint_head": "The last movement in the checkpoint.",
}


def reference_page() -> str:
    """Return the page."""
    return "\n".join(_lines()) + "\n"


def _lines() -> Iterator[str]:
    yield _HEAD
    yield "## Files"
    yield ""
    yield "`platewright stock import WHAT FILE.csv` reads, in any order of headings:"
    yield ""
    yield "| what | headings | may have |"
    yield "|---|---|---|"
    for name, form in FORMS.items():
        yield f"| {name} | {', '.join(form.required)} | {', '.join(form.optional)} |"
    yield ""
    yield _FILES.format(exports=", ".join(EXPORTS))
    yield f"## Tables (form {REVISION})"
    yield ""
    yield f"Triggers refuse to change or remove rows of {', '.join(UNCHANGING)}."
    yield ""
    yield f"Kinds of documents: {', '.join(DOCUMENT_KINDS)}."
    yield f"Kinds of movements: {', '.join(MOVEMENT_KINDS)}."
    yield "`pack` takes parts, `kit` brings the packed kit; `spare` is a loose piece sold."
    for table in METADATA.sorted_tables:
        yield from _table(table)


def _table(table: Table) -> Iterator[str]:
    yield ""
    yield f"### {table.name}"
    yield ""
    yield _NOTES[table.name]
    yield ""
    yield "| column | type | |"
    yield "|---|---|---|"
    for column in table.columns:
        yield f"| {column.name} | {_type(column)} | {_role(column)} |"


def _type(column: Column[object]) -> str:
    return {
        "BigInteger": "whole number",
        "Integer": "whole number",
        "Float": "number",
        "Money": "money",
        "Date": "date",
        "Boolean": "yes or no",
        "String": "text",
        "Text": "text",
    }[type(column.type).__name__]


def _role(column: Column[object]) -> str:
    said = ["key"] if column.primary_key else []
    said += [f"names {key.target_fullname}" for key in sorted(column.foreign_keys, key=lambda k: k.target_fullname)]
    said += ["may be empty"] if column.nullable else []
    return ", ".join(said)


def main() -> None:
    """Write the page into the documents of the working folder."""
    Path("docs/reference/ledger.md").write_text(reference_page(), encoding="utf-8")


if __name__ == "__main__":
    main()
