"""What every command prints with: the console, and tables of one look."""

from __future__ import annotations

import os
from collections.abc import Container
from typing import Literal

from rich import box
from rich.console import Console
from rich.table import Table

__all__ = ["figure", "new_table", "plain", "screen"]

_FILE_WIDTH = 180  # columns of tables that go to a file or a pipe


def screen(*, errors: bool = False) -> Console:
    """Return a console as wide as the terminal, and wide enough for whole rows in a file or a pipe.

    Parameters
    ----------
    errors : bool
        Write to standard error: what a command says of its work, beside its result.
    """
    console = Console(highlight=False, stderr=errors)
    if not console.is_terminal and "COLUMNS" not in os.environ:
        console.width = _FILE_WIDTH
    return console


def new_table(title: str, *names: str, left: int = 1, words: Container[str] = (), last: bool = False) -> Table:
    """Return an empty table whose cells fold rather than lose letters.

    Parameters
    ----------
    title : str
        What stands above it; nothing if empty.
    *names : str
        Heads of its columns.
    left : int
        How many of the first columns hold words, set to the left; the others hold numbers, set to the right.
    words : container of str
        Further columns of words, among those of numbers.
    last : bool
        The last column holds words too, and takes what width is left.
    """
    made = Table(title=title or None, title_justify="left", pad_edge=False, box=box.SIMPLE_HEAD)
    for name in names[:left]:
        made.add_column(name, overflow="fold")
    for name in names[left : len(names) - last]:
        made.add_column(name, justify="left" if name in words else "right", overflow="fold")
    if last:
        made.add_column(names[-1], overflow="fold", ratio=1)
    return made


def figure(value: float | None, decimals: int = 1) -> str:
    """Write a number, or a dash where there is none.

    Parameters
    ----------
    value : float or None
        In the unit of its column.
    decimals : int
        Digits behind the point.
    """
    return "-" if value is None else plain(value, decimals)


def plain(value: float, decimals: int, sign: Literal["-", "+"] = "-") -> str:
    """Write a number, zero without a sign.

    Parameters
    ----------
    value : float
        In the unit of its column.
    decimals : int
        Digits behind the point.
    sign : str
        "+" for a change: its sign also where it is positive.
    """
    text = f"{value:{sign}.{decimals}f}"
    return text if float(text) else f"{0:.{decimals}f}"
