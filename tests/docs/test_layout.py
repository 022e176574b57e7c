"""Modules of the package: how long they may be, and that each says at its head what it is about."""

from __future__ import annotations

import ast
from pathlib import Path

SOURCE = Path(__file__).parents[2] / "src" / "platewright"
MODULES = {str(path.relative_to(SOURCE)): path.read_text(encoding="utf-8") for path in sorted(SOURCE.rglob("*.py"))}
MOST_LINES = 300


def test_no_module_is_longer_than_300_lines() -> None:
    """A longer one holds two subjects, or one that wants parts."""
    counts = {name: text.count("\n") for name, text in MODULES.items()}
    assert max(counts.values()) > 200  # the modules were read
    assert {name: count for name, count in counts.items() if count > MOST_LINES} == {}


def test_every_module_says_what_it_is_about() -> None:
    heads = {name: ast.get_docstring(ast.parse(text)) for name, text in MODULES.items()}
    assert [name for name, head in heads.items() if not head] == []
