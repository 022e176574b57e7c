"""Findings about screws: what a head and a driver need, and when nothing is wrong."""

import pytest

from frames import catalogue, column, equipment, findings, part, place, plate, two_plates

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"


def recessed(diameter):
    """A head of 3 mm sits in a pad of 5 mm: the pad surrounds it."""
    return (
        plate("pad", 5), plate("base", 2),
        column("hold", SCREW, "pad", "base", "nut M3 hex"),
        column("a", f"pad access {diameter}", SCREW, "base", "nut M3 hex", at=[0, 0], mirror=""),
    )  # fmt: skip


def test_a_hole_that_surrounds_a_head_lets_the_largest_head_of_the_standard_in():
    # ISO 4762, M3: a knurled head is at most 5.68 mm
    (found,) = findings("access.head", *recessed(5.6))
    assert (found.severity, found.value, found.limit) == ("fail", 5.6, 5.68)
    assert "the head needs" in found.message
    assert findings("access.head", *recessed(5.7)) == []


def test_a_hole_far_from_the_head_lets_only_the_driver_by():
    held = two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON)
    # the head stands on the base, 20 mm under the deck
    inner = column("a", "nut M3 hex", "base", SCREW, "deck access 3.3", at=[0, 0], mirror="")
    assert findings("access.head", *held, inner) == []
    tight = column("a", "nut M3 hex", "base", SCREW, "deck access 3.2", at=[0, 0], mirror="")
    (found,) = findings("access.head", *held, tight)
    assert found.limit == pytest.approx(2.5 / 3**0.5 * 2 + 0.4)


def test_threads_of_two_sizes_do_not_mate():
    arm = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
    motor = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=["screw M2 socket 12.9", "arm", "motor.m"])
    (found,) = findings("screw.thread", arm, motor)
    assert "M2 and ends in a thread M3" in found.message


def test_equal_screws_of_four_arms_are_said_once():
    assert len(findings("screw.no_thread", plate("base"), column("post", SCREW, "base"))) == 1


def test_a_nut_beside_the_head_of_another_screw_has_no_room_for_a_spanner():
    apart = catalogue().nut("M3", "hex").outer_d_mm / 2 + 2 + 5.5 / 2  # half the nut, the spanner, half the head
    for gap, count in ((apart - 0.1, 1), (apart + 0.1, 0)):
        pieces = (
            plate("base"),
            column("up", SCREW, "base", "nut M3 hex", at=[0, 0], mirror=""),
            column("down", "nut M3 press in base", "base", SCREW, at=[gap, 0], mirror=""),
        )
        assert len(findings("nut.spanner", *pieces)) == count, gap


def test_a_screw_that_stands_out_too_far_is_a_note():
    pieces = (plate("base"), column("post", "screw M3x10 socket 12.9", "base", "nut M3 hex"))
    (found,) = findings("screw.too_long", *pieces)
    assert (found.severity, found.value, found.limit) == ("note", pytest.approx(10 - 4.275), 4)
    assert findings("screw.too_long", *pieces, checks="nut_protrusion_max_mm = 6") == []
