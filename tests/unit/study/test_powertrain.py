"""Motor, battery and propeller of a design, and where their numbers come from."""

from pathlib import Path

import pytest

from platewright.app.load import load
from platewright.model.catalogue import Motor, Propeller, load_catalogue
from platewright.model.drive import Drive
from platewright.study.powertrain import (
    battery_pack,
    frame_powertrain,
    motor_numbers,
    spin_inertia,
    stator_size,
)
from platewright.study.propulsion import drive_propeller

ROOT = Path(__file__).parents[3]
CATALOGUE = load_catalogue()
MOTOR = CATALOGUE.motor("motor_2207")
FIVE = CATALOGUE.propeller("prop_5in")


def _coefficients(propeller, speed=1470.0):
    made = propeller.at(speed)
    return float(made.thrust_coefficient), float(made.power_coefficient)


def test_a_frame_has_all_of_it():
    made = frame_powertrain(load(ROOT / "examples/heddle.toml").assembly)
    assert (made.rotors, made.pair_gap) == (4, None)
    assert 0.5 < made.mass < 0.65
    assert made.controller.id == "esc_30_55A"
    assert made.limits[0] < made.limits[1]
    assert "acro_5in" in made.propeller.source


def test_coaxial_rotors_are_known():
    made = frame_powertrain(load(ROOT / "tests/designs/coaxial.toml").assembly)
    assert made.rotors == 8
    assert made.pair_gap == pytest.approx(0.0628, abs=1e-4)


def test_the_typical_propeller_has_its_own_static_point():
    record = next(c for c in CATALOGUE.records("propeller_class") if c.id == "acro_5in")
    made = _coefficients(drive_propeller(FIVE, Drive(), CATALOGUE), record.speed_rpm * 0.104719755)
    assert made == (pytest.approx(record.ct, rel=2e-3), pytest.approx(record.cp, rel=2e-3))


def test_a_point_of_ones_own_comes_first():
    drive = Drive(propeller="stand_d", static_speed_rpm=14_000, static_ct=0.13, static_cp=0.07)
    made = drive_propeller(FIVE, drive, CATALOGUE)
    assert _coefficients(made, 14_000 * 0.104719755) == (pytest.approx(0.13, rel=2e-3), pytest.approx(0.07, rel=2e-3))
    assert made.source.startswith("the design's own static point")
    assert made.bands["at rest", "CT"] < 0.1


def test_a_measured_propeller_may_be_named():
    tunnel = drive_propeller(FIVE, Drive(propeller="5.0x4.3x2-J"), CATALOGUE)
    assert "its own static rows" in tunnel.source
    assert (tunnel.diameter, tunnel.blades) == (pytest.approx(0.127), 2)
    stand, same = (drive_propeller(FIVE, Drive(propeller=n), CATALOGUE) for n in ("prop-D", "stand_d"))
    assert _coefficients(stand) == _coefficients(same)
    assert "thrust stand" in stand.source or "stand fitted together" in stand.source


def test_another_pitch_or_number_of_blades_is_carried_over_with_a_wider_band():
    usual, flat, two = (drive_propeller(FIVE, d, CATALOGUE) for d in (Drive(), Drive(pitch_in=3.5), Drive(blades=2)))
    assert _coefficients(flat)[1] < _coefficients(usual)[1]
    assert _coefficients(two)[0] < _coefficients(usual)[0]
    assert flat.bands["at rest", "CT"] > usual.bands["at rest", "CT"]
    assert "carried over from typical acro_5in" in flat.source
    assert "carried over from typical long_range_5in" in two.source


def test_sizes_without_a_class_use_the_nearest_or_the_model_alone():
    half = drive_propeller(CATALOGUE.propeller("prop_3.5in"), Drive(), CATALOGUE)
    tiny = drive_propeller(CATALOGUE.propeller("prop_31mm"), Drive(), CATALOGUE)
    assert "carried over from typical" in half.source
    assert "by the model of 40 wind-tunnel propellers" in tiny.source


def test_every_propeller_and_motor_of_the_catalogue_has_numbers():
    for propeller in CATALOGUE.of_class(Propeller):
        ct, cp = _coefficients(drive_propeller(propeller, Drive(), CATALOGUE))
        assert 0.03 < ct < 0.5
        assert 0.01 < cp < 0.5
    for motor in CATALOGUE.of_class(Motor):
        made = motor_numbers(motor, 4, Drive(), CATALOGUE)
        assert 800 < made.kv_rpm_per_v < 33_000
        assert 10 < made.resistance_mohm < 5000
        assert stator_size(motor)[0] > stator_size(motor)[1]


def test_resistance_goes_with_the_square_of_turns():
    slow, fast = (motor_numbers(MOTOR, 6, Drive(kv_rpm_per_v=k), CATALOGUE) for k in (1000, 2000))
    assert (slow.resistance_mohm - 8) / (fast.resistance_mohm - 8) == pytest.approx(4)
    assert slow.turning.speed_constant == pytest.approx(1000 * 0.104719755)


def test_numbers_of_the_design_come_before_those_of_the_class():
    made = motor_numbers(MOTOR, 6, Drive(kv_rpm_per_v=1950, resistance_mohm=90, no_load_current_a=1.5), CATALOGUE)
    assert (made.kv_rpm_per_v, made.resistance_mohm, made.no_load_current_a) == (1950, 90, 1.5)
    assert made.source.startswith("Kv of the design")


def test_motors_without_a_winding_lie_between_those_that_have_one():
    small, large = (CATALOGUE.motor(f"motor_{n}") for n in ("1404", "2807"))
    between = motor_numbers(CATALOGUE.motor("motor_2004"), 4, Drive(kv_rpm_per_v=2000), CATALOGUE)
    ends = [motor_numbers(m, 4, Drive(kv_rpm_per_v=2000), CATALOGUE).resistance_mohm for m in (large, small)]
    assert ends[0] < between.resistance_mohm < ends[1]
    assert between.band > motor_numbers(MOTOR, 6, Drive(), CATALOGUE).band


def test_a_pack_is_in_ampere_hours_and_ohms():
    pack = battery_pack(CATALOGUE.battery("lipo_6s_1100"))
    assert pack.cells == 6
    assert pack.capacity == pytest.approx(1.1)
    assert 0.001 < pack.cell_resistance < 0.02


def test_the_bell_and_the_blades_turn():
    inertia = spin_inertia(MOTOR, FIVE)
    assert 2e-6 < inertia < 2e-5
    assert spin_inertia(MOTOR, CATALOGUE.propeller("prop_7in")) > inertia


def test_a_propeller_beyond_the_measured_ones_says_so():
    assert "beyond the measured" in drive_propeller(FIVE, Drive(pitch_in=19, blades=8), CATALOGUE).source
    assert "beyond" not in drive_propeller(FIVE, Drive(), CATALOGUE).source
