"""The errors page has one section for each code, and no other."""

from __future__ import annotations

import re
from pathlib import Path

from platewright.io.ledger.codes import LEDGER_CODES
from platewright.model.problem_codes import PROBLEM_CODES
from platewright.study.codes import FINDING_CODES

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "reference" / "errors.md"
_USED = re.compile(r'"([a-z]+\.[a-z_]+)"')


def test_headings_are_the_codes() -> None:
    headings = re.findall(r"^### (\S+)$", PAGE.read_text(encoding="utf-8"), flags=re.MULTILINE)
    assert sorted(headings) == sorted({*PROBLEM_CODES, *FINDING_CODES, *LEDGER_CODES})


def test_every_section_says_something() -> None:
    sections = re.split(r"^###? ", PAGE.read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]
    empty = [section.split("\n")[0] for section in sections if "." in section.split("\n")[0] and len(section) < 60]
    assert empty == []


def test_every_code_in_the_list_is_used_in_the_code_and_no_other() -> None:
    sources = [*(ROOT / "src/platewright/io/design_file").glob("*.py")]
    sources += [
        ROOT / "src/platewright/model" / name
        for name in ("references.py", "stack_references.py", "load_case_references.py")
    ]
    sources += [ROOT / "src/platewright" / name for name in ("model/part_file.py", "io/part_file.py", "app/load.py")]
    sources += [
        ROOT / "src/platewright" / name for name in ("model/shop.py", "io/shop_file.py", "assembly/load_places.py")
    ]
    families = {code.partition(".")[0] for code in PROBLEM_CODES}
    used = {
        code
        for source in sources
        for code in _USED.findall(source.read_text(encoding="utf-8"))
        if code.partition(".")[0] in families and not code.endswith((".json", ".toml", "_mm"))
    }
    assert used == set(PROBLEM_CODES)


def test_every_finding_in_the_list_is_used_in_the_code_and_no_other() -> None:
    used = set()
    for source in (ROOT / "src/platewright/study").glob("*_findings.py"):
        used |= set(re.findall(r'Finding\(\s*"([a-z_.]+)"', source.read_text(encoding="utf-8")))
    assert used == set(FINDING_CODES)
