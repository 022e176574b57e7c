"""Hover and full throttle."""

import math

import pytest

from platewright.foundation.errors import RotorError
from platewright.rotor.air import STANDARD_GRAVITY
from platewright.rotor.battery import Pack
from platewright.rotor.hover import Rotor, full_throttle, hover
from platewright.rotor.motor import Motor, run_at_voltage

ROTOR = Rotor(0.129, 0.16, 0.1, 1.225)
MOTOR = Motor(183.0, 0.08, 1.2)
PACK = Pack(6, 1.3, 0.004, 35)


def test_thrust_carries_the_weight_and_power_balances():
    h = hover(0.65, 4, ROTOR, MOTOR, PACK, other_power=8.0)
    speed = h.running.speed / 2 / math.pi
    assert 4 * ROTOR.thrust_coefficient * 1.225 * speed**2 * 0.129**4 == pytest.approx(0.65 * STANDARD_GRAVITY)
    assert h.voltage * h.current == pytest.approx(h.power)
    assert h.voltage == pytest.approx(PACK.open_voltage(0.5) - PACK.resistance * h.current)
    shaft = h.running.speed * h.running.torque
    assert shaft == pytest.approx(ROTOR.power_coefficient * 1.225 * speed**3 * 0.129**5)
    assert 0 < h.throttle < 1


def test_full_throttle_sags_and_lifts_more_than_the_weight():
    full = full_throttle(4, ROTOR, MOTOR, PACK)
    assert full.voltage == pytest.approx(PACK.open_voltage(0.9) - PACK.resistance * full.current)
    assert run_at_voltage(MOTOR, ROTOR.torque_factor, full.voltage).speed == pytest.approx(full.running.speed)
    assert full.thrust > 5 * 0.65 * STANDARD_GRAVITY


def test_hover_at_the_full_thrust_takes_the_whole_throttle():
    full = full_throttle(4, ROTOR, MOTOR, PACK, charge=0.5)
    h = hover((1 - 1e-9) * full.thrust / STANDARD_GRAVITY, 4, ROTOR, MOTOR, PACK, charge=0.5)
    assert h.throttle == pytest.approx(1.0)


def test_a_craft_that_cannot_hover_is_one_sentence():
    with pytest.raises(RotorError, match=r"craft of 3.00 kg cannot hover: each motor must have \d+\.\d V"):
        hover(3.0, 4, ROTOR, MOTOR, Pack(2, 1.3, 0.001, 90, 0.0005))
