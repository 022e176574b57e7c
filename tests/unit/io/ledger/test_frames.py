"""A kit is known again only if its bill is the same, whatever the design says."""

from __future__ import annotations

import dataclasses
from pathlib import Path

from ledgers import DAY, frame
from platewright.io.ledger.frames import enter_frame
from platewright.io.ledger.making import create_ledger


def test_another_part_under_the_same_design_hash_is_another_kit(tmp_path: Path):
    with_drawing = frame(arm_mm=60.0)
    redrawn = dataclasses.replace(frame(arm_mm=62.0), design_hash=with_drawing.design_hash)
    ledger = create_ledger(str(tmp_path / "l.sqlite"), "EUR", DAY)
    first = ledger.write(lambda c: enter_frame(c, with_drawing, DAY))
    assert not ledger.write(lambda c: enter_frame(c, with_drawing, DAY)).kit_is_new
    second = ledger.write(lambda c: enter_frame(c, redrawn, DAY))
    assert second.kit_is_new
    assert second.kit != first.kit
    ledger.close()
