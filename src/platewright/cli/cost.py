"""`platewright cost`: what a kit costs, by batch, by kind of cost, by part and by choice."""

from __future__ import annotations

from pathlib import Path

from rich.table import Table

from platewright.app.check import invalid_json
from platewright.app.cost import cost as run_cost
from platewright.app.cost import cost_json
from platewright.cli.numbers import Kits
from platewright.cli.tables import new_table, screen
from platewright.foundation.errors import DesignFileError
from platewright.study.cost_results import CostReport

__all__ = ["cost"]


def cost(
    frame: Path,
    /,
    *,
    shop: Path | None = None,
    quantity: Kits = None,
    choices: bool = True,
    json: bool = False,
    catalogue: Path | None = None,
) -> int:
    """Say what a kit costs: sheets, machine, bits, bench, hardware, packing; by batch, with margin; each choice's cost.

    Parameters
    ----------
    frame
        The design file.
    shop
        The shop file; else shop.toml, or shop/shop.toml, beside the design.
    quantity
        Kits made at once, one number or several; those of the shop file where left out.
    choices
        Cost each part one sheet thicker and thinner, and one more kind of part.
    json
        Print JSON instead of tables; its form is docs/reference/cost.schema.json.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    try:
        report = run_cost(frame, shop, quantity, choices, catalogue)
    except DesignFileError as error:
        if not json:
            raise
        print(invalid_json(error.problems))
        return 1
    if json:
        print(cost_json(report))
        return 0
    console = screen()
    console.print(f"[bold]{report.frame}[/bold], revision {report.revision}: one kit, in {report.currency} without tax")
    console.print(_batches(report))
    console.print(_parts(report))
    if report.choices:
        console.print(_choices(report))
    if report.unpriced:
        items = ", ".join(report.unpriced)
        console.print(f"no price in the shop file, counted as nothing: {items}", markup=False, soft_wrap=True)
    low, high = report.yield_low_percent, report.yield_high_percent
    console.print(
        f"Sheets by a yield of {report.yield_percent:g} % ({low:g} to {high:g}); `platewright nest` lays them out.",
        markup=False,
        soft_wrap=True,
    )
    return 0


def _batches(report: CostReport) -> Table:
    table = new_table("Kits made at once", "", *(str(b.kits) for b in report.batches))
    for k, row in enumerate(report.batches[0].rows):
        table.add_row(row.what, *(f"{b.rows[k].money:.2f}" for b in report.batches))
    table.add_section()
    table.add_row("one kit", *(f"[bold]{b.total:.2f}[/bold]" for b in report.batches))
    table.add_row("by the yield's band", *(f"{b.total_low:.2f} to {b.total_high:.2f}" for b in report.batches))
    if report.batches[0].price is not None:
        table.add_row("sold for", *(f"{b.price:.2f}" for b in report.batches))
        table.add_row("left after fees", *(f"{b.margin:.2f} ({b.margin_percent:.0f} %)" for b in report.batches))
    table.add_section()
    table.add_row("machine min", *(f"{b.machine_min:.0f}" for b in report.batches))
    table.add_row("bench min", *(f"{b.bench_min:.0f}" for b in report.batches))
    table.add_row("sheets for all", *(str(b.sheets) for b in report.batches))
    table.add_row("to buy for all", *(f"{b.cash:.2f}" for b in report.batches))
    return table


def _parts(report: CostReport) -> Table:
    names = ("part", "pieces", "mm", "sheet cm²", "cut mm", "passes", "min", "bit %", "bridges")
    table = new_table("One piece of each part", *names)
    for p in report.parts:
        table.add_row(
            p.part,
            str(p.quantity),
            f"{p.thickness_mm:g}",
            f"{p.sheet_area_mm2 / 100:.1f}",
            f"{p.cut_length_mm:.0f}",
            str(p.passes),
            f"{p.machine_min:.1f}",
            f"{p.bit_share_percent:.1f}",
            str(p.bridges),
        )
    return table


def _choices(report: CostReport) -> Table:
    table = new_table(f"What a choice costs, of {report.choices_kits} kits", "choice", "one kit", "bare frame g", "")
    for c in report.choices:
        if c.money is None or c.mass_g is None:
            table.add_row(c.choice, "", "", c.reason)
        else:
            table.add_row(c.choice, f"{c.money:+.2f}", f"{c.mass_g:+.1f}", "")
    return table
