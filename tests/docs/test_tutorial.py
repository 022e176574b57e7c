"""The tutorial's commands are run as it says, and every line it quotes is printed."""

from __future__ import annotations

import contextlib
import difflib
import io
import os
import re
import shlex
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from platewright.cli import main

PAGE = Path(__file__).parents[2] / "docs" / "tutorials" / "first_design.md"
_BLOCK = re.compile(r"^```console\n(.*?)^```$", re.DOTALL | re.MULTILINE)
_OTHERWISE = ' || echo "exit status $?"'
WIDTH = "110"


@dataclass(frozen=True)
class Step:
    """A command of the page and the lines quoted below it."""

    command: str
    quoted: tuple[str, ...]


def steps() -> list[Step]:
    found: list[Step] = []
    for block in _BLOCK.findall(PAGE.read_text(encoding="utf-8")):
        for line in block.splitlines():
            if line.startswith("$ "):
                found.append(Step(line[2:], ()))
            elif line.strip() != "...":
                found[-1] = Step(found[-1].command, (*found[-1].quoted, " ".join(line.split())))
    return found


def run(step: Step) -> str:
    """Run one command in the working folder; return what it prints."""
    command, otherwise, _ = step.command.partition(_OTHERWISE)
    if not command.startswith("platewright "):
        subprocess.run(["sh", "-c", command], check=True, timeout=30)
        return ""
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(printed):
        status = main(shlex.split(command)[1:])
    assert (status != 0) == bool(otherwise), f"{command}: exit status {status}\n{printed.getvalue()}"
    return printed.getvalue() + (f"exit status {status}\n" if otherwise else "")


def missing(step: Step, printed: str) -> Iterator[tuple[str, str]]:
    """Yield each quoted line that was not printed, with the one that comes nearest, as far as it was quoted."""
    lines = {" ".join(line.split()): line for line in printed.splitlines()}
    for quoted in step.quoted:
        if not any(quoted in line for line in lines):
            near = difflib.get_close_matches(quoted, lines, n=1, cutoff=0.3)
            raw = lines[near[0]] if near else ""
            end = [m.end() for m in re.finditer(r"\S+", raw)][: len(quoted.split())]
            yield quoted, raw[: end[-1]] if end else ""


def differences(wanted: Callable[[Step], bool]) -> list[tuple[str, str]]:
    return [pair for step in steps() if wanted(step) for pair in missing(step, run(step))]


def refresh() -> None:
    """Write what is printed now in place of each quoted line that is no longer; the text round it is yours."""
    page = PAGE.read_text(encoding="utf-8").splitlines()
    home = os.getcwd()
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        changed = dict(differences(lambda step: True))
        os.chdir(home)
    renewed = [changed.get(" ".join(line.split()), line) for line in page]
    PAGE.write_text("\n".join(renewed) + "\n", encoding="utf-8")


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", WIDTH)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def test_the_page_holds_the_whole_way() -> None:
    words = [s.command.split()[1] for s in steps() if s.command.startswith("platewright ")]
    assert list(dict.fromkeys(words)) == ["new", "check", "mass", "show", "build"]
    assert sum(len(s.quoted) for s in steps()) > 25


SLOW = ("platewright mass", "platewright build")


def test_every_quoted_line_is_printed() -> None:
    """What is shown on the right is printed now; `sh scripts/tutorial` writes it into the page."""
    assert differences(lambda step: not step.command.startswith(SLOW)) == []


@pytest.mark.slow
def test_masses_and_the_kit() -> None:
    wanted = ("platewright new", "sed -i", *SLOW)
    assert differences(lambda step: step.command.startswith(wanted)) == []
    assert all(Path(line).is_file() for line in steps()[-1].quoted)


if __name__ == "__main__":
    os.environ["COLUMNS"] = WIDTH
    refresh()
