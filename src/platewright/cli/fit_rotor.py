"""What both fits print."""

from __future__ import annotations

import json
from dataclasses import asdict

from rich.table import Table

from platewright.app.fit_rotor import RotorFitResult
from platewright.cli.tables import screen
from platewright.model.catalogue.rows import split_unit

__all__ = ["print_fit"]

_WHOLE, _MANY = 1000.0, 900.0
_UNTOLD = "these rows do not tell"


def print_fit(result: RotorFitResult, as_json: bool) -> None:
    """Print a fit as a table, or as JSON whose names carry the units."""
    if as_json:
        print(json.dumps({**asdict(result), "values": dict(result.values)}, indent=2))
        return
    console = screen()
    table = Table(title=result.subject, title_justify="left", pad_edge=False, show_header=False)
    for name, value in result.values:
        if value is None and "_error_" in name:
            continue
        words, unit = split_unit(name)
        table.add_row(words, f"{_figures(value)} {unit}".rstrip() if value is not None else _UNTOLD)
    console.print(table)
    console.print(f"{result.rows_used} of {result.rows_given} rows used.")
    for what, lines in (
        ("cut short by the bench's limit of current", result.limited_lines),
        ("below full command", result.partial_lines),
    ):
        if lines:
            console.print(f"left out, {what}: {_lines(lines)}")
    outliers = list(zip(result.outlier_lines, result.outlier_off_pct, strict=True))
    if nothing := tuple(n for n, off in outliers if off is None):
        console.print(f"left out, a reading is not above 0: {_lines(nothing)}")
    if far := [(n, off) for n, off in outliers if off is not None]:
        said = ", ".join(f"{n} ({_off(off)})" for n, off in far)
        console.print(f"left out, far from the fit: line{'s' * (len(far) > 1)} {said}")
    console.print(f"Assumed: {result.assumption}.")


def _off(percent: float) -> str:
    """Write how far a row lies from the fit."""
    return f"{percent:+.1f} %" if percent < _MANY else "more than ten times it"


def _figures(value: float) -> str:
    """Write four figures, and whole numbers of more."""
    return f"{value:.0f}" if abs(value) >= _WHOLE else f"{value:.4g}"


def _lines(lines: tuple[int, ...]) -> str:
    """Write line numbers, those in a row as `2 to 5`."""
    spans: list[list[int]] = []
    for n in lines:
        if spans and n == spans[-1][1] + 1:
            spans[-1][1] = n
        else:
            spans.append([n, n])
    said = (str(a) if a == b else f"{a} and {b}" if b == a + 1 else f"{a} to {b}" for a, b in spans)
    return f"line{'s' * (len(lines) > 1)} {', '.join(said)}"
