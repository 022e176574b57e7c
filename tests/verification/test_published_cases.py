"""Every case of `tests/verification/cases`, whose files name their sources, and the page that is built from them."""

import importlib.util
import sys
from pathlib import Path

import pytest

FOLDER = Path(__file__).parent
_spec = importlib.util.spec_from_file_location("verification_page", FOLDER / "page.py")
page = importlib.util.module_from_spec(_spec)
sys.modules[_spec.name] = page
_spec.loader.exec_module(page)

CASES = list(page.all_cases())
STATUS_WORDS = {"read", "copy", "formula", "memory", "measured"}


@pytest.mark.parametrize("case", [c for c in CASES if not c.unresolved], ids=lambda c: f"{c.title}: {c.what}")
def test_case_agrees_within_its_tolerance(case):
    assert case.agrees, (case.published, case.ours, case.allowed)


@pytest.mark.parametrize("case", [c for c in CASES if c.unresolved], ids=lambda c: f"{c.title}: {c.what}")
def test_unresolved_case_still_differs(case):
    """When it agrees one day, it is no longer unresolved: say so in its file."""
    assert not case.agrees


def test_every_case_says_where_it_is_from_and_why_it_may_differ():
    assert len(CASES) > 30
    for case in CASES:
        assert case.source
        assert case.reason
        assert case.status in STATUS_WORDS
        assert all(p != 0 for p in case.published)


def test_a_wrong_value_would_be_seen():
    case = next(c for c in CASES if c.what == "proof load, class 12.9")
    moved = page.Case(**{**vars(case), "ours": tuple(1.01 * value for value in case.ours)})
    assert not moved.agrees


def test_committed_page_is_fresh():
    """Build it anew with `sh scripts/verification_page`."""
    assert page.PAGE.read_text(encoding="utf-8") == page.page_text()
