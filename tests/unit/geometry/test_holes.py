import math

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from platewright.foundation.errors import GeometryError
from platewright.geometry.holes import pierce
from platewright.geometry.loops import Circle, Outline, circle_loop, loop_area, outline_area
from platewright.geometry.shapes import rectangle_loop, slot_loop

PLATE = Outline(rectangle_loop(0, 0, 80, 40), (rectangle_loop(-20, 0, 10, 8, corner=1),), (Circle(20, 0, 5),))


def test_free_holes_are_only_written_down():
    slot = slot_loop(0, 10, 6, 10, 2)
    pierced, touching = pierce(PLATE, [Circle(0, 0, 1.6), Circle(30, 10, 1.1)], [slot])
    assert touching == ()
    assert pierced.outer is PLATE.outer
    assert pierced.circles == (*PLATE.circles, Circle(0, 0, 1.6), Circle(30, 10, 1.1))
    gone = math.pi * (1.6**2 + 1.1**2) + loop_area(slot)
    assert outline_area(PLATE) - outline_area(pierced) == pytest.approx(gone, rel=1e-12)


@pytest.mark.parametrize(
    ("circles", "slots", "expected"),
    [
        ([Circle(40, 0, 2)], [], (0,)),  # over the outer edge
        ([Circle(0, 0, 2), Circle(-15, 0, 2)], [], (1,)),  # over an opening's edge
        ([Circle(26, 0, 2)], [], (0,)),  # over a round hole's rim
        ([Circle(20, 0, 1)], [], (0,)),  # within a hole
        ([Circle(20, 0, 6)], [], (0,)),  # round a hole
        ([Circle(0, 0, 2), Circle(3, 0, 2), Circle(0, 12, 1)], [], (0, 1)),  # over one another
        ([Circle(0, 0, 2), Circle(0, 0, 1)], [], (0, 1)),  # one within the other
        ([Circle(38, 0, 2)], [], (0,)),  # just touching the edge
        ([], [slot_loop(0, 0, 18, 0, 2)], (0,)),  # slot into a round hole
        ([Circle(0, 10, 1)], [slot_loop(0, 10, 9, 10, 4)], (0, 1)),  # hole within a slot
        ([], [rectangle_loop(-20, 0, 14, 12)], (0,)),  # slot round an opening
        ([], [slot_loop(-20, 0, -19, 0, 2)], (0,)),  # slot within an opening
    ],
)
def test_holes_that_meet_something_are_named(circles, slots, expected):
    _, touching = pierce(PLATE, circles, slots)
    assert touching == expected


def test_hole_over_the_edge_leaves_a_bay():
    pierced, _ = pierce(PLATE, [Circle(40, 0, 2)])
    assert outline_area(PLATE) - outline_area(pierced) == pytest.approx(2 * math.pi, rel=1e-9)
    assert pierced.circles == PLATE.circles


def test_overlapping_holes_become_one_opening():
    pierced, _ = pierce(PLATE, [Circle(0, 0, 2), Circle(2, 0, 2)])
    lens = 8 * math.acos(0.5) - math.sqrt(12)
    assert outline_area(PLATE) - outline_area(pierced) == pytest.approx(8 * math.pi - lens, rel=1e-9)
    assert len(pierced.inner) == 2


def test_hole_round_a_hole_swallows_it():
    pierced, _ = pierce(PLATE, [Circle(20, 0, 6)])
    assert pierced.circles == (Circle(20, 0, 6),)


def test_cutting_through_is_refused():
    with pytest.raises(GeometryError, match=r"one connected piece \(got 2\)"):
        pierce(PLATE, [], [rectangle_loop(5, 0, 2, 60)])
    with pytest.raises(GeometryError, match=r"got 0\)"):
        pierce(PLATE, [Circle(0, 0, 100)])


@settings(max_examples=50, deadline=None)
@given(
    holes=st.lists(st.builds(Circle, st.floats(-38, 38), st.floats(-18, 18), st.floats(0.5, 3)), min_size=1, max_size=6)
)
def test_free_holes_take_exactly_their_area(holes):
    try:
        pierced, touching = pierce(PLATE, holes)
    except GeometryError as error:  # holes that overlap may cut out a crumb
        if "one connected piece" not in str(error):
            raise
        reject()
    taken = outline_area(PLATE) - outline_area(pierced)
    free = sum(math.pi * hole.radius**2 for k, hole in enumerate(holes) if k not in touching)
    most = sum(math.pi * hole.radius**2 for hole in holes)
    assert free - 1e-6 <= taken <= most + 1e-6
    if not touching:
        assert taken == pytest.approx(most, rel=1e-10)


def test_circle_given_as_a_slot_counts_the_same():
    as_slot, _ = pierce(PLATE, [], [circle_loop(Circle(0, 0, 2))])
    as_circle, _ = pierce(PLATE, [Circle(0, 0, 2)])
    assert outline_area(as_slot) == pytest.approx(outline_area(as_circle), rel=1e-13)
