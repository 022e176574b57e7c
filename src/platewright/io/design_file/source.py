"""One TOML file: its values at once, the line of a key when asked for."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path as FilePath
from typing import Any

from platewright.foundation.errors import DesignFileError, Problem
from platewright.io.design_file.lines import Path, key_lines

__all__ = ["SourceFile", "read_source"]

_MAX_BYTES = 2_000_000
_PLACE = re.compile(r" \((?:at line (\d+), column \d+|at end of document)\)$")


@dataclass(frozen=True)
class SourceFile:
    """One file of a design.

    Parameters
    ----------
    path : pathlib.Path
        Where it is.
    name : str
        Its path relative to the folder of the design, as messages show it.
    text : str
        Its text.
    values : dict
        Its values as plain Python.
    """

    path: FilePath
    name: str
    text: str
    values: dict[str, Any]

    @cached_property
    def _lines(self) -> dict[Path, int]:
        return key_lines(self.text)

    def line(self, path: Path) -> int | None:
        """Line of a value, or of the nearest thing around it; None where even the top has no line."""
        for length in range(len(path), 0, -1):
            if path[:length] in self._lines:
                return self._lines[path[:length]]
        return None


def read_source(path: FilePath, name: str) -> SourceFile:
    """Read one file.

    Parameters
    ----------
    path : pathlib.Path
        Where it is.
    name : str
        How messages name it.

    Raises
    ------
    DesignFileError
        If it is missing, no file, too large, not UTF-8 or not TOML.
    """
    try:
        if path.is_dir():
            raise _error("file.unreadable", name, "is a folder; name the design file in it.")
        if not path.exists():
            raise _error("file.missing", name, "does not exist; check its name and folder.")
        if not path.is_file():
            raise _error("file.unreadable", name, "must be an ordinary file.")
        size = path.stat().st_size
        if size > _MAX_BYTES:
            raise _error("file.unreadable", name, f"must be at most 2 MB (got {size / 1e6:.1f} MB).")
        raw = path.read_bytes()
    except (OSError, ValueError) as error:
        if isinstance(error, DesignFileError):
            raise
        reason = getattr(error, "strerror", None) or "its path cannot be used"
        raise _error("file.unreadable", name, f"cannot be read: {reason[0].lower()}{reason[1:]}.") from None
    try:
        text = raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise _error("file.unreadable", name, "must be text in UTF-8; save it in that encoding.", line) from None
    return SourceFile(path, name, text, _parse(text, name))


def _parse(text: str, name: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise _error("file.syntax", name, "nests its lists too deeply.") from None
    except ValueError as error:
        reason = str(error)
        place = _PLACE.search(reason)
        line = int(place.group(1)) if place and place.group(1) else text.rstrip().count("\n") + 1
        reason = _PLACE.sub("", reason)
        raise _error("file.syntax", name, f"is not valid TOML: {reason[0].lower()}{reason[1:]}.", line) from None


def _error(code: str, name: str, message: str, line: int | None = None) -> DesignFileError:
    return DesignFileError([Problem(code, "", f"{name} {message}", name, line)])
