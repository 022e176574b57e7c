"""Read a CSV file as spreadsheets write it: its encoding, separator, headings, whole numbers, prices and dates.

Nothing is guessed that could be wrong without a sign: another encoding than UTF-8 and a decimal comma must be said.
Every problem of a file is collected, with its line.
"""

from __future__ import annotations

import codecs
import csv
import dataclasses
import datetime
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

from platewright.foundation.errors import DesignFileError, Problem, nearest_names

__all__ = ["FORMULA_SIGNS", "CsvRow", "CsvTable", "read_csv"]

FORMULA_SIGNS = ("=", "+", "-", "@")
"""Signs that a spreadsheet takes for the beginning of a formula; a text is kept from that by an apostrophe."""

_SEPARATORS = (",", ";", "\t")
_MOST = 64 * 1024 * 1024  # a larger file is refused [bytes]


@dataclass
class CsvTable:
    """Rows of a file, and what is wrong with them so far.

    Parameters
    ----------
    file : str
        Its name.
    rows : list of CsvRow
        In order.
    decimal_comma : bool
        Whether prices are written as 12,50.
    problems : list of Problem
        Grows while cells are read; `finish` raises them.
    torn : list of Problem
        Of rows that could not be read at all; they are no part of `rows`.
    """

    file: str
    rows: list[CsvRow]
    decimal_comma: bool
    problems: list[Problem] = field(default_factory=list)
    torn: list[Problem] = field(default_factory=list)

    def finish(self) -> None:
        """Raise all problems, if there are any.

        Raises
        ------
        DesignFileError
            With every problem.
        """
        if self.problems or self.torn:
            found = sorted((*self.torn, *self.problems), key=lambda p: p.line or 0)
            commas = [p for p in found if p.code == "csv.decimal"]
            if len(commas) > 1:
                text = f"{commas[0].message} {len(commas) - 1} more cells have one."
                more = dataclasses.replace(commas[0], message=text)
                found = [more if p is commas[0] else p for p in found if p.code != "csv.decimal" or p is commas[0]]
            raise DesignFileError(found)


@dataclass(frozen=True)
class CsvRow:
    """One row: its cells by heading, and its line in the file, from 1."""

    table: CsvTable
    line: int
    cells: Mapping[str, str]

    def problem(self, code: str, heading: str, message: str) -> None:
        """Note that a cell is wrong."""
        self.table.problems.append(Problem(code, heading, message, self.table.file, self.line))

    def text(self, heading: str, required: bool = True) -> str:
        """Return a cell without blanks around it; empty if it is missing."""
        value = self.cells.get(heading, "").strip()
        if value.startswith("'") and value[1:].startswith(FORMULA_SIGNS):
            value = value[1:]  # so that no spreadsheet takes it for a formula
        if required and not value:
            self.problem("csv.missing", heading, "must not be empty.")
        return value

    def whole(self, heading: str, required: bool = True) -> int:
        """Return a whole number; 0 if it is missing or wrong."""
        value = self.text(heading, required)
        if not value:
            return 0
        if not re.fullmatch(r"[+-]?\d{1,9}", value):
            self.problem("csv.number", heading, f"must be a whole number without separators (got '{value}').")
            return 0
        return int(value)

    def number(self, heading: str, required: bool = True) -> Decimal | None:
        """Return a number with decimals; None if it is missing or wrong."""
        value = self.text(heading, required)
        if not value:
            return None
        if "," in value and not self.table.decimal_comma:
            what = (
                f"has a comma (got '{value}'); write 12.50, or give --decimal-comma if the file means a decimal comma."
            )
            self.problem("csv.decimal", heading, what)
            return None
        mark = "," if self.table.decimal_comma else "."
        if not re.fullmatch(rf"[+-]?\d{{1,15}}(?:{re.escape(mark)}\d{{1,12}})?", value):
            self.problem("csv.number", heading, f"must be a number such as 12{mark}50 (got '{value}').")
            return None
        return Decimal(value.replace(",", "."))

    def date(self, heading: str, default: datetime.date | None = None) -> datetime.date:
        """Return a date; the default, or else the first day of the calendar, if it is missing or wrong."""
        value = self.text(heading, required=default is None)
        if not value:
            return default or datetime.date.min
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            self.problem("csv.date", heading, f"must be a date such as 2026-03-31 (got '{value}').")
            return datetime.date.min


