"""What `platewright stock` and `plan` say where something is wrong, once for each cause."""

from __future__ import annotations

from pathlib import Path

import pytest

from platewright.cli import main


@pytest.fixture
def ledger(tmp_path: Path) -> str:
    address = str(tmp_path / "ledger.sqlite")
    for words in (
        ["init"],
        ["supplier", "bolts", "bolt shop"],
        ["add", "box", "packing", "box", "--check"],
        ["receive", "bolts", "box=200", "--lot", "B1"],
    ):
        assert main(["stock", *words, "--ledger", address]) == 0
    return address


@pytest.mark.parametrize(("acceptable", "tolerated"), [("10", "5"), ("9.9", "10"), ("-1", "10")])
def test_shares_that_give_no_plan_are_one_sentence(ledger: str, capsys, acceptable: str, tolerated: str):
    words = ["--acceptable-percent", acceptable, "--tolerated-percent", tolerated]
    assert main(["stock", "inspect", "box", "B1", *words, "--ledger", ledger]) == 1
    assert "--acceptable-percent must be below --tolerated-percent" in capsys.readouterr().err


def test_a_file_of_decimal_commas_is_one_sentence(ledger: str, tmp_path: Path, capsys):
    file = tmp_path / "prices.csv"
    rows = "".join(f"bolts;box;{n};1,{n:02d}\n" for n in range(1, 41))
    file.write_text("supplier;item;minimum_quantity;unit_price\n" + rows)
    assert main(["stock", "import", "prices", str(file), "--ledger", ledger]) == 1
    said = capsys.readouterr().err
    assert said.count("has a comma") == 1
    assert "39 more cells have one" in said


def test_a_wrong_quantity_is_told_once(ledger: str, tmp_path: Path, capsys):
    file = tmp_path / "sales.csv"
    file.write_text("item,quantity\nbox,x\n")
    assert main(["stock", "import", "sales", str(file), "--ledger", ledger]) == 1
    said = capsys.readouterr().err
    assert said.count("sales.csv:2") == 1


def test_a_check_says_what_was_looked_at_and_what_went_out(ledger: str, capsys):
    assert main(["stock", "inspect", "box", "B1", "--book", "--by-eye", "1", "--ledger", ledger]) == 0
    assert "52 looked at, 1 faulty, 2 allowed; they went out of stock." in capsys.readouterr().out


def test_an_item_that_is_to_be_had_again_is_named(ledger: str, capsys):
    assert main(["stock", "discontinue", "box", "--ledger", ledger]) == 0
    assert main(["stock", "discontinue", "box", "--again", "--ledger", ledger]) == 0
    assert "box is to be had again." in capsys.readouterr().out


def test_an_option_out_of_range_is_shown(ledger: str, capsys):
    assert main(["plan", "--service-percent", "100", "--ledger", ledger]) == 1
    assert "--service-percent must be from 50 to below 100 (got 100)." in capsys.readouterr().err
