"""`platewright fits`: a buyer's questions, answered yes, tightly or no, with what is left."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from frames import assembled, catalogue, column, plate
from platewright.app.fits import find_record, fit_answers
from platewright.app.load import load
from platewright.cli.main import main
from platewright.foundation.errors import RequestError
from platewright.model.catalogue import BoardPattern, Camera, Motor, Propeller
from platewright.study.board_answers import board_answer
from platewright.study.check import check_assembly
from platewright.study.fit_answers import carrier_of

ROOT = Path(__file__).parents[3]
HEDDLE = ROOT / "examples" / "heddle.toml"
DESIGNS = sorted([*(ROOT / "examples").glob("*.toml"), *(ROOT / "tests" / "designs").glob("*.toml")])


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
def test_what_a_frame_carries_is_judged_as_its_own_check_does(path: Path) -> None:
    frame = load(path).assembly
    result = check_assembly(frame)
    names: dict[str, str] = {}
    for option, kind in (("motor", Motor), ("propeller", Propeller)):
        carrier = carrier_of(frame, kind)
        assert carrier is not None
        names[option] = next(e for e in frame.design.equipment if e.id == carrier[0]).use[carrier[1]]
    motor, propeller = (fit_answers(path, {option: [names[option]]})[0] for option in ("motor", "propeller"))
    assert motor.verdict != "no", motor.sentence  # its holes are there, and nothing is worse than before
    gravest = [f.severity for f in result.findings if f.code.startswith(("disc.", "propeller."))]
    expected = "no" if "fail" in gravest else "tight" if "warn" in gravest else "fits"
    assert propeller.verdict == expected, propeller.sentence


def test_a_larger_propeller_has_less_to_spare() -> None:
    five, six, seven = fit_answers(HEDDLE, {"propeller": ["5in", "6in", "7in"]})
    assert five.margin_mm is not None
    assert six.margin_mm is not None
    assert seven.margin_mm is not None
    assert five.margin_mm > six.margin_mm > seven.margin_mm
    assert seven.verdict == "no"
    assert "can be hit by a blade" in seven.sentence


def test_a_motor_needs_its_holes_to_be_there() -> None:
    same_base, other_base = fit_answers(HEDDLE, {"motor": ["2306", "2807"]})
    assert same_base.verdict != "no"
    assert other_base.verdict == "no"
    assert "19x19 between opposite holes, the plates are drilled for 16x16" in other_base.sentence


def square(side: float, turn_deg: float = 0.0) -> str:
    turn, half = math.radians(turn_deg), side / math.sqrt(2)
    points = [
        [half * math.cos(turn + (2 * k + 1) * math.pi / 4), half * math.sin(turn + (2 * k + 1) * math.pi / 4)]
        for k in range(4)
    ]
    return column("four", "screw M3 socket 12.9", "base", "nut M3 hex", at=points, mirror="")


@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0])
def test_a_square_of_holes_takes_its_own_boards_and_no_others(turn: float) -> None:
    frame = assembled(plate("base"), square(30.5, turn))
    ours = find_record(catalogue(), BoardPattern, "30.5")
    answer = board_answer(frame, ours)
    assert answer.verdict == "fits"
    assert "nothing above" in answer.sentence
    assert board_answer(frame, find_record(catalogue(), BoardPattern, "25.5")).verdict == "no"


def test_opposite_holes_are_no_board_pattern() -> None:
    """Holes 20 mm apart across the diagonal are a square of 14.1 mm: the trap of 1.414."""
    answer = board_answer(
        assembled(plate("base"), square(20 / math.sqrt(2))), find_record(catalogue(), BoardPattern, "20")
    )
    assert answer.verdict == "no"
    assert "opposite ones (factor 1.414), a square of 14.1 mm" in answer.sentence


def test_boards_need_height_too() -> None:
    low = (plate("base"), plate("lid"), square(20))
    post = column("post", "screw M3 socket 12.9", "base", "standoff M3x15", "lid", "screw M3 button 10.9", at=[25, 25])
    answer = board_answer(assembled(*low, post), find_record(catalogue(), BoardPattern, "20"))
    assert answer.margin_mm == pytest.approx(15 - 17 - 2)
    assert answer.verdict == "tight"


@pytest.mark.parametrize("word", ["prop_5in", "5in", "5"])
def test_a_class_alone_is_enough(word: str) -> None:
    assert find_record(catalogue(), Propeller, word).id == "prop_5in"


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
def test_the_camera_a_frame_carries_is_judged_as_its_own_check_does(path: Path) -> None:
    frame = load(path).assembly
    carrier = carrier_of(frame, Camera)
    assert carrier is not None
    own = next(e for e in frame.design.equipment if e.id == carrier[0]).use[carrier[1]]
    (answer,) = fit_answers(path, {"camera": [own]})
    found = {f.severity for f in check_assembly(frame).findings if f.code in ("camera.width", "camera.height")}
    assert (answer.verdict == "fits") == (not found), answer.sentence


def test_a_wider_camera_lacks_what_the_plates_do_not_leave() -> None:
    nano, micro, mini = fit_answers(HEDDLE, {"camera": ["nano", "micro", "mini"]})
    assert [a.verdict for a in (nano, micro, mini)] == ["fits", "fits", "no"]
    assert "5.4 mm beside it, to be taken up with washers or spacers" in nano.sentence
    # 18 mm of standoff and two washers of 0.8 mm leave 19.6 mm; the mini class wants 22.0
    assert mini.margin_mm == pytest.approx(18 + 2 * 0.8 - 22.0, abs=0.01)


def test_an_unknown_name_is_answered_with_the_nearest() -> None:
    with pytest.raises(RequestError, match=r"no record is a motor '2270'; did you mean .*'motor_2207'"):
        find_record(catalogue(), Motor, "2270")


def test_exit_status_and_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fits", str(HEDDLE), "--boards", "30.5"]) == 0
    assert "yes" in capsys.readouterr().out
    assert main(["fits", str(HEDDLE), "--boards", "25.5"]) == 1
    capsys.readouterr()
    assert main(["fits", str(HEDDLE), "--boards", "30.5", "--json"]) == 0
    (answer,) = json.loads(capsys.readouterr().out)
    assert answer["verdict"] == "fits"
    assert answer["margin_mm"] == pytest.approx(3.0, abs=0.5)
    assert main(["fits", str(HEDDLE)]) == 2
    assert main(["fits", str(HEDDLE), "--motor", "2270"]) == 1
    assert "'motor_2207'" in capsys.readouterr().err


def test_what_a_frame_does_not_carry_has_no_place() -> None:
    (answer,) = fit_answers(HEDDLE, {"action_camera": ["thumb"]})
    assert (answer.verdict, answer.sentence) == (
        "no",
        "Heddle has no place for an action camera: its design carries none.",
    )


def test_a_battery_fits_as_long_as_its_strap_goes_round_it() -> None:
    own, larger, long_range = fit_answers(HEDDLE, {"battery": ["6s_1100", "lipo_6s_1300", "liion_6s1p_21700_4000"]})
    assert own.verdict == "fits"
    assert own.margin_mm is not None
    assert larger.margin_mm is not None
    assert own.margin_mm > larger.margin_mm
    assert "mm of strap are left" in own.sentence
    assert long_range.record == "liion_6s1p_21700_4000"


def test_a_battery_too_large_for_its_strap_does_not_fit() -> None:
    (answer,) = fit_answers(ROOT / "examples" / "bobbin.toml", {"battery": ["6s_1800"]})
    assert answer.verdict == "no"
    assert any("[battery.strap]" in reason for reason in answer.reasons)


def test_an_antenna_is_answered_with_what_conducts_near_it() -> None:
    (tube,) = fit_answers(HEDDLE, {"antenna": ["receiver_tube"]})
    row = next(r for r in check_assembly(load(HEDDLE).assembly).signals.antennas if r.record == "antenna_receiver_tube")
    assert tube.verdict == "fits"
    assert row.battery_mm is not None
    assert tube.margin_mm == pytest.approx(row.battery_mm - row.least_mm)  # the pack is nearer than the deck


def test_a_threaded_antenna_needs_a_hole() -> None:
    (answer,) = fit_answers(ROOT / "examples" / "bobbin.toml", {"antenna": ["5g8_threaded"]})
    assert answer.verdict == "no"
    assert "6.5 mm hole" in answer.sentence


def test_small_boards_are_answered_with_what_is_nearest_and_the_sky() -> None:
    shuttle = ROOT / "examples" / "shuttle.toml"
    receiver, gps = fit_answers(shuttle, {"receiver": ["receiver"], "gps": ["gps"]})
    assert (receiver.verdict, gps.verdict) == ("fits", "fits")
    assert "cheek" in receiver.sentence
    assert "of the sky" in gps.sentence
    assert gps.margin_of == "to power leads"
    (none,) = fit_answers(HEDDLE, {"gps": ["gps_with_compass"]})
    assert none.verdict == "no"
    with pytest.raises(RequestError, match="no receiver; try receiver_small"):
        fit_answers(HEDDLE, {"receiver": ["fc_30"]})