def read_csv(
    path: Path, required: Sequence[str], optional: Sequence[str], encoding: str = "", decimal_comma: bool = False
) -> CsvTable:
    """Read a file with headings.

    Parameters
    ----------
    path : Path
        The file.
    required, optional : sequence of str
        Headings it must and may have, in any order.
    encoding : str
        If it is not UTF-8.
    decimal_comma : bool
        Numbers are written as 12,50; the separator is then not a comma.

    Raises
    ------
    DesignFileError
        If it cannot be read, or its headings are wrong.
    """
    text = _decode(path, encoding)
    head, _, _ = text.partition("\n")
    separator = max(_SEPARATORS, key=lambda mark: (head.count(mark), mark == ","))
    try:
        lines = list(_numbered(text, separator))
    except csv.Error as error:
        raise _refused(path, "csv.form", f"is no CSV: {error}.") from error
    if not lines:
        raise _refused(path, "csv.heading", f"is empty; its first line must hold {', '.join(required)}.")
    headings = [cell.strip().lower() for cell in lines[0][1]]
    table = CsvTable(path.name, [], decimal_comma)
    _check_headings(table, headings, required, optional)
    for line, cells in lines[1:]:
        if any(cell.strip() for cell in cells):
            if len(cells) != len(headings):
                what = f"has {len(cells)} cells where the first line has {len(headings)}"
                hint = "; a decimal comma splits a cell unless it is quoted or cells are parted by ';'"
                message = f"{what}{hint if separator == ',' and len(cells) > len(headings) else ''}."
                table.torn.append(Problem("csv.form", "", message, path.name, line))
                continue
            table.rows.append(CsvRow(table, line, dict(zip(headings, cells, strict=True))))
    if not table.rows and not table.torn:
        raise _refused(path, "csv.form", "holds no rows under its headings.")
    return table


def _decode(path: Path, encoding: str) -> str:
    try:
        if path.stat().st_size > _MOST:
            raise _refused(path, "csv.form", f"is larger than {_MOST // 1024**2} MB; split it.")
        data = path.read_bytes()
    except OSError as error:
        raise _refused(path, "csv.form", f"cannot be read: {error.strerror or error}.") from error
    try:
        if encoding:
            return data.decode(encoding)
        if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            raise _refused(path, "csv.encoding", "is UTF-16; give --encoding utf-16, or save it as 'CSV UTF-8'.")
        return data.decode("utf-8-sig")
    except LookupError:
        raise _refused(path, "csv.encoding", f"cannot be read as '{encoding}', which is no encoding.") from None
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        given = encoding or "UTF-8"
        message = (
            f"is not {given} (byte 0x{data[error.start]:02x} in line {line}); name its encoding, as in "
            "'--encoding cp1252', or save it as 'CSV UTF-8'."
        )
        raise _refused(path, "csv.encoding", message, line) from None


def _numbered(text: str, separator: str) -> list[tuple[int, list[str]]]:
    """Return rows with the line each begins in; a quoted cell may run over several."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows, start = [], 1
    for cells in reader:
        rows.append((start, cells))
        start = reader.line_num + 1
    return rows


def _check_headings(table: CsvTable, headings: list[str], required: Sequence[str], optional: Sequence[str]) -> None:
    known = (*required, *optional)
    for heading in required:
        if heading not in headings:
            table.problems.append(Problem("csv.heading", heading, "is missing among the headings.", table.file, 1))
    for n, heading in enumerate(headings):
        if heading in headings[:n]:
            table.problems.append(Problem("csv.heading", heading, "stands twice among the headings.", table.file, 1))
        elif heading not in known:
            near = nearest_names(heading, known)
            hint = f"did you mean {' or '.join(near)}?" if near else f"known are {', '.join(known)}."
            table.problems.append(Problem("csv.heading", heading, f"is no heading here; {hint}", table.file, 1))
    table.finish()


def _refused(path: Path, code: str, message: str, line: int | None = None) -> DesignFileError:
    return DesignFileError([Problem(code, "", message, path.name, line)])
