"""Bodies of equipment stand where their mounting puts them."""

import pytest

from frames import assembled, catalogue, equipment, part, place, plate, two_plates

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"
ARMS = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
MOTOR = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=[SCREW, "arm", "motor.m"])
PROP = equipment("prop", {"p": "prop_5in", "n": "prop_nut_m5_right"}, at="rotors", on="motor")
HELD = two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON)


def bodies(*pieces, **tables):
    return {b.name: b for b in assembled(*pieces, **tables).bodies}


def test_a_motor_stands_on_its_plate_and_the_propeller_on_its_seat():
    made = bodies(ARMS, MOTOR, PROP)
    record = catalogue().find("motor_2207")[0]
    assert made["motor.1"].frame.origin == pytest.approx((100, 100, 5))
    assert made["prop.p.1"].frame.origin == pytest.approx((100, 100, 5 + record.seat_height_mm))
    assert {n for n in made if n.startswith("prop.n")} == {f"prop.n.{i}" for i in (1, 2, 3, 4)}


def test_a_motor_that_hangs_below_looks_down():
    made = bodies(ARMS, MOTOR, PROP, rotors="fore_aft_mm = 200\nlateral_mm = 200\nbelow = true")
    assert made["motor.1"].frame.origin[2] == pytest.approx(0)
    assert made["motor.1"].frame.n[2] == -1
    assert made["prop.p.1"].frame.origin[2] == pytest.approx(-catalogue().find("motor_2207")[0].seat_height_mm)


def test_a_board_lies_in_the_middle_of_its_grommets():
    board = equipment("fc", {"fc": "fc_30"}, stack=[SCREW, "base", "spacer M3x3", "fc.fc in grommet", "nut M3 insert"])
    made = bodies(plate("base", 4), board)
    # a grommet squeezed to 6.2 mm from 7 mm up; a board of 1.6 mm in its middle
    assert made["fc.fc"].frame.origin[2] == pytest.approx(7 + (6.2 - 1.6) / 2)


def test_what_lies_on_a_plate_and_what_hangs_under_it():
    top = bodies(*HELD, equipment("b", {"b": "lipo_4s_850"}, on="deck"))["b.b"]
    under = bodies(*HELD, equipment("b", {"b": "lipo_4s_850"}, on="deck", face="bottom"))["b.b"]
    assert (top.frame.origin[2], top.frame.n[2]) == pytest.approx((26, 1))
    assert (under.frame.origin[2], under.frame.n[2]) == pytest.approx((24, -1))


def test_mirrored_copies_stand_on_both_sides():
    made = bodies(*HELD, equipment("a", {"a": "antenna_5g8_micro"}, on="deck", at_mm=[10, 12], mirror="y"))
    assert made["a.a.1"].frame.origin[:2] == (10, 12)
    assert made["a.a.2"].frame.origin[:2] == (10, -12)


def test_a_camera_looks_forward_and_up_by_its_tilt():
    cam = equipment("cam", {"c": "camera_micro"}, axis="y", at_mm=[20, 9], foot="base", tilt_deg=30)
    body = bodies(plate("base", 4), cam)["cam.c"]
    assert body.frame.origin == pytest.approx((20, 0, 13))
    assert body.frame.n == pytest.approx((0.75**0.5, 0, 0.5))


def test_a_strap_is_soft_and_what_is_not_fitted_is_not_there():
    strap = equipment("strap", {"s": "strap_20"}, on="deck")
    off = equipment("b", {"b": "lipo_4s_850"}, on="deck", fitted=False)
    assert not {n for n in bodies(*HELD, strap, off) if n.startswith(("strap", "b."))}
