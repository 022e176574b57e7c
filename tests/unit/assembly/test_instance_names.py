"""Copies made by a mirror are named by where they stand, whichever of them the design writes down."""

import pytest

from platewright.assembly.instances import instance_at, instances_of
from platewright.model.design import Design

FRONT_LEFT, REAR_LEFT, REAR_RIGHT, FRONT_RIGHT = (30.0, 12.0), (-30.0, 12.0), (-30.0, -12.0), (30.0, -12.0)


def instances(first, mirror, **stands):
    part = {"id": "pad", "kind": "other", "material": "plate_woven_qi", "thickness_mm": 2}
    place = {"id": "foot", "part": "pad", "at_mm": first, "mirror": mirror} | stands
    values = {
        "format": 1,
        "frame": {"name": "F"},
        "rotors": {"fore_aft_mm": 100, "lateral_mm": 90},
        "part": [part],
        "place": [place],
    }
    return instances_of(Design.model_validate(values), ((50, 45), (-50, 45), (-50, -45), (50, -45)))


@pytest.mark.parametrize("first", [FRONT_LEFT, REAR_LEFT, REAR_RIGHT, FRONT_RIGHT])
def test_four_copies_count_counter_clockwise_from_the_front_left(first):
    named = instances(first, "xy")
    origins = {name: instance.to_plane.apply(0, 0) for name, instance in named.items()}
    assert origins == {
        "foot.1": pytest.approx(FRONT_LEFT),
        "foot.2": pytest.approx(REAR_LEFT),
        "foot.3": pytest.approx(REAR_RIGHT),
        "foot.4": pytest.approx(FRONT_RIGHT),
    }


@pytest.mark.parametrize("first", [FRONT_LEFT, REAR_LEFT, REAR_RIGHT, FRONT_RIGHT])
@pytest.mark.parametrize("point", [FRONT_LEFT, REAR_LEFT, REAR_RIGHT, FRONT_RIGHT])
def test_a_bolt_line_meets_the_copy_that_stands_in_its_quadrant(first, point):
    named = instances(first, "xy")
    assert instance_at(named, "foot", *point).to_plane.apply(0, 0) == pytest.approx(point)


@pytest.mark.parametrize(("mirror", "names"), [("y", {"foot.left", "foot.right"}), ("x", {"foot.front", "foot.rear"})])
def test_two_copies_are_named_by_their_side(mirror, names):
    named = instances(REAR_RIGHT, mirror)
    assert set(named) == names
    for name, instance in named.items():
        x, y = instance.to_plane.apply(0, 0)
        assert {"left": y > 0, "right": y < 0, "front": x > 0, "rear": x < 0}[name.removeprefix("foot.")]


@pytest.mark.parametrize("at", [25.0, -25.0])
@pytest.mark.parametrize(
    ("stands", "mirror", "positive", "negative"), [("xz", "x", "front", "rear"), ("yz", "y", "left", "right")]
)
def test_a_standing_plate_mirrored_in_its_own_plane(at, stands, mirror, positive, negative):
    named = instances((at, 3.0), mirror, stands=stands, offset_mm=0)
    assert named[f"foot.{positive}"].to_plane.apply(0, 0) == pytest.approx((25, 3))
    assert named[f"foot.{negative}"].to_plane.apply(0, 0) == pytest.approx((-25, 3))
    assert instance_at(named, "foot", 25, 3).name == f"foot.{positive}"
    assert instance_at(named, "foot", -25, 3).name == f"foot.{negative}"
