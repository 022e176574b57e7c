"""`platewright nest`: plates of several kits on the shop's sheets."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console

from platewright.app.check import invalid_json
from platewright.app.nest import nest as run_nest
from platewright.app.nest import nest_json
from platewright.cli.numbers import Kits
from platewright.cli.tables import new_table, screen
from platewright.foundation.errors import DesignFileError
from platewright.study.nest_results import NestReport

__all__ = ["nest"]


def nest(
    *frames: Path,
    out: Path | None = None,
    quantity: Kits = None,
    shop: Path | None = None,
    seconds: float = 30.0,
    seed: int = 1,
    tries: int | None = None,
    resume: bool = False,
    json: bool = False,
    catalogue: Path | None = None,
) -> int:
    """Nest the plates of kits on the shop's own sheets: a DXF and a picture of each sheet, yields, what is left over.

    Parameters
    ----------
    frames
        Design files.
    out
        The folder to write; without it the nest is only shown.
    quantity
        Kits, given once for all frames or again for each in their order; 1 where left out.
    shop
        The shop file; else shop.toml, or shop/shop.toml, beside the first design.
    seconds
        Time for the search; Ctrl-C ends it before, and the best so far is written.
    seed
        Of the search. How far a search for a time comes depends on the machine, so that it may end otherwise another
        time; with --seconds 0, or with --tries, the same seed gives the same nest everywhere.
    tries
        Orders of the pieces to try on a grid, instead of searching for a time.
    resume
        Go on from the nest that the folder holds, or that a run which was killed has left beside it, where it is of the
        same pieces and sheets.
    json
        Print JSON instead of tables; its form is docs/reference/nest.schema.json.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    terminal = screen(errors=True)
    if not frames:
        terminal.print("name at least one design file.")
        return 1
    try:
        with terminal.status("nesting") as status:
            report = run_nest(
                frames, quantity or [1], out, shop, seconds, seed, resume, catalogue, status.update, tries
            )
    except DesignFileError as error:
        if not json:
            raise
        print(invalid_json(error.problems))
        return 1
    if json:
        print(nest_json(report))
        return 0
    _show(report, screen())
    if report.interrupted:
        terminal.print("interrupted: this is the best that was found so far.")
    if out is not None:
        terminal.print(f"written into {out}", markup=False, soft_wrap=True)
    return 0


def _show(report: NestReport, console: Console) -> None:
    kits = ", ".join(f"{k.kits} x {k.frame} {k.revision}" for k in report.kits)
    console.print(
        f"{kits}: {report.pieces} pieces on {report.sheets} sheets, {report.price:.2f} {report.currency}",
        markup=False,
    )
    names = ("plate", "", "cut from", "pieces", "used mm", "yield %", "of used %", "left over mm")
    table = new_table("", *names, left=3)
    for row in report.groups:
        for number, sheet in enumerate(row.sheets, 1):
            rest = "" if sheet.rest is None else f"{sheet.rest.length_mm:.0f} x {sheet.rest.width_mm:.0f}"
            table.add_row(
                f"{row.thickness_mm:g} mm {row.material}" if number == 1 else "",
                str(number),
                f"offcut {sheet.stock}" if sheet.is_offcut else sheet.stock,
                str(len(sheet.pieces)),
                f"{sheet.used_length_mm:.0f}",
                f"{sheet.yield_percent:.1f}",
                f"{sheet.yield_used_percent:.1f}",
                rest,
            )
    console.print(table)
