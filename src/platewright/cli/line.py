"""`platewright line`: several frames at once: shared parts, nearly shared ones, hardware, and what a merge saves."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.table import Table

from platewright.app.check import invalid_json
from platewright.app.line import line as run_line
from platewright.app.line import line_json, write_near_pictures
from platewright.app.plan import read_expected
from platewright.cli.tables import new_table, screen
from platewright.foundation.errors import DesignFileError
from platewright.study.line_results import LineOptions, LineReport, NearPair

__all__ = ["line"]

_MOST = 8  # differences of one pair that are printed; all are in the JSON


def line(
    *frames: Path,
    within_mm: float = 2.0,
    expect: Annotated[list[str] | None, Parameter(consume_multiple=False)] = None,
    lead_days: float = 14.0,
    service_percent: float = 95.0,
    least_pieces: int = 10,
    shop: Path | None = None,
    out: Path | None = None,
    json: bool = False,
    catalogue: Path | None = None,
) -> int:
    """Say which parts of several frames are the same, which nearly are and what would make them one, and what it saves.

    Parameters
    ----------
    frames
        The design files.
    within_mm
        Farthest that a hole or edge of nearly the same part may be off.
    expect
        FRAME=KITS, kits a month that a frame sells, else 10; may be given several times.
    lead_days
        Days from order to delivery.
    service_percent
        Chance that a lead time ends without a shortage.
    least_pieces
        Pieces of one kind of part that a cutter makes at least.
    shop
        The shop file; else shop.toml, or shop/shop.toml, beside the first design, if there is one.
    out
        A folder for pictures of nearly same parts on one another.
    json
        Print JSON instead of tables; its form is docs/reference/line.schema.json.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    options = LineOptions(
        within_mm=within_mm,
        kits_per_month=read_expected(expect or []),
        lead_time_days=lead_days,
        service_percent=service_percent,
        least_pieces=least_pieces,
    )
    try:
        study = run_line(frames, options, shop, catalogue)
    except DesignFileError as error:
        if not json:
            raise
        print(invalid_json(error.problems))
        return 1
    written = write_near_pictures(study, out) if out is not None else ()
    if json:
        print(line_json(study.report))
        return 0
    console = screen()
    console.print(_parts(study.report))
    for pair in study.report.near:
        console.print("\n".join(_near(pair, study.report)), markup=False, soft_wrap=True)
    console.print(_hardware(study.report))
    console.print("\n".join(_sums(study.report)), markup=False, soft_wrap=True)
    for path in written:
        console.print(f"wrote {path}", markup=False, soft_wrap=True)
    return 0


def _parts(report: LineReport) -> Table:
    """Return the parts that two frames or more take; the others are counted below."""
    table = new_table("Parts that are the same", "part", "mm", *report.frames)
    for part in report.parts:
        if not part.shared:
            continue
        cells = []
        for frame in report.frames:
            uses = [u for u in part.uses if u.frame == frame]
            said = [f"{u.quantity}" + (f" {u.part}" if u.part != part.uses[0].part else "") for u in uses]
            cells.append(", ".join(f"{s} ({u.how})" if u.how else s for s, u in zip(said, uses, strict=True)))
        table.add_row(part.uses[0].part, f"{part.thickness_mm:g}", *cells)
    if not table.rows:
        table.add_row("none", "", *("" for _ in report.frames))
    return table


def _near(pair: NearPair, report: LineReport) -> Iterator[str]:
    first, second, saving = pair.first, pair.second, pair.saving
    how = f", {pair.how}" if pair.how else ""
    yield f"Nearly one: {first.frame} {first.part}{how}, and {second.frame} {second.part}."
    for difference in pair.differences[:_MOST]:
        yield f"  {difference.sentence}"
    if len(pair.differences) > _MOST:
        yield f"  and {len(pair.differences) - _MOST} more"
    yield f"  {pair.advice}"
    money = saving.money_per_batch
    work = f", {money:.2f} {report.options.currency} of work a batch" if money is not None else ""
    yield (
        f"  Saves one stocked item, an order minimum of {saving.least_pieces} pieces{work}; safety stock "
        f"{saving.safety_apart:.0f} -> {saving.safety_together:.0f}; one pair that can be mixed up."
    )


def _hardware(report: LineReport) -> Table:
    table = new_table("Hardware that two frames or more take", "item", *report.frames)
    for row in report.hardware:
        if len(row.pieces) > 1:
            table.add_row(row.item, *(str(row.pieces.get(frame, "")) for frame in report.frames))
    return table


def _sums(report: LineReport) -> Iterator[str]:
    merged = f"; {report.parts_merged} if what is nearly one became one" if report.near else ""
    yield f"Kinds of part in stock: {report.parts_stocked} instead of {report.parts_apart}{merged}."
    yield f"Kinds of hardware in stock: {report.hardware_stocked} instead of {report.hardware_apart}."
    for frame in report.frames:
        own = [u.part for part in report.parts if not part.shared for u in part.uses if u.frame == frame]
        alone = [row.item for row in report.hardware if list(row.pieces) == [frame]]
        yield f"Only {frame} takes: {', '.join([*dict.fromkeys(own), *alone]) or 'nothing'}."
