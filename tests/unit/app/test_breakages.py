"""Breakages from a file or a ledger: sentences, JSON, pictures, and every wrong cell in one sentence."""

import datetime
import json
import shutil
from pathlib import Path

import jsonschema
import pytest

from platewright.app.breakages import breakages, breakages_json
from platewright.app.load import load
from platewright.app.result_schemas import result_schema
from platewright.app.revise import revise
from platewright.app.stock import count_stock, enter_frames, init_ledger, pack_kits, require_check, sell_stock
from platewright.app.stock_reports import list_stock
from platewright.app.strength import strength_study
from platewright.cli import main
from platewright.foundation.errors import DesignFileError, LedgerError, RequestError
from platewright.geometry.loops import bounding_box
from platewright.io.drawing.breaks import breaks_svg
from platewright.study.first_failures import ComputedPlace, computed_places

EXAMPLES = Path(__file__).parents[3] / "examples"
HEDDLE = EXAMPLES / "heddle.toml"
REPORTS = EXAMPLES / "shop" / "heddle_breakages.csv"
DAY = datetime.date(2026, 3, 4)


def test_the_example_says_that_one_sheet_was_bad_and_no_more():
    found = breakages(HEDDLE, DAY, reports=REPORTS)
    (arm,) = found.parts
    old, new = arm.numbers.revisions
    assert [(r.broken, r.sold) for r in (old, new)] == [(21, 240), (4, 160)]
    assert [lot.lot for lot in old.lots if lot.stands_out] == ["A13"]
    text = "\n".join(arm.sentences)
    assert "9 and 4 broken tell this much and no more" in text
    assert sum(p[3] for p in arm.places) + arm.without_place == 25
    data = json.loads(breakages_json(found))
    assert data["parts"][0]["numbers"]["revisions"][0]["rate"]["events"] == 21


def test_every_wrong_cell_is_a_problem_of_its_line(tmp_path: Path):
    path = tmp_path / "r.csv"
    path.write_text(
        "kind,part,revision,pieces,x_mm,y_mm,hours\n"
        "broke,arm,1,1,,,\n"
        "broken,arn,1,1,,,\n"
        "broken,arm,0,1,,,\n"
        "broken,arm,1,0,,,\n"
        "broken,arm,1,1,900,0,\n"
        "broken,arm,1,1,40,,\n"
        "broken,arm,1,1,,,-2\n"
        "whole,arm,1,1,,,\n"
        "withdrawn,arm,1,1,,,\n"
    )
    with pytest.raises(DesignFileError) as caught:
        breakages(HEDDLE, DAY, reports=path)
    assert [p.line for p in caught.value.problems] == [2, 3, 4, 5, 6, 7, 8, 9, 10]
    said = [p.message for p in caught.value.problems]
    assert "did you mean arm?" in said[1]
    assert said[4].startswith("lies off the part (got 900, 0; it reaches from -16, -13 to 107, 13)")


def test_what_is_not_there_is_one_sentence(tmp_path: Path):
    with pytest.raises(RequestError, match="name a CSV file of reports, or a ledger"):
        breakages(HEDDLE, DAY)
    with pytest.raises(RequestError, match="has no part 'wing'"):
        breakages(HEDDLE, DAY, reports=REPORTS, part="wing")
    with pytest.raises(RequestError, match="no report of part deck"):
        breakages(HEDDLE, DAY, reports=REPORTS, part="deck")
    with pytest.raises(LedgerError, match="there is no ledger"):
        breakages(HEDDLE, DAY, ledger=str(tmp_path / "none.sqlite"))


