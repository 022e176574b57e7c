"""One outline asked about many points answers as it does for each alone."""

import math

from hypothesis import given
from hypothesis import strategies as st

from platewright.geometry.loops import Circle, Outline, contains, distance_to_edge
from platewright.geometry.probe import Probe
from platewright.geometry.shapes import rectangle_loop, slot_loop

PLATE = Outline(rectangle_loop(0, 0, 40, 20), (slot_loop(-12, 5, -4, 5, 3),), (Circle(8, 0, 1.6), Circle(14, -5, 2.5)))
PROBE = Probe(PLATE)
points = st.tuples(st.floats(-25, 25), st.floats(-15, 15))


@given(st.lists(points, min_size=1, max_size=8))
def test_answers_are_those_of_single_points(asked):
    assert PROBE.contains(asked).tolist() == [contains(PLATE, x, y) for x, y in asked]
    for (x, y), found in zip(asked, PROBE.distance(asked).tolist(), strict=True):
        assert math.isclose(found, distance_to_edge(PLATE, x, y), abs_tol=1e-12)


def test_a_hole_does_not_count_for_its_own_centre():
    # 8, 0 is 10 mm below the upper edge; the hole at 14, -5 is hypot(6, 5) - 2.5 = 5.31 mm away
    own, all_edges = PROBE.distance([(8, 0)], skip_own=True)[0], PROBE.distance([(8, 0)])[0]
    assert math.isclose(own, math.hypot(6, 5) - 2.5)
    assert math.isclose(all_edges, 1.6)


def test_a_path_is_closed_by_material_it_only_brushes():
    assert PROBE.closed_to(0, 0, 1)  # in the plate
    assert not PROBE.closed_to(14, -5, 2.4)  # inside the 5 mm hole
    assert PROBE.closed_to(14, -5, 2.6)
    assert not PROBE.closed_to(0, 12, 1.9)  # 2 mm off the edge
    assert PROBE.closed_to(0, 12, 2.1)
