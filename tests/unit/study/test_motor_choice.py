"""Motors and propellers compared on one frame."""

import math
from pathlib import Path

import pytest

from frames import assembled, plate
from platewright.app.load import load
from platewright.app.motors import motors_json
from platewright.cli import main
from platewright.foundation.errors import RotorError
from platewright.rotor.motor import Motor, run_at_voltage, time_to_speed
from platewright.study.motor_choice import motor_choice

ROOT = Path(__file__).parents[3]
HEDDLE = ROOT / "examples/heddle.toml"
CHOICE = motor_choice(load(HEDDLE).assembly)
MOTORS = {r.motor: r for r in CHOICE.motors}
PROPELLERS = {r.propeller: r for r in CHOICE.propellers}


def test_the_designs_own_is_among_both_with_the_same_numbers():
    (own,) = (r for r in CHOICE.motors if r.is_own)
    (same,) = (r for r in CHOICE.propellers if r.is_own)
    assert (own.motor, own.propeller) == ("motor_2207", "prop_5in")
    assert own == same


def test_all_motors_are_there_lightest_first():
    masses = [r.motor_mass_g for r in CHOICE.motors]
    assert len(masses) > 15
    assert masses == sorted(masses)
    for row in CHOICE.motors:
        assert row.craft_mass_g == pytest.approx(
            MOTORS["motor_2207"].craft_mass_g + 4 * (row.motor_mass_g - MOTORS["motor_2207"].motor_mass_g)
        )


def test_usual_ranges_are_advice():
    assert MOTORS["motor_2306"].usual
    assert not MOTORS["motor_2807"].usual
    assert MOTORS["motor_2807"].thrust_to_weight > 2


def test_wide_and_flat_against_narrow_and_tall():
    """2306 and 2207 have nearly one stator volume: they differ by a few percent in everything that is computed."""
    flat, tall = MOTORS["motor_2306"], MOTORS["motor_2207"]
    assert flat.torque_per_loss_per_g == pytest.approx(tall.torque_per_loss_per_g, rel=0.05)
    assert flat.hover_power_w < tall.hover_power_w


def test_a_larger_motor_has_more_torque_for_its_loss_and_a_larger_inertia():
    assert MOTORS["motor_2810"].torque_per_loss_mnm > MOTORS["motor_2207"].torque_per_loss_mnm
    assert MOTORS["motor_2810"].inertia_g_cm2 > MOTORS["motor_2207"].inertia_g_cm2
    assert MOTORS["motor_1404"].full_current_a > MOTORS["motor_1404"].current_max_a


def test_a_motor_that_cannot_is_a_row_with_its_sentence():
    row = MOTORS["motor_0802"]
    assert "cannot hover" in row.why_not or "can never give" in row.why_not
    assert row.thrust_to_weight == 0


def test_larger_propellers_lift_better_and_answer_later():
    five, seven = PROPELLERS["prop_5in"], PROPELLERS["prop_7in"]
    assert seven.hover_power_w < five.hover_power_w
    assert seven.response_ms > five.response_ms
    assert seven.full_current_a > five.full_current_a


def test_without_friction_or_load_speed_follows_an_exponential():
    motor, inertia = Motor(200.0, 0.1, 0.0), 1e-5
    constant = inertia * motor.speed_constant**2 * motor.resistance
    assert time_to_speed(motor, 0.0, inertia, 20.0, 0.0, 4000 * (1 - math.exp(-2))) == pytest.approx(
        2 * constant, rel=1e-3
    )


def test_a_limit_of_current_makes_a_straight_line():
    motor = Motor(200.0, 0.1, 0.0)
    time = time_to_speed(motor, 0.0, 1e-5, 20.0, 0.0, 1000.0, current=10.0)
    assert time == pytest.approx(1e-5 * 1000 / (10 / 200.0))


def test_full_speed_is_never_reached():
    motor = Motor(200.0, 0.1, 1.0)
    full = run_at_voltage(motor, 3e-8, 20.0).speed
    assert math.isinf(time_to_speed(motor, 3e-8, 1e-5, 20.0, 1000.0, full * 1.001))


def test_a_design_without_motors_is_refused():
    with pytest.raises(RotorError, match="must carry a motor, a propeller and a battery"):
        motor_choice(assembled(plate("base", 4)))


def test_the_command_prints_both_tables_and_json(capsys):
    assert main(["motors", str(HEDDLE)]) == 0
    text = capsys.readouterr().out
    assert "motors with its propeller" in text
    assert "Propellers with its motor" in text
    assert "motor_2306" in text
    assert motors_json(CHOICE).count('"motor": "motor_2207"') == 1 + len(CHOICE.propellers)
