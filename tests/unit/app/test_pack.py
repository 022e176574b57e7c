"""A packed kit: every piece of the parts list is in one bag, the smallest carton, labels whose codes can be read."""

import csv
import json
import re
from collections import Counter
from decimal import Decimal
from pathlib import Path

import jsonschema
import pytest
import segno

from platewright.app.load import load
from platewright.app.pack import pack, packing_json, write_packing
from platewright.app.result_schemas import result_schema
from platewright.assembly.bill import bill_of_materials, hardware_name
from platewright.assembly.mass import mass_items
from platewright.assembly.order import assembly_order
from platewright.cli import main
from platewright.foundation.errors import DesignFileError, OutputError, RequestError
from platewright.io.drawing.qr import qr_svg
from platewright.io.pdf.packing import PARCEL_CAUTIONS, bag_text, kit_text, labels_document, list_document
from platewright.model.catalogue import load_catalogue
from platewright.model.design import Checks
from platewright.study.hardware_bags import hardware_bags

ROOT = Path(__file__).parents[3]
EXAMPLES = ROOT / "examples"
SHOP = EXAMPLES / "shop" / "shop.toml"
DESIGNS = sorted((*EXAMPLES.glob("*.toml"), *(ROOT / "tests" / "designs").glob("*.toml")))
HEDDLE = EXAMPLES / "heddle.toml"


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
@pytest.mark.parametrize("most", [None, 4, 1])
def test_every_piece_of_hardware_is_in_one_bag(path: Path, most: int | None):
    assembly = load(path).assembly
    bags, _ = hardware_bags(assembly, most)
    bill = [line for line in bill_of_materials(assembly) if line.kind not in ("part", "equipment")]
    built = sum((Counter({x.item: x.quantity for x in bag.lines}) for bag in bags if bag.steps), Counter())
    assert built == Counter({line.item: line.quantity for line in bill if line.quantity})
    spare = next(bag for bag in bags if not bag.steps)
    assert {x.item: x.quantity for x in spare.lines} == {line.item: line.spares for line in bill if line.spares}
    assert [bag.number for bag in bags] == list(range(1, len(bags) + 1))
    if most is not None:
        assert len(bags) <= max(most, 2)


def test_a_screw_is_in_the_bag_of_the_step_that_drives_it():
    assembly = load(HEDDLE).assembly
    bags, _ = hardware_bags(assembly)
    for step in assembly_order(assembly).steps:
        for fit in step.screws:
            bag = next(b for b in bags if step.number in b.steps)
            assert any(line.item.startswith(f"screw {fit.line.items[fit.index].word.size}x") for line in bag.lines)
    steps = [n for bag in bags for n in bag.steps]
    assert steps == sorted(steps)


def test_masses_are_those_of_the_frame():
    packing = pack(HEDDLE)
    assembly = load(HEDDLE).assembly
    plates = sum(p.quantity * p.mass_g for p in packing.plates)
    assert packing.net_mass_g == pytest.approx(plates + sum(bag.mass_g for bag in packing.bags))
    assert len(packing.plates) == len(assembly.parts)
    assert packing.parcel is not None
    assert packing.parcel.mass_g == pytest.approx(packing.net_mass_g + 35)
    air = packing.parcel.billed[1]
    assert air.volumetric_kg == pytest.approx(27 * 19 * 4 / 5000)
    assert (air.billed_kg, air.price) == (0.5, Decimal("19.5"))
    assert packing.customs is not None
    assert packing.customs.value == Decimal(89)


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
def test_all_hardware_is_weighed(path: Path):
    assembly = load(path).assembly
    _, not_weighed = hardware_bags(assembly)
    assert not_weighed == ()


def test_grommets_of_a_kit_weigh_what_their_records_say():
    assembly = load(HEDDLE).assembly
    spares = hardware_bags(assembly)[0][-1]
    grommets = [line for line in bill_of_materials(assembly) if line.kind == "grommet"]
    rubber = sum(g.spares * assembly.catalogue.grommet(g.item.removeprefix("grommet ")).mass_g for g in grommets)
    masses = {m.name: m.mass * 1e6 for m in mass_items(assembly)}
    lengths = {(s.line.name, s.index): s.length for s in assembly.screws}
    metal = {
        hardware_name(item, lengths.get((line.name, n), item.word.length_mm or 0.0)): masses[f"{line.name}#{n + 1}"]
        for line in assembly.lines
        for n, item in enumerate(line.items)
        if f"{line.name}#{n + 1}" in masses and item.record is not None
    }
    assert rubber > 0
    rest = sum(line.quantity * metal[line.item] for line in spares.lines if not line.item.startswith("grommet"))
    assert spares.mass_g == pytest.approx(rubber + rest)


