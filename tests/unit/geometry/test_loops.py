import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.foundation.errors import GeometryError
from platewright.geometry.loops import (
    Circle,
    Isometry,
    Loop,
    Outline,
    bounding_box,
    circle_loop,
    contains,
    cut_length,
    distance_to_edge,
    flatten,
    loop_area,
    outline_area,
    outline_properties,
    perimeter,
    reverse_loop,
    to_shapely,
    transform_circle,
    transform_loop,
    transform_outline,
)
from platewright.geometry.shapes import rectangle_loop, slot_loop

RAISED = Loop(
    ((0, 0, 0), (10, 0, math.tan(math.pi / 8)), (10, 10, 0), (0, 10, 0))
)  # a quarter arc bulges out at x = 10
PLATE = Outline(RAISED, (slot_loop(3, 7, 6, 7, 1),), (Circle(3, 3, 1),))

angles = st.floats(-7, 7)
shifts = st.floats(-200, 200)
motions = st.builds(Isometry.from_turn, angles, shifts, shifts, st.booleans())


def test_loop_needs_two_vertices():
    with pytest.raises(GeometryError, match=r"at least 2 vertices \(got 1\)"):
        Loop(((0, 0, 0),))


def test_circle_needs_a_radius():
    with pytest.raises(GeometryError, match="greater than 0 mm"):
        Circle(0, 0, 0)


def test_loops_of_an_outline_are_stored_counter_clockwise():
    clockwise = reverse_loop(RAISED)
    assert loop_area(clockwise) == pytest.approx(-loop_area(RAISED))
    assert loop_area(Outline(clockwise, (clockwise,)).outer) > 0
    assert loop_area(Outline(clockwise, (clockwise,)).inner[0]) > 0


def test_reversing_twice_gives_the_same_edges():
    assert set(reverse_loop(reverse_loop(RAISED)).vertices) == set(RAISED.vertices)


def test_holes_take_their_area():
    hole = 3 * 1 + math.pi / 4
    assert outline_area(PLATE) == pytest.approx(loop_area(RAISED) - hole - math.pi, rel=1e-13)
    assert outline_properties(PLATE).area == pytest.approx(outline_area(PLATE), rel=1e-13)


def test_bounding_box_reaches_the_top_of_an_arc():
    # Chord 10, quarter circle: radius 5 sqrt 2, rise radius - 5.
    assert bounding_box(PLATE) == pytest.approx((0, 0, 5 + 5 * math.sqrt(2), 10), rel=1e-12)


def test_lengths():
    assert perimeter(RAISED) == pytest.approx(30 + math.pi / 2 * 5 * math.sqrt(2), rel=1e-12)
    assert cut_length(PLATE) == pytest.approx(perimeter(RAISED) + 6 + math.pi + 2 * math.pi, rel=1e-12)


@pytest.mark.parametrize(
    ("point", "inside"),
    [((5, 5), True), ((3, 3), False), ((4, 7), False), ((11.9, 5), True), ((12.2, 5), False), ((-1, 10), False)],
)
def test_contains(point, inside):
    assert contains(PLATE, *point) is inside


def test_distance_to_edge():
    assert distance_to_edge(PLATE, 5, 5) == pytest.approx(1.5)  # to the slot's side at y = 6.5
    assert distance_to_edge(PLATE, 3, 3) == pytest.approx(1.0)  # to its own rim
    assert distance_to_edge(PLATE, 3, 3, skip=(3, 3)) == pytest.approx(3.0)
    assert distance_to_edge(PLATE, 20, 5) == pytest.approx(15 - 5 * math.sqrt(2))
    assert distance_to_edge(PLATE, -3, -4) == pytest.approx(5.0)


@given(motion=motions)
def test_motion_keeps_properties(motion):
    before, after = outline_properties(PLATE), outline_properties(transform_outline(PLATE, motion))
    assert after.area == pytest.approx(before.area, rel=1e-10)
    assert (after.cx, after.cy) == pytest.approx(motion.apply(before.cx, before.cy), abs=1e-9)
    assert after.ixx + after.iyy == pytest.approx(before.ixx + before.iyy, rel=1e-9)
    principal = before.ixx * before.iyy - before.ixy**2
    assert after.ixx * after.iyy - after.ixy**2 == pytest.approx(principal, rel=1e-8)


@given(one=motions, other=motions, x=shifts, y=shifts)
def test_motions_compose_and_invert(one, other, x, y):
    assert one.then(other).apply(x, y) == pytest.approx(other.apply(*one.apply(x, y)), abs=1e-9)
    assert one.inverse().apply(*one.apply(x, y)) == pytest.approx((x, y), abs=1e-9)
    assert one.then(one.inverse()).apply(x, y) == pytest.approx((x, y), abs=1e-9)


def test_mirrored_loop_runs_the_other_way_and_bulges_outwards():
    mirrored = transform_loop(RAISED, Isometry(flip=True))
    assert loop_area(mirrored) == pytest.approx(-loop_area(RAISED), rel=1e-13)


def test_quarter_turn_is_exact():
    assert transform_circle(Circle(2, 1, 3), Isometry.from_turn(math.pi / 2)) == Circle(-1.0, 2.0, 3)


def test_flatten_keeps_within_its_tolerance():
    points = flatten(circle_loop(Circle(0, 0, 10)), 0.01)
    closed = [*points, points[0]]
    sagitta = [10 - math.hypot((x0 + x1) / 2, (y0 + y1) / 2) for (x0, y0), (x1, y1) in pairwise(closed)]
    assert 0 < max(sagitta) <= 0.01
    assert max(abs(math.hypot(x, y) - 10) for x, y in points) < 1e-12


def test_polygon_for_shapely_has_the_known_chord_error():
    polygon = to_shapely(Outline(circle_loop(Circle(0, 0, 10))))
    step = math.pi / 512
    assert polygon.area == pytest.approx(math.pi * 100 * math.sin(step) / step, rel=1e-9)
    assert len(to_shapely(PLATE).interiors) == 2


def test_rectangle_area():
    assert loop_area(rectangle_loop(1, 2, 6, 4, corner=1, turn=0.3)) == pytest.approx(24 - (4 - math.pi), rel=1e-12)
