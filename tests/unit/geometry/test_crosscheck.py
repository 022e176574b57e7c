import math

import pytest

from platewright.foundation.errors import GeometryError
from platewright.geometry.crosscheck import check_offset, check_outline, check_union
from platewright.geometry.loops import Circle, Loop, Outline, circle_loop
from platewright.geometry.regions import offset, union
from platewright.geometry.shapes import rectangle_loop

SQUARE = rectangle_loop(0, 0, 40, 40)
DISC = circle_loop(Circle(20, 0, 10))


def test_right_results_pass():
    region = union([(SQUARE,), (DISC,)])
    check_union(region, [SQUARE, DISC])
    check_offset(region, offset(region, 3), 3)
    check_offset(region, offset(region, -12), -12)


def test_lost_solid_is_noticed():
    with pytest.raises(GeometryError, match=r"area of the union of the solids is 1600\.0000 mm2"):
        check_union((SQUARE,), [SQUARE, DISC])


def test_wrong_offset_is_noticed():
    with pytest.raises(GeometryError, match="the offset by 3 mm"):
        check_offset((SQUARE,), offset((SQUARE,), 3.01), 3)


def test_forgotten_cut_is_noticed():
    with pytest.raises(GeometryError, match="area of the outline"):
        check_outline(Outline(SQUARE), (SQUARE,), [rectangle_loop(0, 0, 1, 1)], [])


def test_self_crossing_outline_is_noticed():
    bow = Loop(((0, 0, 0), (10, 10, 0), (10, 0, 0), (0, 4, 0)))
    with pytest.raises(GeometryError):
        check_outline(Outline(bow), (bow,), [], [])


def test_small_hole_is_within_sight():
    hole = circle_loop(Circle(0, 0, 0.5))
    with pytest.raises(GeometryError):
        check_outline(Outline(SQUARE), (SQUARE,), [hole], [])
    check_outline(Outline(SQUARE, (), (Circle(0, 0, 0.5),)), (SQUARE,), [hole], [])
    assert math.pi * 0.25 / 1600 > 2e-5
