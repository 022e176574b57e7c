"""Widths of texts in the typeface of the drawings, so that labels can be set without overlap [mm]."""

from __future__ import annotations

import csv
from functools import cache
from importlib import resources

__all__ = ["FAMILY", "text_width", "wrapped"]

# The shipped typeface first; a browser without it takes the next that is as narrow.
FAMILY = "Plate Sans, DejaVu Sans Condensed, Arial Narrow, Arial, sans-serif"


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Return the width of a text [mm] at a font size [mm].

    Examples
    --------
    >>> round(text_width("wheelbase", 10.0), 2)
    48.09
    """
    widths = _widths()
    return sum(widths.get(ord(c), (600, 650))[bold] for c in text) * size / 1000


def wrapped(text: str, width: float, size: float) -> tuple[str, ...]:
    """Break a text into lines no wider than `width` [mm], where words allow.

    Examples
    --------
    >>> wrapped("one two three", 12.0, 3.0)
    ('one two', 'three')
    """
    lines: list[str] = []
    for word in text.split():
        if lines and text_width(f"{lines[-1]} {word}", size) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return tuple(lines)


@cache
def _widths() -> dict[int, tuple[int, int]]:
    file = resources.files("platewright.io") / "typeface" / "widths.csv"
    rows = csv.DictReader(file.read_text(encoding="utf-8").splitlines())
    return {int(r["code_point"]): (int(r["regular"]), int(r["bold"])) for r in rows}
