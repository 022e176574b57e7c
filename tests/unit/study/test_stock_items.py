"""What a frame asks of the stock follows from its bill, and its hash from what the kit is."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from platewright.app.load import load
from platewright.assembly.bill import bill_of_materials
from platewright.model.design import Design
from platewright.study.check import mass_report
from platewright.study.stock_items import FrameItems, design_hash, frame_items, item_code

ROOT = Path(__file__).parents[3]
DESIGNS = [
    *(ROOT / "examples" / f"{name}.toml" for name in ("bobbin", "heddle", "shuttle", "heddle_long")),
    *sorted((ROOT / "tests" / "designs").glob("*.toml")),
]


@pytest.mark.parametrize("path", DESIGNS, ids=[path.stem for path in DESIGNS])
def test_needs_are_the_bill_and_every_part_can_be_measured(path: Path):
    assembly = load(path).assembly
    items = frame_items(assembly)
    bill = [line for line in bill_of_materials(assembly) if line.quantity]
    assert sum(n.quantity + n.spares for n in items.needs) == sum(b.quantity + b.spares for b in bill)
    assert {n.item for n in items.needs if not n.included} == {
        item_code(b.record) for b in bill if b.kind == "equipment"
    }
    assert {n.item for n in items.needs if n.is_part} == {p.name for p in items.parts}
    codes = [b.code for b in items.bought]
    assert len(codes) == len(set(codes))
    for part in items.parts:
        features = {f.name: f for f in part.features}
        assert features["mass_g"].low < part.mass_g < features["mass_g"].high
        assert features["thickness_mm"].nominal == part.identity.thickness
        diameters = {round(2 * c.radius, 3) for c in part.identity.outline.circles}
        assert len(features) == 2 + len(diameters)
    assert items.mass_g == pytest.approx(mass_report(assembly).bare.mass_g)


def items_of(text: str, folder: Path, name: str) -> FrameItems:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return frame_items(load(path).assembly)


def test_the_hash_follows_what_is_built_and_not_how_it_is_written(tmp_path: Path):
    text = (ROOT / "examples" / "bobbin.toml").read_text(encoding="utf-8")
    assert 'revision = "' not in text
    one = items_of(text, tmp_path, "one.toml")
    other = items_of("# a remark\n" + text, tmp_path, "other.toml")
    assert one.design_hash == other.design_hash
    changed = items_of(text.replace('name = "Bobbin"', 'name = "Bobbin"\nrevision = "B"'), tmp_path, "changed.toml")
    assert changed.design_hash != one.design_hash


class LaterDesign(Design):
    """As a later version may have it, with a key that no file of today gives."""

    engraved_by: str = ""


def test_a_key_that_a_later_version_adds_leaves_the_hash_as_it_was(monkeypatch: pytest.MonkeyPatch):
    assembly = load(ROOT / "examples" / "heddle.toml").assembly
    later = LaterDesign.model_validate(assembly.design.model_dump())
    assert "engraved_by" in later.model_dump()
    assert design_hash(dataclasses.replace(assembly, design=later)) == design_hash(assembly)
    named = later.model_copy(update={"engraved_by": "L. P."})
    assert design_hash(dataclasses.replace(assembly, design=named)) != design_hash(assembly)
    monkeypatch.setattr("platewright.__version__", "99.0")
    assert design_hash(load(ROOT / "examples" / "heddle.toml").assembly) == design_hash(assembly)


def test_values_written_in_other_words_have_one_hash(tmp_path: Path):
    text = (ROOT / "examples" / "bobbin.toml").read_text(encoding="utf-8")
    one = items_of(text, tmp_path, "one.toml")
    same = items_of(text.replace('name = "Bobbin"', 'name = "Bobbin"\nrevision = "A"'), tmp_path, "same.toml")
    assert one.design_hash == same.design_hash
