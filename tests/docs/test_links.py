"""Links between documents lead somewhere, and names of code in them exist."""

from __future__ import annotations

import importlib
import re
from pathlib import Path

import pytest

from platewright.cli.main import app

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / name for name in ("README.md", "CONTRIBUTING.md", "CHANGELOG.md")] + sorted(ROOT.glob("docs/**/*.md"))
_LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
_CODE_NAME = re.compile(r"`(platewright(?:\.\w+)+)`")
_FILE = re.compile(r"`((?:docs|src|tests|scripts|examples|benchmarks)/[\w./-]+)`")


def headings(page: Path) -> set[str]:
    """Return the anchors of a page."""
    titles = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), flags=re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


def name_of(page: Path) -> str:
    return str(page.relative_to(ROOT))


@pytest.mark.parametrize("page", PAGES, ids=name_of)
def test_links_lead_to_files_and_headings(page: Path) -> None:
    for link in _LINK.findall(page.read_text(encoding="utf-8")):
        path, _, anchor = link.partition("#")
        target = (page.parent / path).resolve() if path else page
        assert target.exists(), link
        assert not anchor or anchor in headings(target), link


@pytest.mark.parametrize("page", PAGES, ids=name_of)
def test_names_of_code_exist(page: Path) -> None:
    for dotted in _CODE_NAME.findall(page.read_text(encoding="utf-8")):
        assert resolves(dotted), dotted


@pytest.mark.parametrize("page", PAGES, ids=name_of)
def test_named_files_exist(page: Path) -> None:
    for name in _FILE.findall(page.read_text(encoding="utf-8")):
        assert (ROOT / name).exists(), name


def test_every_page_is_reached_from_the_readme() -> None:
    reached, waiting = set(), [ROOT / "README.md"]
    while waiting:
        page = waiting.pop()
        if page in reached:
            continue
        reached.add(page)
        links = (link.partition("#")[0] for link in _LINK.findall(page.read_text(encoding="utf-8")))
        waiting += [t for link in links if link.endswith(".md") and (t := (page.parent / link).resolve()).exists()]
    assert {name_of(page) for page in PAGES} - {name_of(page) for page in reached} == set()


def test_the_readme_names_every_command_and_no_other() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    commands = {name for name in app if not name.startswith("-")}
    assert set(re.findall(r"^\| `platewright ([\w-]+)` \|", text, flags=re.MULTILINE)) == commands
    assert set(re.findall(r"^platewright (\w+) ", text, flags=re.MULTILINE)) <= commands


def test_theory_pages_name_what_computes_them() -> None:
    theory = sorted(ROOT.glob("docs/theory/*.md"))
    assert len(theory) >= 7
    assert [page.name for page in theory if not _CODE_NAME.search(page.read_text(encoding="utf-8"))] == []


def resolves(dotted: str) -> bool:
    """Whether a dotted name is a module, or something in one."""
    parts = dotted.split(".")
    for count in range(len(parts), 0, -1):
        try:
            found: object = importlib.import_module(".".join(parts[:count]))
        except ModuleNotFoundError:
            continue
        for part in parts[count:]:
            if not hasattr(found, part):
                return False
            found = getattr(found, part)
        return True
    return False
