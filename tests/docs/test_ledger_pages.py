"""The ledger's page is the one that its tables give, and its codes are those that the code uses."""

from __future__ import annotations

import re
from pathlib import Path

from platewright.io.ledger.codes import LEDGER_CODES
from platewright.io.ledger.reference_page import reference_page

ROOT = Path(__file__).parents[2]
SOURCES = [*(ROOT / "src/platewright/io/ledger").glob("*.py"), ROOT / "src/platewright/app/stock.py"]


def test_the_page_is_fresh() -> None:
    assert (ROOT / "docs/reference/ledger.md").read_text(encoding="utf-8") == reference_page()


def test_every_code_is_used_and_no_other() -> None:
    used = set()
    for source in SOURCES:
        if source.name != "codes.py":
            used |= set(re.findall(r'"((?:ledger|csv)\.[a-z_]+)"', source.read_text(encoding="utf-8")))
    used |= {f"ledger.unknown_{what}" for what in ("item", "kit", "supplier")}  # made of its last word
    assert used - {"ledger.sqlite"} == set(LEDGER_CODES)
