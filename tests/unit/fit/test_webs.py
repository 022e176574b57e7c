"""Webs between openings and edges, and corners that a cutter cannot reach."""

import pytest

from platewright.fit.webs import inside_corners, webs
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop, rounded_polygon, slot_loop


def test_webs_beside_slots_holes_and_edges_are_exact():
    slots = (slot_loop(-10, 0, 10, 0, 4), slot_loop(-10, 7, 10, 7, 4))
    plate = Outline(rectangle_loop(0, 3, 40, 22), slots, (Circle(14, 3.5, 1.0),))
    found = webs(plate, 4.0)
    widths = {(w.opening, w.neighbour): w.width for w in found}
    assert widths[(0, 0), (0, 7)] == pytest.approx(3)
    # from the end of a slot to the hole: hypot(4, 3.5) between their middles
    assert widths[(0, 0), (14, 3.5)] == pytest.approx((4**2 + 3.5**2) ** 0.5 - 2 - 1)
    assert all(neighbour is not None for _, neighbour in widths)  # the edges are 6 and 5 mm away
    assert [w.width for w in found] == sorted(w.width for w in found)
    assert webs(plate, 2.0) == ()


def test_corners_of_an_opening_count_when_they_are_sharper_than_the_cutter():
    for corner, count in ((0.0, 4), (0.5, 4), (1.0, 0), (2.0, 0)):
        plate = Outline(rectangle_loop(0, 0, 40, 20), (rectangle_loop(0, 0, 10, 8, corner=corner),))
        found = inside_corners(plate, 1.0 - 1e-3)
        assert len(found) == count
        assert all(c.in_opening and c.radius == pytest.approx(corner) for c in found)


def test_only_inside_corners_of_the_outline_count():
    notched = [(0, 0), (20, 0), (20, 10), (12, 10), (12, 5), (8, 5), (8, 10), (0, 10)]
    found = inside_corners(Outline(rounded_polygon(notched, [0] * 8)), 1.0)
    assert {(c.x, c.y) for c in found} == {(12, 5), (8, 5)}
    relieved = Outline(rounded_polygon(notched, [0, 0, 0, 0, 1.5, 1.5, 0, 0]))
    assert inside_corners(relieved, 1.0) == ()


def test_a_corner_that_points_into_an_opening_may_be_sharp():
    star = [(0, 0), (6, 3), (12, 0), (12, 12), (0, 12)]
    plate = Outline(rectangle_loop(6, 6, 40, 40), (rounded_polygon(star, [2, 0, 2, 2, 2]),))
    assert inside_corners(plate, 1.0) == ()
