"""Pack a kit: packing list, labels, tables and numbers in one folder, written whole or not at all."""

from __future__ import annotations

import csv
import dataclasses
import io
import json
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

from platewright.app.load import load
from platewright.foundation.cautions import CAUTIONS
from platewright.foundation.errors import RequestError
from platewright.io.folder import replaced_folder, write_manifest
from platewright.io.pdf.packing import PARCEL_CAUTIONS, labels_document, list_document
from platewright.io.shop_file import find_shop_file, read_shop_file
from platewright.io.typesetting import typeset
from platewright.study.packing import pack_kit
from platewright.study.packing_results import Packing

__all__ = ["pack", "packing_json", "write_packing"]

_LONGEST = 80  # of a kit's number [characters]


def pack(path: Path, shop: Path | None = None, number: str = "", records: Path | None = None) -> Packing:
    """Return what one kit of a design is packed of and in.

    Parameters
    ----------
    path : Path
        The design file.
    shop : Path or None
        The shop file; the one beside the design when None.
    number : str
        The kit's own number in the ledger.
    records : Path or None
        A folder of the user's own catalogue records.

    Raises
    ------
    DesignFileError
        With every problem of the design or of the shop file.
    RequestError
        If there is no shop file, or the number is too long for a label.
    """
    if len(number) > _LONGEST or not number.isprintable():
        msg = f"a kit's number must be at most {_LONGEST} characters of one line (got {len(number)})."
        raise RequestError(msg)
    loaded = load(path, records)
    file = read_shop_file(find_shop_file(path, shop), loaded.catalogue)
    return pack_kit(loaded.assembly, file, number)


def packing_json(packing: Packing) -> str:
    """Return a packing as JSON; money is text, so that nothing of it is rounded."""
    return json.dumps(_plain(dataclasses.asdict(packing)), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def write_packing(packing: Packing, out: Path) -> None:
    """Write packing list and labels as PDF, the list as CSV, the numbers as JSON, and a manifest.

    Raises
    ------
    OutputError
        If the folder cannot be written; what lay there is then as it was.
    """
    with replaced_folder(out) as folder:
        (folder / "packing_list.pdf").write_bytes(typeset(list_document(packing)))
        (folder / "labels.pdf").write_bytes(typeset(labels_document(packing)))
        text = io.StringIO()
        csv.writer(text).writerows(_rows(packing))
        (folder / "packing_list.csv").write_bytes(text.getvalue().encode())
        (folder / "packing.json").write_bytes(packing_json(packing).encode())
        facts: dict[str, object] = {
            "frame": packing.frame,
            "design_hash": packing.design_hash,
            "cautions": [*PARCEL_CAUTIONS, *CAUTIONS],
        }
        write_manifest(folder, facts)


def _rows(packing: Packing) -> Iterator[list[object]]:
    yield ["bag", "steps", "item", "pieces", "spare"]
    for plate in packing.plates:
        yield ["", "", f"{plate.part}, {plate.thickness_mm:g} mm {plate.material}", plate.quantity, "no"]
    for bag in packing.bags:
        steps = " ".join(map(str, bag.steps))
        for line in bag.lines:
            yield [bag.number, steps, line.item, line.quantity, "no" if bag.steps else "yes"]
    for item, pieces in packing.material:
        yield ["", "", item, pieces, "no"]


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Decimal):
        return str(value)
    return round(value, 6) if isinstance(value, float) else value
