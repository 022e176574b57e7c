"""The line of every key of a TOML text that is known to be valid.

tomllib keeps no positions, and a style-preserving parser regroups tables that stand apart in the file, so the text is
scanned: strings, comments and brackets are all that must be understood. Scanned only when a line is asked for.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from contextlib import suppress

__all__ = ["Path", "key_lines"]

Path = tuple[str | int, ...]
"""Keys and list positions from the top of a file to a value."""

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_QUOTED = re.compile(r'"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'')
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}(?!")|\'\'\'.*?\'{3,5}(?!\')|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'',
    re.DOTALL,
)
_SCALAR = re.compile(r"[^,\]}#\r\n]*")


def key_lines(text: str) -> dict[Path, int]:
    r"""Line of each table, key and list entry, counted from 1.

    Parameters
    ----------
    text : str
        Valid TOML [-].

    Examples
    --------
    >>> key_lines("a = 1\n[[b]]\nc = [2,\n3]\n")[("b", 0, "c", 1)]
    4
    """
    scanner = _Scanner(text)
    with suppress(RecursionError):  # a list nested deeper than any design: the lines found so far must do
        scanner.run()
    return scanner.lines


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.position = 0
        self.starts = [0, *(match.end() for match in re.finditer("\n", text))]
        self.lines: dict[Path, int] = {}
        self.lists: dict[Path, int] = {}

    def run(self) -> None:
        table: Path = ()
        self.skip(_BLANK)
        while self.position < len(self.text):
            if self.text[self.position] == "[":
                table = self.header()
            else:
                self.key_value(table)
            self.skip(_BLANK)

    def header(self) -> Path:
        is_list = self.text.startswith("[[", self.position)
        here = self.position
        self.position += 2 if is_list else 1
        keys = self.dotted_key()
        self.skip(_SPACE)
        self.position += 2 if is_list else 1
        path: Path = ()
        for key in keys[:-1]:
            path = self.latest((*path, key))
            self.mark(path, here)
        path = (*path, keys[-1])
        self.mark(path, here)
        if is_list:
            self.lists[path] = self.lists.get(path, 0) + 1
        path = self.latest(path)
        self.mark(path, here)
        return path

    def latest(self, path: Path) -> Path:
        """Of a list of tables the last one so far."""
        return (*path, self.lists[path] - 1) if path in self.lists else path

    def key_value(self, table: Path) -> None:
        here = self.position
        keys = self.dotted_key()
        for count in range(1, len(keys) + 1):
            self.mark((*table, *keys[:count]), here)
        self.skip(_SPACE)
        self.position += 1  # the equals sign
        self.skip(_SPACE)
        self.value((*table, *keys))

    def dotted_key(self) -> list[str]:
        keys: list[str] = []
        while True:
            self.skip(_SPACE)
            bare = _BARE.match(self.text, self.position)
            match = bare or _QUOTED.match(self.text, self.position)
            if match is None:
                msg = "the text is not valid TOML"
                raise ValueError(msg)
            self.position = match.end()
            keys.append(match.group() if bare else str(tomllib.loads(f"k = {match.group()}")["k"]))
            self.skip(_SPACE)
            if not self.text.startswith(".", self.position):
                return keys
            self.position += 1

    def value(self, path: Path) -> None:
        character = self.text[self.position]
        if character == "[":
            self.array(path)
        elif character == "{":
            self.inline_table(path)
        else:
            self.skip(_STRING if character in "\"'" else _SCALAR)

    def array(self, path: Path) -> None:
        self.position += 1
        index = 0
        self.skip(_BLANK)
        while self.text[self.position] != "]":
            self.mark((*path, index), self.position)
            self.value((*path, index))
            index += 1
            self.skip_comma()
        self.position += 1

    def inline_table(self, path: Path) -> None:
        self.position += 1
        self.skip(_BLANK)
        while self.text[self.position] != "}":
            self.key_value(path)
            self.skip_comma()
        self.position += 1

    def skip_comma(self) -> None:
        self.skip(_BLANK)
        if self.text[self.position] == ",":
            self.position += 1
            self.skip(_BLANK)

    def skip(self, pattern: re.Pattern[str]) -> None:
        match = pattern.match(self.text, self.position)
        self.position = self.position if match is None else match.end()

    def mark(self, path: Path, position: int) -> None:
        self.lines.setdefault(path, bisect_right(self.starts, position))
