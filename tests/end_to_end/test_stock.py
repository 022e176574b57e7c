"""The stock from the command line: the example frames entered, cut parts checked, kits packed, sold, sent back."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from platewright.cli import main

EXAMPLES = Path(__file__).parents[2] / "examples"
FRAMES = ("bobbin", "heddle", "shuttle")
Run = Callable[..., str]


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run `platewright stock ...` on a ledger in a folder of its own; the exit status must be the expected one."""

    def call(*words: str, status: int = 0) -> str:
        got = main(["stock", *words, "--ledger", str(tmp_path / "ledger.sqlite")])
        out, err = capsys.readouterr()
        assert got == status, err
        return out if status == 0 else out + err

    return call


def test_from_designs_to_a_returned_arm(run: Run, tmp_path: Path):
    assert run("init") == "made a new ledger.\n"
    run("add", "box_small", "packing", "box 250x180x60")
    frames = [str(EXAMPLES / f"{name}.toml") for name in FRAMES]
    entered = json.loads(run("items", *frames, "--also", "box_small=1", "--json"))
    parts = {(f["frame"], p["part"]): p for f in entered for p in f["parts"]}
    for shared in ("base_lower", "base_upper", "cheek"):
        assert parts["Shuttle", shared]["item"] == parts["Heddle", shared]["item"]
        assert parts["Shuttle", shared]["also"] == [f"Heddle {shared}"]
    assert parts["Shuttle", "arm"]["item"] != parts["Heddle", "arm"]["item"]
    again = json.loads(run("items", *frames, "--also", "box_small=1", "--json"))
    assert not any(f["kit_is_new"] or f["new_bought"] or any(p["is_new"] for p in f["parts"]) for f in again)

    run("supplier", "cutter", "carbon cutter", "--lead-time-days", "12")
    assert run("order", "cutter", "heddle:arm=60@3.40", "--expected", "2026-04-20") == "noted order 1.\n"
    delivery = (
        "receive",
        "cutter",
        "heddle:arm=60@3.40",
        "--note",
        "L-1",
        "--lot",
        "A17",
        "--sheet",
        "S3",
        "--order",
        "1",
    )
    run(*delivery)
    assert "was booked on" in run(*delivery, status=1)
    assert run("list", "--orders", "--json") == "[]\n"

    sheet = tmp_path / "check.csv"
    assert "Draw 52 of 60 pieces" in run("inspect", "heddle:arm", "A17", "--sheet-out", str(sheet))
    with sheet.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        row["value"] = "5.31" if (row["feature"], row["piece"]) == ("thickness_mm", "3") else row["nominal"]
    with sheet.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    said = run("inspect", "heddle:arm", "A17", "--values", str(sheet))
    assert "piece 3: thickness_mm 5.31 is outside 4.75 to 5.25" in said
    assert "is accepted" in said

    short = run("pack", "heddle", "2", status=1)
    assert "screw_m3x8_socket_12.9 (36 of 36 missing)" in short
    assert "ledger.negative" in short
    needed = tmp_path / "kits.csv"
    run("export", "kits", str(needed))
    counts = ["item,quantity"]
    with needed.open(encoding="utf-8-sig", newline="") as file:
        for row in csv.DictReader(file):
            if row["frame"] == "Heddle" and row["included"] == "yes" and not row["item"].startswith("arm-"):
                counts.append(f"{row['item']},{2 * (int(row['quantity']) + int(row['spares']))}")
    (tmp_path / "counts.csv").write_text("\n".join(counts), encoding="utf-8")
    run("import", "counts", str(tmp_path / "counts.csv"))
    for part in ("base_lower", "base_upper", "cheek", "deck"):
        run("want-check", f"heddle:{part}", "no")
    kits = json.loads(run("pack", "Heddle", "2", "--json"))["numbers"]
    assert len(kits) == 2
    assert run("sell", kits[1], "--to", "A buyer", "--reference", "1001") == f"sold {kits[1][:-6]}: {kits[1]}.\n"
    assert "cannot be sold" in run("sell", kits[1], status=1)
    run("return", "heddle:arm", "--out-of", kits[1], "--reason", "broken at the root")
    where = json.loads(run("where", "S3", "--json"))
    assert [(r["sold"], r["returned"]) for r in where["lots"]] == [(4, 1)]
    assert {(h["number"], h["state"], h["pieces"]) for h in where["holders"]} == {
        (kits[0], "in stock", 4),
        (kits[1], "sold", 3),
    }
    assert "1 of 4 sold came back (25.0 %)" in run("where", "A17")

    loss = run("discontinue", "nut_m3_insert", "--substitute", "nut_m3_flanged-insert")
    assert "Heddle takes 5, enough for 0 kits" in loss
    assert "Shuttle takes 5" in loss
    assert "Heddle takes 4, which the buyer brings" in run("discontinue", "motor_2207")
    assert run("rebuild") == "all is as it must be.\n"
    stock = {row["item"]: row for row in json.loads(run("list", "--json"))}
    assert stock[parts["Heddle", "arm"]["item"]]["on_hand"] == 60 - 1 - 8
    assert "nut_m3_insert" not in stock


def test_wrong_words_are_one_sentence_and_nothing_is_made(run: Run, tmp_path: Path):
    assert "there is no ledger" in run("list", status=1)
    assert list(tmp_path.iterdir()) == []
    run("init", "--currency", "EUR")
    run("add", "box", "packing", "box")
    for words, said in {
        ("receive", "nobody", "box=1"): "no supplier 'nobody'",
        ("receive", "nobody"): "no supplier",
        ("sell", "box=many"): "ITEM=PIECES",
        ("sell", "box=1@2,50"): "12.50",
        ("count", "box", "-1"): "from 0",
        ("add", "Box 2", "packing", "box"): "small letters",
        ("sell", "unheard"): "no kit 'unheard'",
        ("items", str(EXAMPLES / "none.toml")): "file.missing",
        ("import", "counts", str(tmp_path / "none.csv")): "cannot be read",
    }.items():
        answer = run(*words, status=1)
        assert said in answer
        assert "Traceback" not in answer
    run("items", status=2)
    assert json.loads(run("list", "--all", "--json"))[0]["on_hand"] == 0
