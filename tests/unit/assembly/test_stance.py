"""Rotors: numbers, turning directions, arms."""

import math

import pytest

from frames import design, part, place
from platewright.assembly.stance import arm_lines, rotor_axes, rotors_of, stretch

ARM = part("arm") + place("arm", "arm", to="rotors", root_mm=[10, 12])


def rotors(text, *pieces):
    made = design(*pieces, rotors=text)
    return rotors_of(made.rotors, made.place)


def test_a_rectangle_is_numbered_counter_clockwise_from_the_front_left():
    found = rotors("fore_aft_mm = 160\nlateral_mm = 150")
    assert [(r.number, r.x, r.y) for r in found] == [(1, 80, 75), (2, -80, 75), (3, -80, -75), (4, 80, -75)]
    assert [r.turns for r in found] == ["cw", "ccw", "cw", "ccw"]
    assert stretch([(r.x, r.y) for r in found]) == 10


def test_free_points_are_numbered_the_same_way_whatever_their_order():
    found = rotors("at_mm = [[80, -75], [-80, -75], [80, 75], [-80, 75]]")
    assert [(r.x, r.y) for r in found] == [(80, 75), (-80, 75), (-80, -75), (80, -75)]


def test_a_coaxial_pair_shares_its_axis_and_turns_against_one_another():
    found = rotors("fore_aft_mm = 160\nlateral_mm = 150\ncoaxial = true")
    assert [r.number for r in found] == list(range(1, 9))
    for upper, lower in zip(found[:4], found[4:], strict=True):
        assert (upper.x, upper.y, upper.axis) == (lower.x, lower.y, lower.axis)
        assert (upper.below, lower.below) == (False, True)
        assert upper.turns != lower.turns


def test_turns_of_the_design_are_kept():
    found = rotors('fore_aft_mm = 160\nlateral_mm = 150\nturns = ["ccw", "cw", "ccw", "cw"]')
    assert [r.turns for r in found] == ["ccw", "cw", "ccw", "cw"]


def test_rotors_follow_the_arms():
    pieces = part("arm") + place("arm", "arm", to="rotors", root_mm=[10, 12], bearing_deg=45, reach_mm=100)
    made = design(pieces, rotors='follow = "arm"')
    half = 100 / math.sqrt(2)
    assert rotor_axes(made.rotors, made.place)[0] == pytest.approx((10 + half, 12 + half))
    lines = arm_lines(made.place[0], rotor_axes(made.rotors, made.place))
    assert [line.reach for line in lines] == pytest.approx([100] * 4)


def test_roots_are_mirrored_to_every_rotor():
    made = design(ARM)
    lines = arm_lines(made.place[0], rotor_axes(made.rotors, made.place))
    assert [(line.root_x, line.root_y) for line in lines] == [(10, 12), (-10, 12), (-10, -12), (10, -12)]


def test_roots_on_a_circle_look_outwards():
    made = design(part("arm") + place("arm", "arm", to="rotors", root_radius_mm=20))
    for line in arm_lines(made.place[0], rotor_axes(made.rotors, made.place)):
        assert math.hypot(line.root_x, line.root_y) == pytest.approx(20)
        assert math.atan2(line.root_y, line.root_x) == pytest.approx(line.bearing)


def test_a_root_on_its_rotor_is_refused():
    made = design(ARM)
    with pytest.raises(ValueError, match="root on a rotor axis"):
        arm_lines(made.place[0], [(10, 12)])
