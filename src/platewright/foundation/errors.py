"""The exceptions of the project.

    PlatewrightError
    ├── DesignFileError (ValueError)   the user's design file is wrong; holds every problem found
    ├── CatalogueError (LookupError)   a record is missing or unreadable
    ├── GeometryError (ValueError)     an outline cannot be built or is not what it should be
    ├── DrawingError (ValueError)      a foreign drawing cannot be read
    ├── RotorError (ValueError)         a rotor cannot be turned, fed or fitted as asked
    ├── StructureError (ValueError)    a plate cannot be modelled, or its equations cannot be solved
    ├── LedgerError (ValueError)       a ledger cannot be opened or refuses a booking; has a code
    ├── RequestError (LookupError)     a command asks for something that does not exist
    └── OutputError (OSError)          an output cannot be written

A design that is valid but not good is no error: see `findings`.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

__all__ = [
    "CatalogueError",
    "DesignFileError",
    "DrawingError",
    "GeometryError",
    "LedgerError",
    "OutputError",
    "PlatewrightError",
    "Problem",
    "RequestError",
    "RotorError",
    "StructureError",
    "nearest_names",
]


class PlatewrightError(Exception):
    """Root of all exceptions raised on purpose."""


@dataclass(frozen=True)
class Problem:
    """One thing wrong in an input file.

    Parameters
    ----------
    code : str
        Stable code, a heading of `docs/reference/errors.md`.
    path : str
        Key path in the file, `part[2].thickness_mm` form.
    message : str
        One sentence: what is required, what was given, what to do.
    file : str
        File name relative to the folder of the design.
    line : int or None
        Line in that file, counted from 1.

    Examples
    --------
    >>> str(Problem("value.range", "part[0].thickness_mm", "must be greater than 0 (got -3).", "frame.toml", 12))
    'frame.toml:12: part[0].thickness_mm must be greater than 0 (got -3). [value.range]'
    """

    code: str
    path: str
    message: str
    file: str = ""
    line: int | None = None

    def __str__(self) -> str:
        place = self.file + (f":{self.line}" if self.line is not None else "")
        head = f"{place}: " if place else ""
        body = f"{self.path} {self.message}" if self.path else self.message
        return f"{head}{body} [{self.code}]"


class DesignFileError(PlatewrightError, ValueError):
    """The design file is wrong; `problems` holds everything found at once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(str(p) for p in self.problems))


class CatalogueError(PlatewrightError, LookupError):
    """A catalogue record is missing or unreadable."""


class GeometryError(PlatewrightError, ValueError):
    """An outline cannot be built, or is not what it should be."""


class DrawingError(PlatewrightError, ValueError):
    """A foreign drawing cannot be read as plates."""


class RotorError(PlatewrightError, ValueError):
    """A rotor cannot be turned, fed or fitted as asked."""


class StructureError(PlatewrightError, ValueError):
    """A plate cannot be modelled, or its equations cannot be solved."""


class LedgerError(PlatewrightError, ValueError):
    """A ledger cannot be opened, or refuses a booking; nothing was booked.

    Examples
    --------
    >>> print(LedgerError("ledger.busy", "another process is writing; try again."))
    another process is writing; try again. [ledger.busy]
    """

    def __init__(self, code: str, message: str) -> None:
        self.code = code
        super().__init__(f"{message} [{code}]")


class RequestError(PlatewrightError, LookupError):
    """A command asks for something that does not exist: a code, a view, a thing."""


class OutputError(PlatewrightError, OSError):
    """An output cannot be written."""


def nearest_names(name: str, known: Iterable[str], count: int = 3) -> Sequence[str]:
    """Return the known names most like a misspelt one, best first.

    Examples
    --------
    >>> list(nearest_names("aluminum", ["aluminium", "steel"]))
    ['aluminium']
    """
    return difflib.get_close_matches(name, list(known), n=count, cutoff=0.55)
