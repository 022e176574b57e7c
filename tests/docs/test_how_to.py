"""How-to pages that quote commands: they are run, and every line that is quoted is printed."""

from __future__ import annotations

import contextlib
import io
import re
import shlex
from pathlib import Path

import pytest

from platewright.cli import main

ROOT = Path(__file__).parents[2]
NAMES = (
    "change_a_part",
    "compare_two_frames",
    "answer_a_buyer",
    "read_a_foreign_drawing",
    "order_a_batch",
    "plan_a_product_line",
    "plan_orders",
    "solve_one_part",
)
PAGES = [ROOT / "docs" / "how_to" / f"{name}.md" for name in NAMES]
_BLOCK = re.compile(r"^```console\n(.*?)^```$", re.DOTALL | re.MULTILINE)
_OTHERWISE = ' || echo "exit status $?"'


def quoted(page: Path) -> list[tuple[str, list[str]]]:
    found: list[tuple[str, list[str]]] = []
    for block in _BLOCK.findall(page.read_text(encoding="utf-8")):
        for line in block.splitlines():
            if line.startswith("$ "):
                found.append((line[2:], []))
            elif line.strip() != "...":
                found[-1][1].append(" ".join(line.split()))
    return found


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.stem)
def test_every_quoted_line_is_printed(page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    (tmp_path / "drawings").symlink_to(ROOT / "tests" / "data" / "foreign")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    steps = quoted(page)
    assert steps
    for command, lines in steps:
        words, otherwise, _ = command.partition(_OTHERWISE)
        printed = io.StringIO()
        with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(printed):
            status = main(shlex.split(words)[1:])
        assert (status != 0) == bool(otherwise), command
        said = [" ".join(line.split()) for line in printed.getvalue().splitlines()] + [f"exit status {status}"]
        assert [line for line in lines if line not in said] == [], command
