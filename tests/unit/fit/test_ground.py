"""On flat ground: what touches, how high the discs stay, and at which tilt one touches first."""

import math

import pytest

from frames import assembled, equipment, part, place, plate
from platewright.fit.discs import discs_of
from platewright.fit.ground import Support, first_strike, stand_on, up_vector
from platewright.fit.interference import prisms_of

SCREW = "screw M3 socket 12.9"
ARMS = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
MOTOR = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=[SCREW, "arm", "motor.m"])
PROPELLER = equipment("p", {"p": "prop_5in"}, at="rotors", on="motor")


def setting(*pieces, **tables):
    assembly = assembled(*pieces, **tables)
    return Support(assembly, prisms_of(assembly)), discs_of(assembly)


def test_level_it_stands_on_its_motor_screws_and_the_disc_is_that_much_higher():
    support, discs = setting(ARMS, MOTOR, PROPELLER)
    stand = stand_on(support, discs, 0.0)
    assert {name.partition(".")[0] for name in stand.touching} == {"motor"}
    assert stand.point[2] == pytest.approx(-3)  # the head of an M3 socket screw
    assert stand.clearance == pytest.approx(discs[0].z - discs[0].half_height() + 3)


def test_inverted_motors_put_the_discs_down_first():
    rotors = {"rotors": "fore_aft_mm = 200\nlateral_mm = 200\nbelow = true"}
    support, discs = setting(ARMS, MOTOR, PROPELLER, **rotors)
    # the shafts reach lower than the discs
    assert stand_on(support, discs, 0.0).clearance > 0
    assert first_strike(support, discs).tilt < math.radians(15)


def test_a_tilted_plate_touches_with_its_corner():
    support, _ = setting(plate("base", 4, (60, 40)))
    stand = stand_on(support, (), math.radians(20))
    assert stand.disc is None
    assert stand.clearance == math.inf
    assert stand.point[0] == pytest.approx(30)
    assert stand.point[2] == pytest.approx(0)


def test_the_disc_strikes_where_its_rim_comes_level_with_the_lowest_point():
    support, discs = setting(ARMS, MOTOR, PROPELLER)
    strike = first_strike(support, discs)
    up = up_vector(strike.tilt, strike.azimuth)
    disc = strike.disc
    low = up @ (disc.x, disc.y, disc.z) - math.sin(strike.tilt) * disc.diameter / 2 - up[2] * disc.half_height()
    assert low == pytest.approx(support.lowest(up)[0], abs=0.2)  # the angle is found to 0.05 deg
    assert stand_on(support, discs, strike.tilt + math.radians(1)).clearance < 0
    assert stand_on(support, discs, strike.tilt - math.radians(1)).clearance > 0


def test_without_discs_nothing_strikes():
    support, discs = setting(plate("base"))
    assert first_strike(support, discs) is None


def test_a_round_foot_touches_at_its_rim():
    support, _ = setting(ARMS, MOTOR)
    least, _, point = support.lowest(up_vector(math.radians(10), 0.0))
    assert least == pytest.approx(up_vector(math.radians(10), 0.0) @ point)
