"""Reads a user's own thrust-stand table: a CSV file whose columns carry their unit in the name.

As spreadsheets write it: parted by commas, semicolons or tabs, with a decimal comma in the latter two; in UTF-8, UTF-16
with its mark, or else Windows-1252.
"""

from __future__ import annotations

import codecs
import csv
import io
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from platewright.foundation.errors import RotorError, nearest_names

__all__ = ["StandTable", "read_stand_table"]

_NUMBERS = ("speed_rpm", "thrust_gf", "thrust_n", "torque_nm", "voltage_v", "current_a", "throttle_us", "throttle_pct")
_THOUSANDS = re.compile(r"\d{1,3},\d{3}")  # one thousand or a decimal comma: nobody knows
_WORDS = ("motor", "propeller", "supply_nominal_v")


@dataclass(frozen=True)
class StandTable:
    """Columns of a table, and the line of each row in its file."""

    numbers: dict[str, list[float]]
    words: dict[str, list[str]]
    lines: list[int]

    def rows(self, wanted: Sequence[bool]) -> StandTable:
        """Return the rows for which `wanted` is true."""
        keep = [i for i, is_wanted in enumerate(wanted) if is_wanted]
        return StandTable(
            {name: [column[i] for i in keep] for name, column in self.numbers.items()},
            {name: [column[i] for i in keep] for name, column in self.words.items()},
            [self.lines[i] for i in keep],
        )


def read_stand_table(path: Path, needed: Sequence[str]) -> StandTable:
    """Read a table.

    Parameters
    ----------
    path : Path
        CSV file with a header; a decimal comma needs semicolons, tabs or quotes.
    needed : sequence of str
        Columns it must have; `a|b` for either.

    Returns
    -------
    StandTable
        The columns that are known; others are passed over.

    Raises
    ------
    RotorError
        If the file cannot be read, lacks a column, or a cell is no number.
    """
    try:
        text = _decoded(path.read_bytes())
        parted_by = max(",;\t", key=text.partition("\n")[0].count)
        reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=parted_by, strict=True, skipinitialspace=True)
        rows, names = list(reader), reader.fieldnames or ()
    except FileNotFoundError:
        message = f"{path} must be a CSV table (there is no such file); check the name."
        raise RotorError(message) from None
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        message = f"{path.name} must be a CSV table (cannot be read: {error}); export it anew."
        raise RotorError(message) from None
    rows = [{(k or "").strip(): v for k, v in row.items()} for row in rows]
    header = [name.strip() for name in names]
    for column in needed:
        either = column.split("|")
        if not set(either) & set(header):
            near = nearest_names(either[0], [h for h in header if h])
            like = f" is {', '.join(near)} it?" if near else ""
            message = (
                f"{path.name} must have a column {' or '.join(either)} with that unit "
                f"(its columns are {', '.join(map(str, header)) or 'none'});{like or ' rename or add it.'}"
            )
            raise RotorError(message)
    numbers = {
        name: [_number(path, line, name, row[name], parted_by) for line, row in enumerate(rows, start=2)]
        for name in _NUMBERS
        if name in header
    }
    words = {name: [str(row[name] or "").strip() for row in rows] for name in _WORDS if name in header}
    return StandTable(numbers, words, list(range(2, len(rows) + 2)))


def _decoded(content: bytes) -> str:
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return content.decode("utf-16")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252")


def _number(path: Path, line: int, name: str, cell: object, parted_by: str) -> float:
    text = cell.strip() if isinstance(cell, str) else ""
    if text.count(",") == 1 and "." not in text and not (parted_by == "," and _THOUSANDS.fullmatch(text)):
        text = text.replace(",", ".")
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        message = f"{path.name}:{line}: {name} must be a number (got {cell!r}); correct or remove the row."
        raise RotorError(message)
    return value
