"""What broke, where, how often and in which revision: from CSV or a ledger to numbers, sentences and pictures."""

from __future__ import annotations

import dataclasses
import datetime
import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from platewright.app.load import Loaded, load
from platewright.app.show import write_picture
from platewright.app.stock import opened
from platewright.app.strength import strength_study
from platewright.foundation.errors import RequestError
from platewright.io.drawing.breaks import breaks_svg
from platewright.io.field_csv import read_field_reports
from platewright.io.files import make_folder
from platewright.io.ledger.field_reports import book_field_reports, field_reports, sold_reports
from platewright.io.ledger.revisions import revision_stock
from platewright.io.revision_folder import Revision, read_revisions
from platewright.shop.breakages import PartBreakages, part_breakages
from platewright.shop.field_reports import FieldReport, standing
from platewright.study.breakage_words import breakage_sentences
from platewright.study.first_failures import ComputedPlace, computed_places

__all__ = ["Breakages", "BreakagesResult", "PartReport", "breakages", "breakages_json", "write_breakage_pictures"]


@dataclass(frozen=True)
class PartReport:
    """One part: numbers, sentences, and reported places with their revision and pieces [mm]."""

    numbers: PartBreakages
    sentences: tuple[str, ...]
    places: tuple[tuple[float, float, int, int], ...]
    without_place: int


@dataclass(frozen=True)
class Breakages:
    """All parts that reports name; `booked` rows went into the ledger just now."""

    frame: str
    parts: tuple[PartReport, ...]
    booked: int
    loaded: Loaded


@dataclass(frozen=True)
class BreakagesResult:
    """What `breakages --json` prints; what is infinite or not a number is null."""

    frame: str
    parts: tuple[PartReport, ...]
    booked: int


def breakages(
    path: Path,
    on: datetime.date,
    *,
    reports: Path | None = None,
    ledger: str | None = None,
    part: str = "",
    records: Path | None = None,
    encoding: str = "",
    decimal_comma: bool = False,
) -> Breakages:
    """Say what reports from the field tell about a frame's parts.

    Parameters
    ----------
    path : Path
        The design file.
    on : date
        For reports without a date.
    reports : Path or None
        A CSV file; with a ledger its rows are booked there first, all or none.
    ledger : str or None
        Address of a ledger, whose reports and sales count.
    part : str
        Only this part; all when empty.
    records : Path or None
        A folder of the user's own catalogue records.
    encoding : str
        Of the CSV, if it is not UTF-8.
    decimal_comma : bool
        Its numbers are written as 12,50.

    Raises
    ------
    DesignFileError
        With every problem of the design or of the CSV.
    LedgerError
        If the ledger cannot be opened or refuses a report.
    RequestError
        If there is no report, or no such part.
    """
    if reports is None and ledger is None:
        msg = "name a CSV file of reports, or a ledger that holds them: --csv, --ledger."
        raise RequestError(msg)
    loaded = load(path, records)
    assembly = loaded.assembly
    if part and part not in assembly.parts:
        msg = f"'{path.name}' has no part '{part}'; it has {', '.join(assembly.parts)}."
        raise RequestError(msg)
    frozen = read_revisions(path)
    outlines = {name: finished.outline for name, finished in assembly.parts.items()}
    rows: list[FieldReport] = []
    if reports is not None:
        known = {r.number for r in frozen}
        rows = read_field_reports(reports, outlines, known, on, encoding, decimal_comma)
    booked = 0
    if ledger is not None:
        booked, rows = _in_ledger(ledger, assembly.design.frame.name, rows, frozen, on)
    valid = standing(rows)
    names = [name for name in assembly.parts if part in ("", name) and any(r.part == name for r in valid)]
    if not names:
        msg = f"there is no report of {f'part {part}' if part else 'any part'} of {assembly.design.frame.name}."
        raise RequestError(msg)
    since = {name: {r.number: r.parts[name] for r in frozen if name in r.parts} for name in names}
    parts = tuple(_part(name, valid, since[name]) for name in names)
    return Breakages(assembly.design.frame.name, parts, booked, loaded)


def breakages_json(found: Breakages) -> str:
    """Return numbers and sentences as JSON; what is infinite or not a number is null."""
    data = BreakagesResult(found.frame, found.parts, found.booked)
    return json.dumps(_plain(dataclasses.asdict(data)), indent=2, ensure_ascii=False, allow_nan=False)


def write_breakage_pictures(
    found: Breakages, path: Path, folder: Path, records: Path | None = None
) -> tuple[Path, ...]:
    """Draw each part that broke: where, beside where it is computed to fail first, as SVG and PNG.

    Parameters
    ----------
    found : Breakages
        From `breakages`.
    path : Path
        The design file, whose structure is solved.
    folder : Path
        Where to; made if it is not there.
    records : Path or None
        A folder of the user's own catalogue records.

    Raises
    ------
    OutputError
        If a picture cannot be written.
    StructureError
        If a plate cannot be modelled.
    """
    drawn = [p for p in found.parts if p.places or p.without_place]
    if not drawn:
        return ()
    assembly = found.loaded.assembly
    study = strength_study(path, records)
    make_folder(folder)
    written = []
    for report in drawn:
        name = report.numbers.part
        computed: Sequence[ComputedPlace] = computed_places(assembly, study, name)
        title = f"{found.frame}, {name}: where it breaks"
        svg = breaks_svg(assembly.parts[name].outline, title, report.places, computed, report.without_place)
        for ending in ("svg", "png"):
            written.append(folder / f"breaks_{name}.{ending}")
            write_picture(svg, written[-1])
    return tuple(written)


def _in_ledger(
    address: str, frame: str, rows: Sequence[FieldReport], frozen: Sequence[Revision], on: datetime.date
) -> tuple[int, list[FieldReport]]:
    """Book rows; return how many, and all reports of the frame with the ledger's own sales of frozen revisions."""
    with opened(address) as ledger:
        booked = ledger.write(lambda c: book_field_reports(c, frame, rows)) if rows else 0
        with ledger.read() as connection:
            found = field_reports(connection, frame)
            numbers = {r.design_hash: r.number for r in reversed(frozen)}
            items: dict[str, tuple[str, int]] = {}
            for stock in revision_stock(connection, numbers):
                if stock.part:
                    first = min(numbers[stock.design_hash], items.get(stock.item, ("", math.inf))[1])
                    items[stock.item] = stock.part, int(first)
            return booked, [*found, *sold_reports(connection, items, on)]


def _part(name: str, reports: Sequence[FieldReport], since: Mapping[int, int]) -> PartReport:
    numbers = part_breakages(name, reports, since)
    broken = [r for r in reports if r.part == name and r.kind == "broken"]
    places = tuple((*r.at_mm, since.get(r.revision, r.revision), r.pieces) for r in broken if r.at_mm is not None)
    lost = sum(r.pieces for r in broken if r.at_mm is None)
    return PartReport(numbers, breakage_sentences(numbers), places, lost)


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value
