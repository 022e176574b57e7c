"""Findings about boards of one stack and propellers on their shafts."""

import pytest

from frames import catalogue, equipment, findings, part, place, plate

SCREW = "screw M3 socket 12.9"
ARMS = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])


def powered(motor, **use):
    size = catalogue().find(motor)[0].base_thread
    return (
        ARMS,
        equipment("motor", {"m": motor}, at="rotors", stack=[f"screw {size} socket 12.9", "arm", "motor.m"]),
        equipment("prop", use, at="rotors", on="motor"),
    )


def test_boards_of_one_pattern_share_a_stack():
    both = equipment(
        "s",
        {"esc": "esc_30_55A", "fc": "fc_30"},
        stack=[SCREW, "base", "s.esc in grommet", "s.fc in grommet", "nut M3 insert"],
    )
    assert findings("board.pattern", plate("base"), both) == []
    mixed = equipment(
        "s",
        {"esc": "esc_20_45A", "fc": "fc_30"},
        stack=[SCREW, "base", "s.esc in grommet", "s.fc in grommet", "nut M3 insert"],
    )
    (found,) = findings("board.pattern", plate("base"), mixed)
    assert "20x20 and 30.5x30.5" in found.message


def test_a_propeller_with_its_nut_fits_the_shaft():
    assert findings("propeller.mount", *powered("motor_2207", p="prop_5in", n="prop_nut_m5_right")) == []


def test_a_threaded_shaft_needs_a_nut():
    (found,) = findings("propeller.mount", *powered("motor_2207", p="prop_5in"))
    assert "add nut = 'prop_nut_m5_right'" in found.message


def test_a_propeller_that_the_motor_cannot_hold():
    (found,) = findings("propeller.mount", *powered("motor_2207", p="prop_2in"))
    assert found.severity == "fail"
    assert "offers m5 nut" in found.message


def test_a_propeller_names_its_motor():
    (found,) = findings("propeller.mount", ARMS, equipment("prop", {"p": "prop_5in"}, at="rotors"))
    assert "has no motor" in found.message


def test_thread_left_on_the_shaft_is_what_hub_and_nut_do_not_take():
    motor, prop = catalogue().find("motor_2207")[0], catalogue().find("prop_5in")[0]
    nut = catalogue().find("prop_nut_m5_right")[0]
    low, high = motor.shaft_thread_length_range_mm
    (found,) = findings("propeller.thread", *powered("motor_2207", p="prop_5in", n="prop_nut_m5_right"))
    usual = (low + high) / 2 - prop.hub_height_mm - nut.height_mm
    assert found.value == pytest.approx(usual)
    assert found.limit == pytest.approx(0.8)  # one pitch of M5, ISO 261
    assert found.severity == ("fail" if usual < 0 else "warn")
