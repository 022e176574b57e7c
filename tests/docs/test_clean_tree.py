"""The files of the project name no machine, no address and no work of another kind than the project's own."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LEFT_OUT = {line.strip("/ ") for line in (ROOT / ".gitignore").read_text(encoding="utf-8").split()} | {".git"}
BINARY = {".ttf", ".png", ".pdf", ".glb"}
# Each in a form that does not match itself.
MACHINE_PATHS = [
    r"/wor[k]/",
    r"/roo[t]/",
    r"/hom[e]/",
    r"/User[s]/",
    r"/tm[p]/",
    r"\bshare[d]/(?:design|style|reference)",
]
WORDS = [r"\bprototyp[e]s?\b", r"\bsessio[n]s?\b", r"\bTOD[O]\b", r"\bFIXM[E]\b", r"\bXX[X]\b"]
ADDRESS = re.compile(r"https?://([\w.-]+)")
NAMESPACES = {"www.w3.org", "json-schema.org", "www.inkscape.org", "sodipodi.sourceforge.net"}


def files() -> Iterator[Path]:
    """Yield every text file that belongs to the project."""
    for path in sorted(ROOT.rglob("*")):
        parts = path.relative_to(ROOT).parts
        if any(part in LEFT_OUT or part.endswith(".egg-info") for part in parts):
            continue
        if path.is_file() and path.suffix not in BINARY | {".pyc"}:
            yield path


TEXTS = {str(path.relative_to(ROOT)): path.read_text(encoding="utf-8") for path in files()}


def hits(pattern: str, flags: int = 0) -> list[str]:
    found = re.compile(pattern, flags)
    return [
        f"{name}:{text.count(chr(10), 0, match.start()) + 1}"
        for name, text in TEXTS.items()
        for match in found.finditer(text)
    ]


def test_the_tree_was_read() -> None:
    assert {"README.md", "src/platewright/__init__.py", ".ci/run", "scripts/install"} <= set(TEXTS)
    assert not any(".venv" in name or "__pycache__" in name for name in TEXTS)


@pytest.mark.parametrize("pattern", MACHINE_PATHS)
def test_no_path_of_a_machine(pattern: str) -> None:
    assert hits(pattern) == []


@pytest.mark.parametrize("pattern", WORDS)
def test_no_word_of_unfinished_or_foreign_work(pattern: str) -> None:
    assert hits(pattern, re.IGNORECASE) == []


def test_no_address_but_names_of_formats() -> None:
    strange = {f"{name}: {host}" for name, text in TEXTS.items() for host in ADDRESS.findall(text)}
    assert {s for s in strange if s.partition(": ")[2] not in NAMESPACES} == set()


def test_the_lock_file_names_no_place_to_fetch_from() -> None:
    assert not re.search(r"index|--find-links|@|//", TEXTS["requirements.lock"])


def test_nothing_is_read_from_outside_the_project() -> None:
    """Paths in the code start from the file itself, the folder of a design or what the caller gives."""
    source = {name: text for name, text in TEXTS.items() if name.startswith(("src/", "tests/", "benchmarks/"))}
    absolute = re.compile(r"""Path\(["']/(?!dev/null)""")
    assert [name for name, text in source.items() if absolute.search(text)] == []
