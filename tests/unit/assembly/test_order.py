"""In which order a frame goes together."""

import math

import pytest

from frames import assembled, column, equipment, findings, part, place, plate, record, two_plates
from platewright.assembly.order import assembly_order
from platewright.assembly.reach import driver_radius

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"


def order(*pieces):
    return assembly_order(assembled(*pieces))


def test_a_driver_needs_its_corners_and_play():
    # a hexagon of 2.5 mm across flats is 2.5 / cos 30 = 2.887 mm across its corners
    assert driver_radius(2.5) == pytest.approx(2.5 / math.cos(math.pi / 6) / 2 + 0.2)


def test_steps_build_from_below_and_hold_every_plate_and_screw_once():
    made = assembled(*two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON))
    found = assembly_order(made)
    assert [(s.number, s.owner, s.places) for s in found.steps] == [(1, "post", ("base",)), (2, "post", ("deck",))]
    assert [len(s.screws) for s in found.steps] == [4, 4]
    assert found.blocked == ()


def test_a_screw_under_a_plate_comes_before_it():
    board = equipment("fc", {"fc": "fc_30"}, stack=["nut M3 insert", "fc.fc in grommet", "base", SCREW])
    hold = column("post", SCREW, "base", "standoff M3x20", "deck", BUTTON, at=[26, 26])
    steps = order(plate("base", 4), plate("deck"), hold, board).steps
    owners = [s.owner for s in steps]
    assert owners.index("fc") < len(owners) - 1
    assert steps[-1].places == ("deck",)  # once the deck is on, no driver reaches the boards' screws


def knot(*below):
    """Three plates: the lower pair is screwed from under the top one, the upper pair from over the bottom one."""
    return (
        plate("low", 4), plate("mid"), plate("top"),
        column("lower", "nut M3 hex", "low", "spacer M3x10", "mid", SCREW, "gap", "top", at=[10, 0], mirror="x"),
        column("upper", *below, SCREW, "mid", "spacer M3x10", "top", "nut M3 hex", at=[0, 15], mirror="y"),
    )  # fmt: skip


def test_a_screw_that_no_driver_reaches_is_blocked():
    """Whichever pair is screwed first, its outer plate covers the heads of the other."""
    pieces = knot("low", "gap")
    found = order(*pieces)
    assert {b.screw.line.owner for b in found.blocked} == {"upper"} or {b.screw.line.owner for b in found.blocked} == {
        "lower"
    }
    (finding, *_) = findings("screw.no_driver", *pieces)
    assert finding.severity == "fail"


def test_an_access_hole_lets_the_driver_by():
    assert order(*knot("low access 7")).blocked == ()
    assert findings("screw.no_driver", *knot("low access 7")) == []
    # a key of 2.5 mm needs 2.5 / cos 30 + 0.4 = 3.29 mm
    assert order(*knot("low access 3.3")).blocked == ()
    assert order(*knot("low access 3.2")).blocked != ()


def test_a_head_between_two_plates_that_one_joint_holds_cannot_be_driven():
    # the screw's head lies between base and lid, and the lid is held by the very same column's other screw
    pieces = (
        plate("base", 4), plate("mid"), plate("lid"),
        column("hold", SCREW, "base", "spacer M3x5", "mid", "spacer M3x10", "lid", "nut M3 hex", at=[20, 20]),
        column("inner", "nut M3 hex", "base", "spacer M3x5", "mid", SCREW, at=[0, 0], mirror=""),
    )  # fmt: skip
    # one joint holds base, mid and lid together: the inner screw is driven while the lid is not yet bolted on
    found = order(*pieces)
    owners = [s.owner for s in found.steps]
    assert owners == ["inner", "hold"]
    assert "lid" in found.covered["inner", 4]
    assert found.blocked == ()


def test_motors_screwed_to_an_arm_are_covered_by_the_plate_below_them():
    arm = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
    motor = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=[SCREW, "arm", "motor.m"])
    plates = plate("belly", 2, (260, 260))
    clamp = column("c", SCREW, "belly", "arm", "nut M3 hex", at=[20, 0], mirror="", of="arm")
    found = order(plates, arm, clamp, motor)
    assert [s.owner for s in found.steps] == ["motor", "c"]  # motors first, or their screws could not be reached
    (note,) = findings("screw.covered", plates, arm, clamp, motor)
    assert (note.severity, note.where) == ("note", "motor")
    assert "belly" in note.message


def test_standing_plates_held_by_tabs_come_with_the_plate_they_enter():
    cheek = (
        record(
            "part",
            id="cheek", kind="side", material="plate_woven_qi", thickness_mm=2,
            polygons=[{"points_mm": [[-15, 0], [15, 0], [15, 20], [-15, 20]]}],
        )
        + place("cheek", "cheek", stands="xz", mirror="y", foot="base", offset_mm=10)
        + record("tab", id="t", of="cheek", into=["base", "deck"], along_mm=[0], length_mm=8)
    )  # fmt: skip
    steps = order(*two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON), cheek).steps
    where = [n for n, s in enumerate(steps) if "cheek.left" in s.places]
    assert len(where) == 1


def test_what_is_laid_in_comes_last():
    battery = equipment("battery", {"b": "lipo_4s_850"}, on="deck")
    steps = order(*two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON), battery).steps
    assert (steps[-1].owner, steps[-1].equipment, steps[-1].screws) == ("", ("battery",), ())


def test_a_stud_is_a_step_of_its_own_turned_in_by_hand():
    steps = order(*two_plates(SCREW, "base", "standoff M3x20 studded", "deck", "nut M3 thin")).steps
    assert [(s.places, len(s.screws), len(s.studs)) for s in steps] == [(("base",), 4, 0), (("deck",), 0, 4)]
