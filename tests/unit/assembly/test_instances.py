"""Places become instances: names, sides, and the map from a part's own axes."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frames import design, part, place
from platewright.assembly.instances import instance_at, instances_of
from platewright.assembly.stance import rotor_axes


def instances(*pieces, **tables):
    made = design(*pieces, **tables)
    return instances_of(made, rotor_axes(made.rotors, made.place))


def test_copies_of_a_mirrored_place_are_named_for_where_they_stand():
    left_first = instances(part("wing"), place("wing", "wing", at_mm=[0, 30], mirror="y"))
    assert {n: i.to_plane.apply(0, 0) for n, i in left_first.items()} == {"wing.left": (0, 30), "wing.right": (0, -30)}
    rear_first = instances(part("wing"), place("wing", "wing", at_mm=[-30, 5], mirror="x"))
    assert {n: i.to_plane.apply(0, 0) for n, i in rear_first.items()} == {"wing.rear": (-30, 5), "wing.front": (30, 5)}


def test_a_mirrored_flat_part_is_turned_over_and_a_doubly_mirrored_one_is_not():
    over = {n: i.over for n, i in instances(part("w"), place("w", "w", at_mm=[20, 30], mirror="xy")).items()}
    assert over == {"w.1": False, "w.2": True, "w.3": False, "w.4": True}


def test_a_mirrored_copy_maps_the_mirrored_point_to_the_same_point_of_the_part():
    made = instances(part("w"), place("w", "w", at_mm=[20, 30], turn_deg=25, mirror="y"))
    at_left = made["w.left"].in_part(24, 33)
    assert made["w.right"].in_part(24, -33) == pytest.approx(at_left)


def test_arms_lead_from_their_roots_to_the_rotors():
    made = instances(part("arm"), place("arm", "arm", to="rotors", root_mm=[10, 10]))
    assert list(made) == ["arm.1", "arm.2", "arm.3", "arm.4"]  # counter-clockwise from the front left
    reach = math.hypot(90, 90)
    for name, tip in zip(made, [(100, 100), (-100, 100), (-100, -100), (100, -100)], strict=True):
        assert made[name].to_plane.apply(reach, 0) == pytest.approx(tip)


def test_handed_arms_of_the_other_side_are_turned_over():
    made = instances(part("arm"), place("arm", "arm", to="rotors", root_mm=[10, 10], handed=True))
    assert [i.over for i in made.values()] == [False, True, False, True]
    # a bump on the arm's own left looks outwards to the front on both front arms
    front_left, front_right = made["arm.1"].to_plane.apply(40, 5), made["arm.4"].to_plane.apply(40, 5)
    assert front_right == pytest.approx((front_left[0], -front_left[1]))


def test_a_point_means_the_nearest_arm():
    made = instances(part("arm"), place("arm", "arm", to="rotors", root_mm=[10, 10]))
    assert instance_at(made, "arm", -50, 45).name == "arm.2"
    with pytest.raises(KeyError):
        instance_at(made, "leg", 0, 0)


def test_a_point_means_the_copy_of_its_side():
    made = instances(part("w"), place("w", "w", at_mm=[20, -30], mirror="xy"))
    for name, (x, y) in {"w.1": (20, -30), "w.2": (-20, -30), "w.3": (-20, 30), "w.4": (20, 30)}.items():
        assert instance_at(made, "w", x, y).to_plane.apply(0, 0) == (x, y), name


def test_standing_plates_stand_in_their_plane():
    pieces = (part("base"), place("base", "base"), part("cheek"))
    made = instances(*pieces, place("cheek", "cheek", stands="xz", mirror="y", foot="base", offset_mm=12))
    left, right = made["cheek.left"], made["cheek.right"]
    assert (left.normal, left.side, right.side) == ("y", 1, -1)
    assert left.to_plane == right.to_plane  # both stand on the same heights


@given(
    st.floats(-90, 90), st.floats(-90, 90), st.floats(-360, 360), st.booleans(), st.floats(-50, 50), st.floats(-50, 50)
)
def test_in_part_undoes_the_placing(x, y, turn, over, px, py):
    made = instances(part("p"), place("p", "p", at_mm=[x, y], turn_deg=turn, over=over))["p"]
    assert made.in_part(*made.to_plane.apply(px, py)) == pytest.approx((px, py), abs=1e-9)


@given(st.floats(-360, 360), st.floats(-3, 3), st.booleans())
def test_a_direction_is_taken_to_the_parts_own_axes_as_its_two_ends_are(turn, angle, over):
    made = instances(part("p"), place("p", "p", at_mm=[4, -7], turn_deg=turn, over=over))["p"]
    (x0, y0), (x1, y1) = made.in_part(0, 0), made.in_part(math.cos(angle), math.sin(angle))
    own = made.turn_in_part(angle)
    assert (math.cos(own), math.sin(own)) == pytest.approx((x1 - x0, y1 - y0), abs=1e-9)
