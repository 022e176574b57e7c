from dataclasses import replace

import numpy as np
import pytest

from platewright.rotor.air import STANDARD_GRAVITY
from platewright.rotor.battery import Pack
from platewright.rotor.forward import fly, top_speed
from platewright.rotor.hover import Rotor, full_throttle, hover
from platewright.rotor.trim import trim
from platewright.rotor.trim_records import Airframe
from rotors import MOTOR, PACK, PROPELLER

DISCS = np.array([[0.084, 0.08, 0.0], [-0.084, 0.08, 0.0], [-0.084, -0.08, 0.0], [0.084, -0.08, 0.0]])
QUAD = Airframe(0.65, DISCS, 0.3, 0.008, 0.02, 0.0, 1.0, 0.0, 0.0)
SPEEDS = np.linspace(0, 45, 31)


def flown(frame=QUAD, speeds=SPEEDS, **keys):
    trimmed = trim([frame], PROPELLER, speeds)
    return trimmed, fly(trimmed, PROPELLER, MOTOR, PACK, speeds, **keys)


def test_at_no_speed_it_is_hover():
    """Neighbours add nothing in hover, so both ways must agree."""
    _, flight = flown(speeds=np.array([0.0]), other_power=8.0)
    still = hover(0.65, 4, Rotor(PROPELLER.diameter, 0.2, 0.13, 1.225), MOTOR, PACK, other_power=8.0)
    assert float(flight.power[0, 0]) == pytest.approx(still.power, rel=2e-3)
    assert float(flight.current[0, 0]) == pytest.approx(still.current, rel=2e-3)
    assert flight.motor_current[0, 0] == pytest.approx(still.running.current, rel=2e-3)


def test_full_throttle_at_no_speed_is_that_of_hover():
    _, flight = flown(speeds=np.array([0.0]), charge=0.9)
    full = full_throttle(4, Rotor(PROPELLER.diameter, 0.2, 0.13, 1.225), MOTOR, PACK, charge=0.9)
    assert flight.full_speed[0, 0] == pytest.approx(full.running.speed, rel=2e-3)


def test_power_has_its_least_at_some_speed_and_grows_with_the_cube_beyond():
    _, flight = flown()
    best = int(np.nanargmin(flight.power[0]))
    assert 3 < SPEEDS[best] < 20
    assert flight.power[0, 26] > 1.5 * flight.power[0, 20]
    assert flight.range == pytest.approx(flight.endurance * SPEEDS)


def test_the_largest_range_is_faster_than_the_longest_flight():
    _, flight = flown()
    assert SPEEDS[np.nanargmax(flight.range[0])] > SPEEDS[np.nanargmax(flight.endurance[0])]


def test_top_speed_is_where_a_rotor_is_at_full_throttle():
    weak = Pack(4, 1.1, 0.004, 35)
    trimmed = trim([QUAD], PROPELLER, SPEEDS)
    flight = fly(trimmed, PROPELLER, MOTOR, weak, SPEEDS)
    top = top_speed(flight.used[0], trimmed.applies[0], SPEEDS)
    assert top is not None
    there = fly(trim([QUAD], PROPELLER, np.array([top])), PROPELLER, MOTOR, weak, np.array([top]))
    assert float(there.used[0, 0]) == pytest.approx(1, abs=0.01)
    assert float(there.eaten[0, 0]) > 1


def test_no_authority_is_taken_in_even_hover_and_more_the_further_the_centre_is_off():
    assert float(flown(speeds=np.array([0.0]))[1].eaten[0, 0]) == pytest.approx(0, abs=1e-3)
    eaten = [
        float(flown(replace(QUAD, discs=DISCS + np.array([dx, 0, 0])), np.array([0.0]))[1].eaten[0, 0])
        for dx in (0.005, 0.01)
    ]
    assert 0 < eaten[0] < eaten[1] < 1


def test_a_battery_that_cannot_give_the_power_gives_no_number():
    poor = Pack(6, 1.1, 0.5, 35)
    trimmed = trim([QUAD], PROPELLER, np.array([40.0]))
    assert np.isnan(fly(trimmed, PROPELLER, MOTOR, poor, np.array([40.0])).current).all()


def test_power_is_never_less_than_lifting_takes():
    """Out of the battery must come at least weight times induced speed."""
    trimmed, flight = flown()
    ideal = (trimmed.thrust * trimmed.induced).sum(axis=-1)
    assert np.all(flight.power[trimmed.applies] > ideal[trimmed.applies])
    assert float(ideal[0, 0]) == pytest.approx(0.65 * STANDARD_GRAVITY * trimmed.induced[0, 0, 0], rel=1e-3)
