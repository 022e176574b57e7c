"""What both fits print."""

from __future__ import annotations

import json
from dataclasses import asdict

from rich.table import Table

from platewright.app.fit_rotor import RotorFitResult
from platewright.cli.tables import screen
from platewright.model.catalogue.rows import split_unit

__all__ = ["print_fit"]


def print_fit(result: RotorFitResult, as_json: bool) -> None:
    """Print a fit as a table, or as JSON whose names carry the units."""
    if as_json:
        print(json.dumps({**asdict(result), "values": dict(result.values)}, indent=2))
        return
    console = screen()
    table = Table(title=result.subject, title_justify="left", pad_edge=False, show_header=False)
    for name, value in result.values:
        words, unit = split_unit(name)
        table.add_row(words, f"{value:.4g} {unit}".rstrip() if value is not None else "not measured")
    console.print(table)
    console.print(f"{result.rows_used} of {result.rows_given} rows used.")
    for what, lines in (
        ("cut short by the bench's limit of current", result.limited_lines),
        ("below full command", result.partial_lines),
        ("far from the fit", result.outlier_lines),
    ):
        if lines:
            console.print(f"left out, {what}: lines {', '.join(map(str, lines))}")
    console.print(f"Assumed: {result.assumption}.")
