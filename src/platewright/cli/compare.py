"""`platewright compare`: what differs between two designs, as tables, JSON and pictures."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from rich.console import Console
from rich.table import Table

from platewright.app.compare import compare as run_compare
from platewright.app.compare import compare_json, write_differences
from platewright.cli.tables import new_table, screen
from platewright.foundation.findings import Finding
from platewright.study.compare_results import Change, Comparison, PartRow

__all__ = ["compare"]


def compare(
    first: Path,
    second: Path | None = None,
    /,
    *,
    out: Path | None = None,
    json: bool = False,
    catalogue: Path | None = None,
) -> int:
    """Compare two designs: parts, places, stance, mass, hardware, findings, service, hover, flight, handling.

    Parameters
    ----------
    first
        The design file compared from; alone, a variant, which is compared with the design it includes.
    second
        The design file compared to.
    out
        A folder for a picture of each part that differs.
    json
        Print JSON instead of tables.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    compared = run_compare(first, second, catalogue)
    if json:
        print(compare_json(compared))
    else:
        _print(compared.comparison, screen())
    if out is not None:
        for path in write_differences(compared, out):
            print(path)
    return 0


def _print(c: Comparison, console: Console) -> None:
    console.print(f"[bold]{c.first}[/bold] and [bold]{c.second}[/bold]")
    console.print(_parts(c))
    _changes(console, "Parameters that differ", c.parameters, c)
    _changes(console, "Stance, mass, centre of gravity, inertia", c.numbers, c)
    for title, rows in (("Places that differ", c.places), ("Columns and stacks that differ", c.columns)):
        if rows:
            table = new_table(title, "what", c.first, c.second, left=3)
            for row in rows:
                table.add_row(row.what, row.first or "none", row.second or "none")
            console.print(table)
    _changes(console, "Hardware and equipment that differ", c.hardware, c)
    _findings(console, f"Findings of {c.first} that {c.second} lacks", c.findings_gone)
    _findings(console, f"Findings of {c.second} that {c.first} lacks", c.findings_new)
    _changes(console, "Service that differs", c.service, c)
    _changes(console, "Hover and full throttle", c.hovering, c)
    _changes(console, "In the air", c.flying, c)
    _changes(console, "Handling", c.handling, c)
    _changes(console, "Strength and vibration", c.strength, c)
    if c.strength_words:
        table = new_table("What fails, what shakes", "what", c.first, c.second, left=3)
        for row in c.strength_words:
            table.add_row(row.what, row.first or "none", row.second or "none")
        console.print(table)


def _parts(c: Comparison) -> Table:
    table = new_table("Parts", c.first, c.second, "is", "area mm²", "added", "removed", "piece g", left=3)
    for p in c.parts:
        table.add_row(
            f"{p.quantity_first} x {p.first}" if p.first else "",
            f"{p.quantity_second} x {p.second}" if p.second else "",
            _state(p),
            _pair(p.area_first_mm2, p.area_second_mm2, 0),
            f"{p.added_mm2:.0f}" if p.added_mm2 is not None else "",
            f"{p.removed_mm2:.0f}" if p.removed_mm2 is not None else "",
            _pair(p.mass_first_g, p.mass_second_g, 2),
        )
    return table


def _state(part: PartRow) -> str:
    holes = [f"holes {h.diameter_mm:g}: {h.first} to {h.second}" for h in part.holes]
    return "; ".join(filter(None, (part.state, part.how, *holes)))


def _pair(one: float | None, other: float | None, decimals: int) -> str:
    said = [f"{v:.{decimals}f}" for v in (one, other) if v is not None]
    return said[0] if len(set(said)) == 1 else " to ".join(said)


def _changes(console: Console, title: str, rows: Iterable[Change], c: Comparison) -> None:
    rows = tuple(rows)
    if not rows:
        return
    table = new_table(title, "what", "unit", c.first, c.second, "difference", left=2)
    for row in rows:
        table.add_row(row.what, row.unit, *(_number(v) for v in (row.first, row.second)), _signed(row.difference))
    console.print(table)


def _number(value: float | None) -> str:
    if value is None:
        return "none"
    return f"{value:.0f}" if abs(value) >= 10_000 or float(value).is_integer() else f"{value:.2f}"


def _signed(value: float | None) -> str:
    if value is None or abs(value) < 5e-4:
        return "" if value is None else "0"
    return f"{value:+.0f}" if abs(value) >= 10_000 or float(value).is_integer() else f"{value:+.2f}"


def _findings(console: Console, title: str, findings: Iterable[Finding]) -> None:
    findings = tuple(findings)
    if not findings:
        return
    table = new_table(title, "", "code", "where", "what", left=4)
    for f in findings:
        table.add_row(f.severity.value, f.code, f.where, f.message)
    console.print(table)
