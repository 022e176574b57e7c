"""What is found of lift, currents, heat and tip speed."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from frames import assembled, plate
from platewright.app.load import load
from platewright.foundation.errors import DesignFileError
from platewright.foundation.findings import Severity
from platewright.study import hover_findings
from platewright.study.hover_findings import hovering
from platewright.study.powertrain import frame_powertrain

ROOT = Path(__file__).parents[3]
ASSEMBLY = load(ROOT / "examples/heddle.toml").assembly
TRAIN = frame_powertrain(ASSEMBLY)


@pytest.fixture
def found(monkeypatch):
    """Findings by code of Heddle with another powertrain."""

    def run(**changes):
        monkeypatch.setattr(hover_findings, "frame_powertrain", lambda _: replace(TRAIN, **changes))
        report, findings = hovering(ASSEMBLY)
        return report, {f.code: f for f in findings}

    return run


def test_the_example_only_has_a_note(found):
    report, findings = found()
    assert report.can_hover
    assert {f.severity for f in findings.values()} == {Severity.NOTE}


def test_a_frame_without_motors_has_nothing_to_say():
    bare = assembled(plate("base", 4))
    assert hovering(bare) == (None, ())


def test_a_frame_that_cannot_hover_fails_with_one_sentence(found):
    report, findings = found(mass=9.0)
    assert not report.can_hover
    assert list(findings) == ["hover.lift"]
    assert findings["hover.lift"].severity is Severity.FAIL
    assert "cannot hover" in findings["hover.lift"].message


def test_a_battery_that_cannot_give_the_current(found):
    _, findings = found(limits=(2.0, 4.0))
    assert findings["hover.battery"].severity is Severity.FAIL
    assert "hover alone asks 5 A of a battery that bears 2 to 4 A for long" in findings["hover.battery"].message
    _, findings = found(limits=(10.0, 15.0))
    assert findings["hover.battery"].severity is Severity.WARN
    none, findings = found(pack=replace(TRAIN.pack, cell_resistance=1.0))
    assert not none.can_hover
    assert "can never give more than" in findings["hover.lift"].message


def test_a_propeller_that_the_motor_cannot_turn(found):
    weak = TRAIN.motor_record.model_copy(update={"current_max_a": 3.0})
    _, findings = found(motor_record=weak)
    assert findings["hover.motor"].severity is Severity.FAIL
    assert "cannot turn this propeller: hover asks 4 A of a motor that bears 3 A" in findings["hover.motor"].message


def test_full_throttle_beyond_the_class_warns_from_a_fifth_on(found):
    for most, severity in ((28.0, Severity.NOTE), (24.0, Severity.WARN)):
        _, findings = found(motor_record=TRAIN.motor_record.model_copy(update={"current_max_a": most}))
        assert findings["hover.motor"].severity is severity


def test_a_controller_is_asked_by_motor_and_by_cells(found):
    def board(**values):
        return TRAIN.controller.model_copy(update=values)

    _, findings = found(controller=board(current_continuous_a=20.0, current_burst_a=25.0))
    assert findings["hover.board"].severity is Severity.WARN
    _, findings = found(controller=board(current_continuous_a=25.0, current_burst_a=40.0))
    assert findings["hover.board"].severity is Severity.NOTE
    _, findings = found(controller=board(current_continuous_a=3.0, current_burst_a=40.0))
    assert findings["hover.board"].severity is Severity.FAIL
    _, findings = found(controller=board(cells_series_range=(2, 4)))
    assert findings["hover.board"].severity is Severity.FAIL
    assert "takes 2 to 4 cells in series and the battery has 6" in findings["hover.board"].message


def test_a_plug_is_asked_for_the_mean_of_hard_flying(found):
    assert TRAIN.plug is not None
    _, findings = found(plug=TRAIN.plug.model_copy(update={"current_continuous_a": 10.0}), limits=(200.0, 300.0))
    assert findings["hover.battery"].severity is Severity.WARN
    assert "larger plug" in findings["hover.battery"].message


@pytest.mark.parametrize(
    ("drive", "words"),
    [
        ("static_ct = 0.12", "must give static_speed_rpm, static_ct and static_cp together"),
        (
            "static_ct = 0.3\nstatic_cp = 0.02\nstatic_speed_rpm = 17000",
            "these would lift with 6.6 times less power than momentum theory needs",
        ),
        (
            "static_ct = 0.12\nstatic_cp = 0.07\nstatic_speed_rpm = 283",
            "must be 1000 to 100000 (got 283)",
        ),
    ],
)
def test_a_static_point_that_cannot_be_is_one_sentence(tmp_path, drive, words):
    """Half a point, another definition of CT and CP, revolutions per second."""
    examples = shutil.copytree(ROOT / "examples", tmp_path / "examples")
    file = examples / "own.toml"
    file.write_text(f'format = 1\ninclude = ["heddle.toml"]\n[drive]\n{drive}\n')
    with pytest.raises(DesignFileError) as caught:
        load(file)
    (problem,) = caught.value.problems
    assert words in problem.message