def test_the_usual_share_of_spares_is_the_rule_of_the_catalogue():
    assert load_catalogue().rule("packing.spare_fraction").value == Checks().spare_fraction


def test_a_kit_that_fits_no_carton_is_said(tmp_path: Path, capsys):
    shop = tmp_path / "shop.toml"
    text = SHOP.read_text()
    shop.write_text(text.replace("inner_mm = [260, 180, 35]", "inner_mm = [100, 80, 35]", 1))
    larger = pack(HEDDLE, shop)
    assert larger.parcel is not None
    assert larger.parcel.carton == "flat box"
    shop.write_text(re.sub(r"inner_mm = \[\d+, \d+, \d+\]", "inner_mm = [100, 80, 35]", text))
    small = pack(HEDDLE, shop)
    assert small.parcel is None
    assert small.too_large == "no carton of the shop file holds it: its longest plate is 134 mm"
    assert main(["pack", str(HEDDLE), "--shop", str(shop)]) == 1
    assert "no parcel: no carton" in capsys.readouterr().out


MISTAKES = [
    ('hs_heading = "8807.30"', 'hs_heading = "88"', "hs_heading"),
    ('origin = "NL"', 'origin = "Netherlands"', "origin"),
    ("inner_mm = [260, 180, 35]", "inner_mm = [260, 180, 45]", "must be at most outer_mm"),
    ("{ up_to_kg = 0.5, price = 8.10 }", "{ up_to_kg = 0.2, price = 8.10 }", "larger and larger masses"),
    ("divisor_cm3_per_kg = 5000", "divisor_cm3_per_kg = 0", "divisor_cm3_per_kg"),
    ("[customs]", "[[customs]]", "must be a table"),
]


@pytest.mark.parametrize(("good", "bad", "words"), MISTAKES, ids=[m[2] for m in MISTAKES])
def test_a_wrong_shop_file_is_a_sentence_with_its_line(tmp_path: Path, good: str, bad: str, words: str):
    text = SHOP.read_text()
    assert good in text
    (tmp_path / "shop.toml").write_text(text.replace(good, bad, 1))
    with pytest.raises(DesignFileError) as caught:
        pack(HEDDLE, tmp_path / "shop.toml")
    (problem,) = caught.value.problems
    assert words in f"{problem.path} {problem.message}"
    assert problem.line is not None


def test_the_folder_is_whole_and_the_same_each_time(tmp_path: Path):
    packing = pack(HEDDLE, number="heddle-9fc1e1-00007")
    write_packing(packing, tmp_path / "one")
    write_packing(packing, tmp_path / "two")
    names = sorted(p.name for p in (tmp_path / "one").iterdir())
    assert names == ["labels.pdf", "manifest.json", "packing.json", "packing_list.csv", "packing_list.pdf"]
    for name in names:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
    rows = list(csv.DictReader((tmp_path / "one" / "packing_list.csv").read_text().splitlines()))
    pieces = sum(p.quantity for p in packing.plates) + sum(b.pieces for b in packing.bags)
    assert sum(int(r["pieces"]) for r in rows) == pieces + sum(n for _, n in packing.material)
    data = json.loads(packing_json(packing))
    assert data["number"] == "heddle-9fc1e1-00007"
    jsonschema.validate(data, result_schema("pack"))
    other = tmp_path / "mine"
    other.mkdir()
    (other / "note.txt").write_text("kept")
    with pytest.raises(OutputError):
        write_packing(packing, other)
    assert [p.name for p in other.iterdir()] == ["note.txt"]


def test_codes_hold_what_they_say_and_cautions_are_printed():
    packing = pack(HEDDLE, number="K7")
    assert kit_text(packing).split("\n")[:2] == ["Heddle", "revision A"]
    assert kit_text(packing).endswith("\nK7")
    text = bag_text(packing, packing.bags[0])
    svg = qr_svg(text)
    dark = {(int(x) + k, int(y)) for x, y, n in re.findall(r"M(\d+) (\d+)h(\d+)v1", svg) for k in range(int(n))}
    matrix = segno.make_qr(text, error="m").matrix
    assert dark == {(x + 4, y + 4) for y, row in enumerate(matrix) for x, bit in enumerate(row) if bit}
    for document in (list_document(packing), labels_document(packing)):
        assert set(PARCEL_CAUTIONS) <= set(document.data["cautions"])
    with pytest.raises(RequestError, match="at most 80 characters"):
        pack(HEDDLE, number="x" * 81)
