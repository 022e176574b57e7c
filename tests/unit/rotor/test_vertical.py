"""Lift and full throttle with a propeller's own tables."""

import math
from dataclasses import replace

import pytest

from platewright.foundation.errors import RotorError
from platewright.rotor.battery import Pack
from platewright.rotor.heat import heating_time, shed_power
from platewright.rotor.motor import Motor, run_at_voltage
from platewright.rotor.vertical import Craft, Factors, lift, most_lift
from platewright.study.propulsion import propeller_at_work

CRAFT = Craft(0.6, 4, propeller_at_work(5.1, 4.3, 3), Motor(183.0, 0.08, 1.2), Pack(6, 1.3, 0.004, 35), 8.0)


def test_lift_is_the_multiple_of_the_weight():
    for times in (1.0, 2.5):
        found = lift(CRAFT, times)
        thrust = float(CRAFT.propeller.at(found.running.speed).thrust)
        assert 4 * thrust == pytest.approx(times * CRAFT.weight, rel=1e-4)


def test_full_throttle_is_where_motor_and_propeller_agree():
    found = most_lift(CRAFT)
    made = CRAFT.propeller.at(found.running.speed)
    assert found.thrust == pytest.approx(4 * float(made.thrust), rel=1e-4)
    assert found.running.torque == pytest.approx(float(made.torque), rel=1e-4)
    again = run_at_voltage(CRAFT.motor, found.running.torque / found.running.speed**2, found.voltage)
    assert again.speed == pytest.approx(found.running.speed, rel=1e-6)


def test_factors_move_thrust_and_power_as_they_must():
    plain = lift(CRAFT)
    assert lift(CRAFT, factors=Factors(power=1.1)).power > plain.power
    assert lift(CRAFT, factors=Factors(thrust=1.1)).power < plain.power
    assert most_lift(CRAFT, factors=Factors(resistance=1.3)).thrust < most_lift(CRAFT).thrust


def test_no_lift_without_volts():
    with pytest.raises(RotorError, match="cannot hover"):
        lift(replace(CRAFT, pack=Pack(1, 1.3, 0.004, 35)))


def test_heat_balance():
    shed = shed_power(0.028, 0.018)
    assert shed_power(0.028, 0.018, 45.0) == pytest.approx(shed / 2)
    assert heating_time(0.03, 0.9 * shed, shed) == math.inf
    # far beyond what it sheds it warms as if it shed nothing
    assert heating_time(0.03, 100 * shed, shed) == pytest.approx(0.015 * 420 * 90 / (100 * shed), rel=0.01)
