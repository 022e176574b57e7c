"""A product line from the command line: tables, JSON by its schema, pictures, refusals."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import jsonschema
import pytest

from platewright.app.result_schemas import result_schema
from platewright.cli import main

ROOT = Path(__file__).parents[2]
PAIR = [str(ROOT / "tests" / "designs" / f"{name}.toml") for name in ("hexa", "coaxial")]


def test_report_pictures_and_json(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("COLUMNS", "110")
    assert main(["line", *PAIR, "--out", str(tmp_path / "near"), "--expect", "Hexa=20"]) == 0
    text = capsys.readouterr().out
    assert "Nearly one: Hexa cheek, and Coaxial cheek." in text
    assert "Move 1 hole by up to 0.40 mm, then check both frames." in text
    picture = tmp_path / "near" / "near_hexa_cheek_coaxial_cheek.svg"
    assert ElementTree.parse(picture).getroot().tag.endswith("svg")
    assert main(["line", *PAIR, "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(result_schema("line")).validate(report)
    assert report["near"][0]["differences"][0]["kind"] == "hole_moved"


def test_work_of_one_kind_of_part_is_the_shops(capsys: pytest.CaptureFixture[str]):
    """Five minutes (the usual) at the bench's 26.00 an hour of the example shop."""
    shop = str(ROOT / "examples" / "shop" / "shop.toml")
    assert main(["line", *PAIR, "--json", "--shop", shop]) == 0
    saving = json.loads(capsys.readouterr().out)["near"][0]["saving"]
    assert saving["money_per_batch"] == pytest.approx(5 / 60 * 26.0, abs=0.005)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (PAIR[:1], "a product line needs two frames or more (got 1)"),
        ([], "a product line needs two frames or more (got 0)"),
        ([*PAIR, "--within-mm", "0"], "--within-mm must be above 0"),
        ([*PAIR, "--within-mm", "nan"], "--within-mm must be above 0"),
        ([*PAIR, "--lead-days", "-1"], "--lead-days must be 0 to 1000."),
        ([*PAIR, "--service-percent", "100"], "--service-percent must lie between 50 and 100."),
        ([*PAIR, "--least-pieces", "0"], "--least-pieces must be 1 to 100000."),
        ([*PAIR, "--expect", "Heddle=3"], "no frame of the line is called 'Heddle'"),
        ([*PAIR, "--shop", "none.toml"], "none.toml"),
    ],
)
def test_bad_requests_are_one_sentence(words: list[str], said: str, capsys: pytest.CaptureFixture[str]):
    assert main(["line", *words]) == 1
    got = capsys.readouterr()
    assert said in got.err
    assert got.out == ""
