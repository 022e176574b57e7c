"""`platewright service`: rows, sentences, pictures and exit statuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from platewright.app.service import service_json, service_study, write_service_pictures
from platewright.cli.main import main
from platewright.foundation.errors import OutputError, RequestError

HEDDLE = Path(__file__).parents[3] / "examples" / "heddle.toml"


def test_four_equal_arms_are_one_row() -> None:
    (row,) = service_study(HEDDLE, ["arm"]).rows
    assert row.copies == ("arm.1", "arm.2", "arm.3", "arm.4")
    assert (row.screws, row.own_screws, row.other_joints) == (7, 6, ("stack x 1",))
    assert row.boards_stay
    assert row.eased == ("stack 1 of 4 screws",)
    assert row.minutes_low < row.minutes < row.minutes_high


def test_the_users_own_rules_change_the_minutes(tmp_path: Path) -> None:
    header = "id,typical,low,high,text,provenance,source,note\n"
    (tmp_path / "rule.csv").write_text(f'{header}service.screw_s,60,60,60,,practice,"our bench, timed",\n')
    (own,), (shipped,) = (service_study(HEDDLE, ["stack.fc"], r).rows for r in (tmp_path, None))
    assert own.minutes - shipped.minutes == pytest.approx(4 * (60 - 25) / 60, abs=0.1)


def test_a_motor_takes_only_its_own_propeller_off_with_the_key_that_this_needs() -> None:
    (nut,) = service_study(HEDDLE, ["motor"]).rows
    assert nut.steps[0].bodies == ("propeller.propeller.1", "propeller.nut.1")
    assert nut.tools == ("hex key 2.5", "spanner 8")
    (screws,) = service_study(HEDDLE.with_name("bobbin.toml"), ["propeller"]).rows
    assert screws.tools == ("hex key 1.5",)


def test_an_unknown_thing_is_answered_with_the_nearest() -> None:
    with pytest.raises(RequestError, match="unknown thing 'motr'; did you mean 'motor'"):
        service_study(HEDDLE, ["motr"])


def test_pictures_name_every_step_and_are_the_same_each_time(tmp_path: Path) -> None:
    study = service_study(HEDDLE, ["arm", "camera"])
    paths = write_service_pictures(study, tmp_path / "out")
    assert [p.name for p in paths] == ["service_arm.1.svg", "service_camera.svg"]
    text = paths[0].read_text()
    for step in study.rows[0].steps:
        assert f">{step.number}  {step.action} {step.what}" in text
    write_service_pictures(study, tmp_path / "again")
    assert (tmp_path / "again" / "service_arm.1.svg").read_text() == text
    with pytest.raises(OutputError, match="takes one picture of 2"):
        write_service_pictures(study, tmp_path / "both.svg")


def test_the_command_prints_steps_and_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["service", str(HEDDLE), "--thing", "motor"]) == 0
    said = capsys.readouterr().out
    assert "undo motor: 4 x M3x8 socket" in said
    assert "3 x solder joint" in said
    assert main(["service", str(HEDDLE), "--thing", "motor", "--json"]) == 0
    (row,) = json.loads(capsys.readouterr().out)
    assert row["thing"] == "motor"
    assert main(["service", str(HEDDLE), "--thing", "wing"]) == 1
    assert "unknown thing 'wing'" in capsys.readouterr().err


def test_json_has_the_form_of_the_check(tmp_path: Path) -> None:
    (row,) = json.loads(service_json(service_study(HEDDLE, ["video"])))
    assert row["steps"][-1]["action"] == "take out"
