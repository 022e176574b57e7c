"""Motor and battery."""

import math

import pytest

from platewright.foundation.errors import RotorError
from platewright.rotor.battery import Pack, current_for_power
from platewright.rotor.motor import Motor, run_at_speed, run_at_voltage, speed_up_time

MOTOR = Motor(200.0, 0.1, 1.0)
LOAD = 3e-8
PACK = Pack(6, 1.3, 0.004, 35)


def test_speed_and_voltage_undo_one_another():
    there = run_at_speed(MOTOR, LOAD, 1800.0)
    assert run_at_voltage(MOTOR, LOAD, there.voltage).speed == pytest.approx(1800.0)


def test_power_is_shared_between_shaft_iron_and_copper():
    r = run_at_voltage(MOTOR, LOAD, 14.0)
    losses = r.current**2 * MOTOR.resistance + MOTOR.no_load_current * r.speed / MOTOR.speed_constant
    assert r.voltage * r.current == pytest.approx(r.speed * r.torque + losses)
    assert 0 < r.efficiency < 1


def test_without_load_it_turns_at_kv():
    r = run_at_voltage(MOTOR, 0.0, 10.0)
    assert r.speed == pytest.approx(200.0 * (10 - 0.1))
    assert r.current == 1.0


def test_too_little_voltage_is_one_sentence():
    with pytest.raises(RotorError, match=r"more than 0.10 V to turn at all \(got 0.05 V\)"):
        run_at_voltage(MOTOR, LOAD, 0.05)


def test_step_response_agrees_with_an_integration():
    inertia, voltage = 6e-6, 16.0
    start, aim = (run_at_voltage(MOTOR, LOAD, v).speed for v in (8.0, 8.001))
    speed, step, time = start, 1e-5, 0.0
    while speed < start + (aim - start) * (1 - math.exp(-1)):
        current = (8.001 - speed / MOTOR.speed_constant) / MOTOR.resistance
        torque = (current - MOTOR.no_load_current) / MOTOR.speed_constant - LOAD * speed**2
        speed, time = speed + step * torque / inertia, time + step
    assert speed_up_time(MOTOR, LOAD, inertia, voltage, 0.5) == pytest.approx(time, rel=0.01)


def test_current_carries_the_power_with_sag():
    current = current_for_power(PACK, 500.0, 0.5)
    assert current * (PACK.open_voltage(0.5) - PACK.resistance * current) == pytest.approx(500.0)
    assert PACK.current_limit == pytest.approx(45.5)


def test_battery_that_cannot_give_the_power_is_one_sentence():
    with pytest.raises(RotorError, match="must give 99999 W but can never give more than"):
        current_for_power(PACK, 99_999.0)


def test_voltage_rises_with_charge():
    volts = [PACK.open_voltage(c / 20) for c in range(21)]
    assert volts == sorted(volts)
    assert volts[-1] == pytest.approx(25.2)


def test_a_motor_without_resistance_is_refused():
    with pytest.raises(ValueError, match="Kv and resistance must be positive"):
        Motor(200.0, 0.0, 1.0)
