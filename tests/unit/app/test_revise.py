"""Revisions: frozen whole, refused when nothing changed, what changed computed, known to stock, alterations found."""

import datetime
import errno
import json
import os
import shutil
from pathlib import Path

import jsonschema
import pytest

from platewright.app.result_schemas import result_schema
from platewright.app.revise import frozen_design, list_revisions, revise
from platewright.app.stock import count_stock, enter_frames, init_ledger
from platewright.cli import main
from platewright.foundation.errors import OutputError, RequestError
from platewright.io.revision_folder import read_revisions, revisions_folder
from platewright.study.stock_items import design_hash

EXAMPLES = Path(__file__).parents[3] / "examples"
DAY = datetime.date(2026, 3, 4)


@pytest.fixture
def heddle(tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLES, tmp_path / "designs")
    return tmp_path / "designs" / "heddle.toml"


def wider(design: Path, mm: int) -> None:
    text = design.read_text()
    assert "arm_root_width_mm = 13" in text
    design.write_text(text.replace("arm_root_width_mm = 13", f"arm_root_width_mm = {mm}"))


def test_a_second_revision_says_what_changed_and_which_parts_are_as_before(heddle: Path):
    first, folder = revise(heddle, "first batch", DAY)
    assert (first.number, first.changes) == (1, ("the first revision.",))
    assert (folder / "heddle.toml").read_bytes() == heddle.read_bytes()
    assert (folder / "common" / "base_plates.toml").is_file()
    wider(heddle, 14)
    second, folder = revise(heddle, "  arms broke\nat the root ", DAY)
    assert second.why == "arms broke at the root"
    assert second.changes[0].startswith("part arm changed: ")
    assert "arm_root_width_mm: 13 mm to 14 mm." in second.changes
    assert (second.parts["arm"], second.parts["deck"]) == (2, 1)
    assert (folder / "difference_arm.svg").read_text().startswith("<svg")
    assert [r.number for r in read_revisions(heddle)] == [1, 2]
    assert second.design_hash != first.design_hash
    assert design_hash(frozen_design(heddle, read_revisions(heddle)[0]).assembly) == first.design_hash


def test_nothing_is_frozen_twice_or_without_a_reason(heddle: Path):
    with pytest.raises(RequestError, match="--why must say"):
        revise(heddle, " ", DAY)
    assert not revisions_folder(heddle).exists()
    revise(heddle, "first", DAY)
    heddle.write_text(heddle.read_text() + "\n# only a remark\n")
    with pytest.raises(RequestError, match="says the same as revision 1 of 2026-03-04"):
        revise(heddle, "again", DAY)
    assert [p.name for p in revisions_folder(heddle).iterdir()] == ["1"]


def test_an_altered_revision_is_shown_and_nothing_is_compared_with_it(heddle: Path):
    _, folder = revise(heddle, "first", DAY)
    with (folder / "heddle.toml").open("a") as file:
        file.write("# later\n")
    assert list_revisions(heddle)[0].altered == ("heddle.toml",)
    assert main(["revise", str(heddle), "--list"]) == 1
    wider(heddle, 15)
    with pytest.raises(RequestError, match="revision 1 was altered after it was frozen"):
        revise(heddle, "wider", DAY)


def test_a_record_that_cannot_be_read_is_one_sentence(heddle: Path):
    _, folder = revise(heddle, "first", DAY)
    for text in ("{", "[]", '{"format": 1}', "null"):
        (folder / "revision.json").write_text(text)
        with pytest.raises(RequestError, match="is no record of a revision"):
            read_revisions(heddle)
    facts = {"format": 9}
    (folder / "revision.json").write_text(json.dumps(facts))
    with pytest.raises(RequestError, match="another format"):
        read_revisions(heddle)


def test_a_full_disk_leaves_no_half_revision(heddle: Path, monkeypatch: pytest.MonkeyPatch):
    def refuse(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "rename", refuse)
    with pytest.raises(OutputError, match="cannot be written"):
        revise(heddle, "first", DAY)
    assert list(revisions_folder(heddle).iterdir()) == []


def test_two_at_once_do_not_overwrite_each_other(heddle: Path, monkeypatch: pytest.MonkeyPatch):
    revise(heddle, "first", DAY)
    wider(heddle, 14)
    _, folder = revise(heddle, "wider", DAY)
    before = {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file()}
    monkeypatch.setattr("platewright.app.revise.read_revisions", lambda path: read_revisions(path)[:1])
    heddle.write_text(heddle.read_text().replace("arm_root_width_mm = 14", "arm_root_width_mm = 15"))
    with pytest.raises(OutputError, match="frozen by another process"):
        revise(heddle, "wider still", DAY)
    assert {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file()} == before


def test_the_stock_knows_what_it_holds_of_each_revision(heddle: Path, tmp_path: Path, capsys):
    ledger = str(tmp_path / "ledger.sqlite")
    init_ledger(ledger, "EUR", DAY)
    for mm, pieces in ((13, 7), (14, 3)):
        if mm != 13:
            wider(heddle, mm)
        revise(heddle, f"root of {mm} mm", DAY)
        entered = enter_frames(ledger, [heddle], DAY)[0]
        count_stock(ledger, next(p.item for p in entered.parts if p.part == "arm"), pieces, DAY, reason="first count")
    rows = list_revisions(heddle, ledger)
    arms = [[(s.part, s.on_hand) for s in row.stock if s.part == "arm"] for row in rows]
    assert arms == [[("arm", 7)], [("arm", 3)]]
    decks = {s.item for row in rows for s in row.stock if s.part == "deck"}
    assert len(decks) == 1
    assert main(["revise", str(heddle), "--list", "--ledger", ledger]) == 0
    assert "in stock: part arm is arm-" in capsys.readouterr().out


def test_json_is_as_its_schema_says(heddle: Path, capsys):
    assert main(["revise", str(heddle), "--why", "first", "--json"]) == 0
    jsonschema.validate(json.loads(capsys.readouterr().out), result_schema("revise"))
