"""The merged values of a design, each with the file and line it came from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path as FilePath
from typing import Any

from platewright.foundation.errors import Problem
from platewright.io.design_file.lines import Path
from platewright.io.design_file.source import SourceFile
from platewright.model.expression import ExpressionError, names_in

__all__ = ["DesignTree", "key_path", "one_line", "strings_in"]

_MAX_CHARACTERS = 500


@dataclass(frozen=True)
class DesignTree:
    """A design as read: includes merged, expressions not yet evaluated.

    Parameters
    ----------
    folder : pathlib.Path
        Folder of the top file; drawings are named relative to it.
    files : tuple of SourceFile
        Every file read, included ones first, the top file last.
    values : dict
        The merged values as plain Python.
    origins : dict
        For each merged record and key, the file and the path in that file.
    """

    folder: FilePath
    files: tuple[SourceFile, ...]
    values: dict[str, Any]
    origins: dict[Path, tuple[SourceFile, Path]]

    def locate(self, path: Path) -> tuple[str, int | None]:
        """File and line of a value, or of the nearest thing around it."""
        for length in range(len(path), 0, -1):
            found = self.origins.get(path[:length])
            if found is not None:
                source, base = found
                return source.name, source.line((*base, *path[length:]))
        return self.files[-1].name, None

    def problem(self, path: Path, code: str, message: str) -> Problem:
        """Return a problem with this path, its file and its line."""
        return Problem(code, key_path(self.values, path), one_line(message), *self.locate(path))

    @cached_property
    def uses_levels(self) -> bool:
        """Whether any expression uses a level, so that the design must be resolved twice."""
        return any(name.startswith("level.") for text in strings_in(self.values) for name in _names(text))


def key_path(values: object, path: Path) -> str:
    """Write a path with the ids of its records: ``part[2] (arm).thickness_mm``.

    Examples
    --------
    >>> key_path({"part": [{"id": "arm"}]}, ("part", 0, "thickness_mm"))
    'part[0] (arm).thickness_mm'
    """
    written = ""
    for key in path:
        if isinstance(key, int):
            written += f"[{key}]"
            values = values[key] if isinstance(values, list) and key < len(values) else None
            if isinstance(values, dict) and isinstance(values.get("id"), str):
                written += f" ({values['id']})"
        else:
            written += f".{key}" if written else key
            values = values.get(key) if isinstance(values, dict) else None
    return one_line(written)


def one_line(text: str) -> str:
    r"""Text of a file made fit to print: one line, no control characters, not endless.

    Examples
    --------
    >>> one_line("two\nlines")
    'two lines'
    """
    text = "".join(character if character.isprintable() else " " for character in text)
    return text if len(text) <= _MAX_CHARACTERS else f"{text[: _MAX_CHARACTERS - 4]} ..."


def strings_in(value: object) -> Iterator[str]:
    """Every string among values, keys left out."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        items: Iterable[object] = value.values() if isinstance(value, dict) else value
        for item in items:
            yield from strings_in(item)


def _names(text: str) -> frozenset[str]:
    if "level." not in text:
        return frozenset()
    try:
        return names_in(text)
    except ExpressionError:
        return frozenset()
