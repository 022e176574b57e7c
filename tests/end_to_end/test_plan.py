"""What to order, from the command line: two frames that share plates, prices with breaks."""

from __future__ import annotations

import csv
import datetime
import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

from platewright.app.result_schemas import result_schema
from platewright.cli import main

EXAMPLES = Path(__file__).parents[2] / "examples"
TODAY = datetime.date(2026, 3, 2)
Run = Callable[..., str]


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    def call(*words: str, status: int = 0) -> str:
        got = main([*words, "--ledger", str(tmp_path / "ledger.sqlite")])
        out, err = capsys.readouterr()
        assert got == status, err
        return out if status == 0 else err

    return call


def test_plan_of_two_frames_that_share_plates(run: Run, tmp_path: Path):
    run("stock", "init")
    run("stock", "items", *(str(EXAMPLES / f"{n}.toml") for n in ("heddle", "shuttle")), "--on", "2025-01-06")
    run("stock", "supplier", "cutter", "carbon cutter", "--lead-time-days", "12", "--spread-days", "3")
    run("stock", "price", "cutter", "heddle:base_lower", "6.00", "--on", "2025-01-06")
    run("stock", "price", "cutter", "heddle:base_lower", "5.40", "--from-pieces", "100", "--on", "2025-01-06")
    say = ("plan", "--on", str(TODAY), "--expect", "Heddle=15", "--expect", "Shuttle=8")
    report = json.loads(run(*say, "--json"))
    jsonschema.Draft202012Validator(result_schema("plan")).validate(report)
    base = next(r for r in report["items"] if r["item"].startswith("base_lower"))
    assert base["demand_per_day"] == pytest.approx(23 / 30, abs=1e-4)
    assert (base["supplier"], base["lead_time_source"], base["unit_price"]) == ("cutter", "stated", 5.4)
    assert base["order_today"] >= 100
    assert base["cost"] == pytest.approx(5.4 * base["order_today"])
    assert report["to_pay"] == base["cost"]
    shared = next(s for s in report["sharing"] if s["item"] == base["item"])
    assert shared["frames"] == ["Heddle", "Shuttle"]
    assert shared["safety_together"] < shared["safety_apart"]
    assert shared["saved_money"] > 0

    text = run(*say, "--csv", str(tmp_path / "plan.csv"), "--decimal-comma")
    assert f"Today's orders: {report['to_pay']:.2f} EUR." in text
    with (tmp_path / "plan.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file, delimiter=";"))
    assert len(rows) == len(report["items"])
    assert next(r for r in rows if r["item"] == base["item"])["unit_price"] == "5,4"


def test_nothing_known_is_nothing_to_order(run: Run):
    run("stock", "init")
    assert "Nothing to order today." in run("plan")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--expect", "Heddle"), "--expect must be FRAME=KITS"),
        (("--expect", "Heddle=-1"), "--expect must be FRAME=KITS"),
        (("--expect", "Heddle=nan"), "--expect must be FRAME=KITS"),
        (("--expect", "Heddle=1"), "no kit of a frame 'Heddle'"),
        (("--service-percent", "100"), "--service-percent must be from 50 to below 100 (got 100)."),
        (("--order-cost", "-1"), "--order-cost must be 0 or more (got -1)."),
        (("--order-cost", "nan"), "--order-cost must be 0 or more (got nan)."),
        (("--holding-percent", "0"), "--holding-percent must be above 0 (got 0)."),
        (("--review-days", "-1"), "--review-days must be 0 to 366 (got -1)."),
        (("--most-days", "0"), "--most-days must be 1 to 3660 (got 0)."),
    ],
)
def test_bad_options_are_one_sentence(run: Run, words: tuple[str, ...], said: str):
    run("stock", "init")
    got = run("plan", *words, status=1)
    assert said in got
    assert len(got.splitlines()) == 1


def test_without_a_ledger_it_says_so(run: Run):
    assert "ledger.missing" in run("plan", status=1)
