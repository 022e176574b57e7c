"""Tabs and their slots, keys, standing plates."""

import math

import pytest

from frames import assembled, column, findings, part, place, plate, record
from platewright.assembly.keys import key_mismatches
from platewright.assembly.sketches import slot_length
from platewright.assembly.standing import on_plane
from platewright.fit.webs import inside_corners
from platewright.geometry.loops import bounding_box, contains, outline_area

HELD = (
    plate("base", 4),
    plate("deck"),
    column("post", "screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9"),
)
# 20 mm of air between base and deck; the cheek's own y counts from the top of the base
CHEEK = record(
    "part",
    id="cheek",
    kind="side",
    material="plate_woven_qi",
    thickness_mm=2,
    polygons=[{"points_mm": [[-15, 0], [15, 0], [15, 20], [-15, 20]]}],
) + place("cheek", "cheek", stands="xz", mirror="y", foot="base", offset_mm=10)
TAB = record("tab", id="tabs", of="cheek", into=["base", "deck"], along_mm=[0], length_mm=8, clearance_mm=0.1)


def test_a_tab_reaches_through_the_plates_it_enters():
    made = assembled(*HELD, CHEEK, TAB)
    assert bounding_box(made.parts["cheek"].outline) == pytest.approx((-15, -4, 15, 22))
    # one tab of 8 mm through 4 mm of base and one through 2 mm of deck; half a round of 1.05 mm beside each root
    reliefs = 4 * math.pi * 1.05**2 / 2
    assert outline_area(made.parts["cheek"].outline) == pytest.approx(30 * 20 + 8 * 4 + 8 * 2 - reliefs)


def test_no_inside_corner_of_a_tab_is_sharper_than_the_cutter():
    made = assembled(*HELD, CHEEK, TAB)
    radius = made.design.checks.cutter_mm / 2
    assert inside_corners(made.parts["cheek"].outline, radius) == ()


def test_each_entered_plate_gets_one_slot_per_standing_plate():
    made = assembled(*HELD, CHEEK, TAB)
    assert len(made.tabs) == 4  # two cheeks in two plates
    for name in ("base", "deck"):
        slots = made.parts[name].outline.inner
        boxes = sorted(bounding_box(s) for s in slots)
        assert [(b[1] + b[3]) / 2 for b in boxes] == pytest.approx([-10, 10])
        assert boxes[0][3] - boxes[0][1] == pytest.approx(2.1)  # cheek and play


def test_a_tab_without_its_slot_would_not_be_the_same_part():
    assert outline_area(assembled(*HELD, CHEEK).parts["cheek"].outline) == pytest.approx(600)


def test_the_corners_of_a_tab_pass_the_rounded_corners_of_its_slot():
    length, clearance, corner = 8.0, 0.1, 1.05
    slot = slot_length(length, clearance, corner)
    # the tab's corner, clearance / 2 from the slot's side, may just touch the arc about its middle
    dx, dy = length / 2 - (slot / 2 - clearance / 2 - corner), corner - clearance / 2
    assert math.hypot(dx, dy) == pytest.approx(corner)
    assert slot_length(8, 0.1, 0.05) == pytest.approx(8.1)  # corners within the play cost nothing


def test_keyed_arms_are_trimmed_midway_with_half_the_play_each():
    arm = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[0.001, 0.001])
    made = assembled(arm, record("key", id="k", of="arm", clearance_mm=0.2))
    own = made.parts["arm"].outline
    # arms at 45 and 135 deg: in the arm's own axes the trimming lines run at +-45 deg through (0.1 / sin 45, 0)
    tip = 0.1 * math.sqrt(2)
    assert bounding_box(own)[0] == pytest.approx(tip, abs=2e-3)
    assert contains(own, 10, 9.7)
    assert not contains(own, 10, 9.95)


def test_an_unequal_stance_gives_no_common_key():
    arm = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_radius_mm=0.01)
    key = record("key", id="k", of="arm")
    square = assembled(arm, key)
    assert key_mismatches(square.design, square.instances) == ()
    points = "at_mm = [[100, 80], [-100, 100], [-100, -100], [100, -80]]"
    uneven = assembled(arm, key, rotors=points)
    assert key_mismatches(uneven.design, uneven.instances) != ()
    found = findings("key.not_shared", arm, key, rotors=points)
    assert {f.severity for f in found} == {"fail"}


def test_a_point_of_a_line_is_taken_to_the_foot_of_the_plate():
    made = assembled(*HELD, CHEEK)
    cheek, base = made.instances["cheek.left"], made.instances["base"]
    assert on_plane(3, 7, "deck", cheek, made.instances, made.levels) == pytest.approx((3, 29))  # 20 + 2 higher
    assert on_plane(3, 7, "base", cheek, made.instances, made.levels) == (3, 7)
    assert on_plane(3, 7, None, cheek, made.instances, made.levels) == pytest.approx((3, 3))  # 4 mm of base
    assert on_plane(3, 7, "deck", base, made.instances, made.levels) == (3, 7)


def test_slots_meet_their_tabs_in_a_plate_that_is_turned_and_turned_over():
    """The slots' own points, taken back to the frame, lie along the cheeks whatever the deck's own axes are."""
    for keys in ({"turn_deg": 30}, {"turn_deg": 30, "over": True}):
        hold = column(
            "post", "screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9", at=[15, 15]
        )
        made = assembled(plate("base", 4), part("deck") + place("deck", "deck", **keys), hold, CHEEK, TAB)
        deck = made.instances["deck"]
        for slot in made.parts["deck"].outline.inner:
            ys = [deck.to_plane.apply(x, y)[1] for x, y, _ in slot.vertices]
            assert max(ys) - min(ys) == pytest.approx(2.1, abs=1e-6), keys