def test_a_ledger_counts_its_own_sales_by_revision_and_lot(tmp_path: Path):
    shutil.copytree(EXAMPLES, tmp_path / "designs")
    design, ledger = tmp_path / "designs" / "heddle.toml", str(tmp_path / "ledger.sqlite")
    init_ledger(ledger, "EUR", DAY)
    revise(design, "first", DAY)
    enter_frames(ledger, [design], DAY)
    for row in list_stock(ledger):
        if row.kind in ("part", "hardware"):
            if row.kind == "part":
                require_check(ledger, row.item, False)
            count_stock(ledger, row.item, 500, DAY, reason="first count")
    pack_kits(ledger, "heddle", 5, DAY)
    sell_stock(ledger, ["heddle=3"], DAY, "a buyer", "1")
    path = tmp_path / "r.csv"
    path.write_text("kind,part,revision,reference\nbroken,arm,1,R1\n")
    found = breakages(design, DAY, reports=path, ledger=ledger)
    arm = next(p for p in found.parts if p.numbers.part == "arm")
    assert (found.booked, arm.numbers.revisions[0].broken, arm.numbers.revisions[0].sold) == (1, 1, 12)
    path.write_text("kind,part,revision\nbroken,arm,2\n")
    with pytest.raises(DesignFileError, match="must be a frozen revision"):
        breakages(design, DAY, reports=path, ledger=ledger)
    again = breakages(design, DAY, ledger=ledger, part="arm")
    assert again.parts[0].numbers == arm.numbers


def test_the_picture_shows_each_place_and_each_computed_one():
    outline = load(HEDDLE).assembly.parts["arm"].outline
    places = [(42.0, 1.0, 1, 1), (66.0, -2.0, 2, 3)]
    computed = [ComputedPlace((42.0, 1.8), ("tip from above 1", "belly landing"), ("belly landing",))]
    svg = breaks_svg(outline, "arm", places, computed, 2)
    for words in (
        "4 broken at known places; place not known of 2 more",
        "broke here, revision 2",
        "1: computed to fail first here at belly landing (first of all), tip from above 1",
    ):
        assert words in svg
    bare = breaks_svg(outline, "arm", [], [], 1)
    assert "per cm" not in bare
    assert svg == breaks_svg(outline, "arm", places, computed, 2)


def test_from_the_command_line(capsys):
    assert main(["breakages", str(HEDDLE), "--csv", str(REPORTS), "--part", "arm"]) == 0
    assert "lot A13 stands out" in capsys.readouterr().out
    assert main(["breakages", str(HEDDLE)]) == 1


def test_pictures_are_drawn_beside_the_computed_places(tmp_path: Path):
    out = tmp_path / "breaks"
    assert main(["breakages", str(HEDDLE), "--csv", str(REPORTS), "--out", str(out)]) == 0
    assert sorted(p.name for p in out.iterdir()) == ["breaks_arm.png", "breaks_arm.svg"]
    svg = (out / "breaks_arm.svg").read_text()
    assert "1: computed to fail first here at" in svg
    assert "(first of all)" in svg
    blocked = tmp_path / "file"
    blocked.write_text("kept")
    assert main(["breakages", str(HEDDLE), "--csv", str(REPORTS), "--out", str(blocked)]) == 1
    assert blocked.read_text() == "kept"


def test_the_computed_places_lie_on_the_part_and_are_the_studys_first_failures():
    study = strength_study(HEDDLE)
    assembly = load(HEDDLE).assembly
    places = computed_places(assembly, study, "arm")
    hits = {row.case: row.first_failure for row in study.strength.cases if row.energy_j is not None}
    assert sorted(case for place in places for case in place.cases) == sorted(hits)
    first = {case for place in places for case in place.first_of_all}
    assert first == {case for case, what in hits.items() if what.startswith("plate arm")}
    outline = assembly.parts["arm"].outline
    x0, y0, x1, y1 = bounding_box(outline)
    assert all(x0 <= p.at_mm[0] <= x1 and y0 <= p.at_mm[1] <= y1 for p in places)
    assert computed_places(assembly, study, "none") == ()


def test_json_is_as_its_schema_says_even_where_numbers_are_without_end(tmp_path: Path):
    jsonschema.validate(json.loads(breakages_json(breakages(HEDDLE, DAY, reports=REPORTS))), result_schema("breakages"))
    file = tmp_path / "none_broke.csv"
    file.write_text("kind,part,revision,pieces\nsold,arm,1,40\nsold,arm,2,40\nbroken,arm,2,3\n")
    data = json.loads(breakages_json(breakages(HEDDLE, DAY, reports=file)))
    assert data["parts"][0]["numbers"]["compared"][0]["ratio"]["value"] is None
    jsonschema.validate(data, result_schema("breakages"))
