"""Hover, cruise, hard flying and full throttle of a design, with bands."""

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from platewright.app.load import load
from platewright.foundation.errors import RotorError
from platewright.model.catalogue import load_catalogue
from platewright.model.drive import Drive
from platewright.rotor.battery import USABLE_FRACTION
from platewright.study.flight import fly_frame
from platewright.study.hover import HARD_FLYING, craft_of, hover_report
from platewright.study.hover_air import STILL, in_air
from platewright.study.powertrain import frame_powertrain, motor_numbers

ROOT = Path(__file__).parents[3]
CATALOGUE = load_catalogue()
ASSEMBLY = load(ROOT / "examples/heddle.toml").assembly
HEDDLE = frame_powertrain(ASSEMBLY)
AIR = in_air(ASSEMBLY, HEDDLE)
REPORT = hover_report(HEDDLE, AIR)
USES = {u.name: u for u in REPORT.uses}
LIMITS = {row.what: row for row in REPORT.limits}


def test_hover_carries_the_weight_at_its_speed():
    hover = USES["hover"]
    omega = hover.speed_rpm * math.pi / 30
    thrust = float(HEDDLE.propeller.at(omega).thrust)
    assert 4 * thrust * (1 - AIR.lost) == pytest.approx(HEDDLE.mass * 9.80665, rel=1e-3)
    torque = float(HEDDLE.propeller.at(omega).torque)
    motor = HEDDLE.motor.turning
    assert hover.motor_current_a == pytest.approx(motor.no_load_current + motor.speed_constant * torque, rel=1e-3)
    volts = omega / motor.speed_constant + hover.motor_current_a * motor.resistance
    assert hover.power_w == pytest.approx(4 * volts * hover.motor_current_a + 8, rel=1e-3)


def test_endurance_is_the_usable_charge_over_the_current():
    for use in REPORT.uses[:-1]:
        assert use.endurance_min == pytest.approx(60 * USABLE_FRACTION * HEDDLE.pack.capacity / use.battery_current_a)
        assert use.endurance_band_min[0] < use.endurance_min < use.endurance_band_min[1]
        assert use.power_band_w[0] < use.power_w < use.power_band_w[1]
    assert USES["full throttle"].endurance_min is None


def test_ways_of_flying_are_in_their_order():
    power = [USES[name].power_w for name in ("hover", "hard flying", "full throttle")]
    assert power == sorted(power)
    assert sum(share for share, _ in HARD_FLYING) == pytest.approx(1.0)
    assert USES["cruise"].speed_m_s > 5
    assert LIMITS["blade tips"].full == pytest.approx(
        USES["full throttle"].speed_rpm * math.pi / 30 * HEDDLE.propeller.diameter / 2 / 340.294, rel=1e-4
    )


def test_cruise_is_the_trimmed_flight_of_least_energy_for_its_way():
    cruise = USES["cruise"]
    runs = fly_frame(ASSEMBLY).runs
    per_way = [p / v for p, v in zip(runs.sweep_flight.power[0], runs.speeds, strict=True) if v > 0]
    assert cruise.power_w / cruise.speed_m_s == pytest.approx(min(per_way), rel=0.02)
    assert [u.name for u in hover_report(HEDDLE, STILL).uses] == ["hover", "hard flying", "full throttle"]


def test_plates_in_the_wakes_take_thrust():
    assert 0.005 < AIR.lost < 0.1
    free = hover_report(HEDDLE, STILL)
    assert free.thrust_to_weight * (1 - AIR.lost) == pytest.approx(REPORT.thrust_to_weight)
    assert free.uses[0].power_w < USES["hover"].power_w
    assert USES["hover"].power_w == pytest.approx(fly_frame(ASSEMBLY).result.hover_power_w, rel=0.02)


def test_a_band_holds_thrust_power_and_winding():
    low, high = REPORT.thrust_to_weight_band
    ct, _ = HEDDLE.propeller.band(0.0)
    assert low < REPORT.thrust_to_weight < high
    assert 0.5 * float(ct) < (high - low) / 2 / REPORT.thrust_to_weight < 4 * float(ct)
    sure = replace(HEDDLE, motor=replace(HEDDLE.motor, band=0.0))
    other = hover_report(sure, AIR).thrust_to_weight_band
    assert other[1] - other[0] < high - low


def test_more_mass_takes_more():
    heavy = hover_report(replace(HEDDLE, mass=1.3 * HEDDLE.mass), AIR)
    assert heavy.uses[0].power_w == pytest.approx(1.3**1.5 * USES["hover"].power_w, rel=0.12)
    assert heavy.thrust_to_weight == pytest.approx(REPORT.thrust_to_weight / 1.3, rel=1e-3)


def test_coaxial_pairs_pay_for_the_wake():
    apart = replace(HEDDLE, rotors=8)
    pairs = hover_report(replace(apart, pair_gap=0.06), AIR)
    alone = hover_report(apart, AIR)
    assert 1.05 < pairs.uses[0].power_w / alone.uses[0].power_w < 1.25
    assert pairs.thrust_to_weight < alone.thrust_to_weight
    words = next(text for text in pairs.assumptions if "coaxial" in text)
    assert re.search(r"lower rotor loses \d+ % \(\d+ to \d+\).* takes 1\.\d\d \(1\.\d\d to 1\.\d\d\) times", words)
    wide = hover_report(replace(apart, pair_gap=0.25), AIR)
    assert alone.uses[0].power_w < wide.uses[0].power_w < pairs.uses[0].power_w


def test_pairs_hover_in_a_check_as_they_do_in_flight():
    """`check` and `fly` reckon a pair by one rule; the other axes' wakes, which only `fly` has, weigh little."""
    assembly = load(ROOT / "tests/designs/coaxial.toml").assembly
    train = frame_powertrain(assembly)
    hover = hover_report(train, in_air(assembly, train)).uses[0].power_w
    assert hover == pytest.approx(fly_frame(assembly, in_time=False).result.hover_power_w, rel=0.02)


def test_every_number_names_its_source():
    assert "acro_5in" in REPORT.propeller
    assert "from memory" in REPORT.motor
    assert REPORT.battery
    assert any("fifth" in text for text in REPORT.assumptions)
    own = motor_numbers(HEDDLE.motor_record, 6, Drive(kv_rpm_per_v=1950), CATALOGUE)
    assert "Kv of the design" in hover_report(replace(HEDDLE, motor=own), AIR).motor


def test_what_cannot_hover_is_one_sentence():
    with pytest.raises(RotorError, match=r"cannot hover: .*; take more cells"):
        hover_report(replace(HEDDLE, mass=1.5, pack=replace(HEDDLE.pack, cells=2, cell_resistance=0.0005)), AIR)
    with pytest.raises(RotorError, match=r"cannot hover: each motor must have \d+\.\d V"):
        hover_report(replace(HEDDLE, mass=0.95 * REPORT.thrust_to_weight * HEDDLE.mass), AIR)


def test_a_battery_that_cannot_give_the_power_is_one_sentence():
    weak = replace(HEDDLE, pack=replace(HEDDLE.pack, cell_resistance=1.0))
    with pytest.raises(RotorError, match=r"battery must give \d+ W but can never give more than \d+ W"):
        hover_report(weak, AIR)


def test_the_craft_is_in_si_units():
    craft = craft_of(HEDDLE)
    assert craft.weight == pytest.approx(HEDDLE.mass * 9.80665)
    assert craft.density == pytest.approx(1.225)
