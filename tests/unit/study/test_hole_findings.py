"""Findings about holes: edges, faces, sheets."""

import math

import pytest

from frames import assembled, column, equipment, findings, part, place, plate
from platewright.study.hole_findings import hole_mass_g

NUT = ("screw M3 socket 12.9", "base", "nut M3 hex")


def test_plate_beside_a_hole_is_judged_by_the_trades_limit():
    """2.0 mm (common practice, no source)."""
    # 30 - 26.3 = 3.7 mm from the centre to the edge, less 1.6
    at = lambda x: (plate("base"), column("p", *NUT, at=[x, 0], mirror=""))  # noqa: E731
    assert [f for f in findings("hole.edge", *at(26.3)) if f.severity == "warn"] == []
    (found,) = (f for f in findings("hole.edge", *at(26.5)) if f.severity == "warn")
    assert (found.value, found.limit, found.margin) == pytest.approx((1.9, 2.0, -0.1))
    assert "no source" in found.why


def test_motor_holes_have_a_limit_of_their_own():
    arm = part("arm", 5, (300, 21.4)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
    motor = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=["screw M3 socket 12.9", "arm", "motor.m"])
    # holes 8 mm to the side of a bar 21.4 mm wide: 10.7 - 8 - 1.6 = 1.1 mm; four equal ones are said once
    (found,) = (f for f in findings("hole.edge", arm, motor) if f.severity == "warn" and f.value < 2)
    assert (found.value, found.limit) == pytest.approx((1.1, 2.5))


def test_the_composite_rule_is_one_note_for_the_frame():
    pieces = (plate("base"), column("p", *NUT, at=[22, 0], mirror="x"))
    (found,) = (f for f in findings("hole.edge", *pieces) if f.severity == "note")
    assert (found.where, found.value, found.limit) == ("frame", pytest.approx(8 / 3.2), 3)
    assert found.unit == "diameters"
    assert "D5961" in found.why  # ASTM D5961, from memory


def test_an_access_hole_at_an_edge_only_warns():
    pieces = (
        plate("base"), plate("cover"),
        column("hold", "screw M3 socket 12.9", "cover", "standoff M3x20", "base", "screw M3 button 10.9"),
        column("a", "cover access 7", "screw M3 socket 12.9", "base", "nut M3 hex", at=[27, 0], mirror=""),
    )  # fmt: skip
    assert [f.severity for f in findings("hole.touches", *pieces)] == ["warn"]


def test_what_an_idle_hole_leaves_out():
    made = assembled(plate("base"), column("p", *NUT, at=[0, 0], mirror=""))
    density = made.catalogue.laminate("plate_woven_qi").density_g_cm3.typical
    finished = made.parts["base"]
    assert hole_mass_g(made, finished, finished.holes.holes[0]) == pytest.approx(math.pi * 1.6**2 * 2 * density / 1000)


def test_a_plain_part_turned_over_is_the_same_part_and_a_marked_one_is_not():
    both = place("a", "wing") + place("b", "wing", at_mm=[0, 60], over=True)
    hold = (
        plate("base", 2, (60, 150)),
        column("p", "screw M3 socket 12.9", "base", "spacer M3x5", "a", "nut M3 hex", at=[0, 0], mirror=""),
        column("q", "screw M3 socket 12.9", "base", "spacer M3x5", "b", "nut M3 hex", at=[0, 60], mirror=""),
    )
    assert findings("part.faces", part("wing", 2, (40, 40)), both, *hold) == []
    marked = part("wing", 2, (40, 40), marks=[{"text": "UP", "at_mm": [10, 10], "height_mm": 4}])
    (found,) = findings("part.faces", marked, both, *hold)
    assert "has marks" in found.message
