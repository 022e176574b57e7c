from __future__ import annotations

import math

import pytest

from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import Circle, Outline, transform_outline
from platewright.geometry.near import NearMatch, near_match
from platewright.geometry.shapes import rectangle_loop, rounded_polygon

HOLES = (Circle(-40, 5, 1.6), Circle(-32, -4, 1.6), Circle(41, 3, 1.1), Circle(30, -6, 2.0))


def arm(tip_mm: float = 50.0, holes: tuple[Circle, ...] = HOLES, slot_mm: float = 0.0) -> Outline:
    """Return a plate like no turned or mirrored self: narrow at the tip, four holes, a slot."""
    outer = rounded_polygon([(-50, -12), (tip_mm, -8), (tip_mm, 9), (-50, 12)], [3, 3, 5, 2])
    return Outline(outer, (rectangle_loop(slot_mm, 0, 12, 3),), holes)


MOTIONS = [
    Isometry(),
    Isometry.from_turn(math.radians(37.0), 12.0, -80.0),
    Isometry.from_turn(math.radians(-101.0), 3.0, 4.0, True),
]


def near(one: Outline, other: Outline, within: float = 2.0) -> NearMatch:
    found = near_match(one, other, within)
    assert found is not None
    return found


@pytest.mark.parametrize("motion", MOTIONS)
def test_the_same_outline_moved_has_no_difference(motion: Isometry):
    found = near(arm(), transform_outline(arm(), motion))
    assert (found.holes, found.openings, found.edges) == ((), (), ())
    assert found.motion.flip == motion.flip
    assert found.motion.apply(10, 3) == pytest.approx(motion.apply(10, 3), abs=1e-6)


@pytest.mark.parametrize("motion", MOTIONS)
def test_one_moved_hole_is_found_with_its_distance(motion: Isometry):
    moved = (*HOLES[:3], Circle(30.3, -6.4, 2.0))
    found = near(arm(), transform_outline(arm(holes=moved), motion))
    (hole,) = found.holes
    assert (hole.kind, hole.first_diameter, hole.second_diameter) == ("moved", 4.0, 4.0)
    assert hole.distance == pytest.approx(0.5, abs=1e-6)
    assert (hole.x, hole.y) == pytest.approx(motion.apply(30.3, -6.4), abs=1e-6)
    assert found.edges == ()
    assert found.largest == pytest.approx(0.5, abs=1e-6)


def test_a_resized_and_two_missing_holes():
    other = (HOLES[0], Circle(-32, -4, 1.7), HOLES[2], Circle(0, 6, 1.0))
    found = near(arm(), arm(holes=other))
    said = {h.kind: h for h in found.holes}
    assert set(said) == {"resized", "first", "second"}
    assert said["resized"].second_diameter == pytest.approx(3.4)
    assert (said["first"].x, said["first"].y) == (30, -6)
    assert (said["second"].x, said["second"].second_diameter) == (0, 2.0)
    assert found.missing == 2
    assert found.largest == pytest.approx(0.1)


@pytest.mark.parametrize("motion", MOTIONS)
def test_a_longer_plate_is_compared_from_its_holes_not_from_its_middle(motion: Isometry):
    found = near(arm(), transform_outline(arm(tip_mm=51.5), motion))
    assert found.holes == ()
    assert {e.more for e in found.edges} == {"second"}
    assert found.edges[0].depth == pytest.approx(1.5, abs=0.05)
    x, _ = motion.inverse().apply(found.edges[0].x, found.edges[0].y)
    assert 48 < x < 51.6


def test_a_slot_elsewhere_is_an_opening_not_four_edges():
    found = near(arm(), arm(slot_mm=0.7))
    (slot,) = found.openings
    assert slot.distance == pytest.approx(0.7, abs=1e-9)
    assert (slot.length, slot.width) == pytest.approx((12, 3))
    assert found.edges == ()


def test_what_is_farther_off_than_wanted_is_another_shape():
    assert near_match(arm(), arm(tip_mm=53.0), 2.0) is None
    assert near_match(arm(), arm(tip_mm=53.0), 3.5) is not None
    assert near_match(arm(), Outline(rectangle_loop(0, 0, 100, 20)), 2.0) is None


def test_plates_without_holes_are_laid_on_one_another_by_corners():
    one = Outline(rounded_polygon([(0, 0), (40, 0), (40, 12), (0, 25)], [1, 1, 1, 1]))
    other = transform_outline(
        Outline(rounded_polygon([(0, 0), (40, 0), (40, 12), (0, 25.4)], [1, 1, 1, 1])), MOTIONS[1]
    )
    found = near(one, other)
    assert found.largest == pytest.approx(0.4, abs=0.06)
    assert found.holes == ()
