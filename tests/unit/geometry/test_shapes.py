import math

import pytest

from platewright.foundation.errors import GeometryError
from platewright.geometry.loops import Circle, Loop, loop_area, reverse_loop
from platewright.geometry.shapes import band_loop, circle_of, rectangle_loop, rounded_polygon, slot_loop


def test_band_touches_both_circles():
    loop = band_loop((0, 0), (30, 40), 12, 6)
    (x0, y0, _), (x1, y1, _) = loop.vertices[:2]
    side = complex(x1 - x0, y1 - y0) / math.hypot(x1 - x0, y1 - y0)
    for centre, radius in ((0j, 6), (30 + 40j, 3)):
        assert abs(((centre - complex(x0, y0)) * side.conjugate()).imag) == pytest.approx(radius, rel=1e-12)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: band_loop((0, 0), (1, 0), 12, 6), "more than 3.000 mm apart"),
        (lambda: band_loop((0, 0), (9, 0), 0, 6), "widths must be greater than 0"),
        (lambda: rectangle_loop(0, 0, 0, 1), "length and width"),
        (lambda: slot_loop(0, 0, 1, 0, -1), "width must be greater"),
        (lambda: rounded_polygon([(0, 0), (1, 0)], [0, 0]), "at least 3 points"),
        (lambda: rounded_polygon([(0, 0), (0, 0), (1, 1)], [0, 0, 0]), "must differ"),
        (lambda: rounded_polygon([(0, 0), (4, 0), (4, 4), (0, 4)], [3] * 4), "2.000 mm more edge"),
    ],
)
def test_impossible_figures_are_refused(make, message):
    with pytest.raises(GeometryError, match=message):
        make()


def test_corner_radius_of_a_clockwise_polygon_stays_at_its_point():
    points = [(0, 0), (0, 4), (4, 4), (4, 0)]
    loop = rounded_polygon(points, [1, 0, 0, 0])
    assert (0, 0) not in [(x, y) for x, y, _ in loop.vertices]
    assert loop_area(loop) == pytest.approx(16 - (1 - math.pi / 4), rel=1e-12)


def test_slot_without_length_is_a_circle():
    assert circle_of(slot_loop(2, 3, 2, 3, 4)) == Circle(2, 3, 2)


def test_circle_is_recognised_from_any_number_of_arcs_and_either_direction():
    quarter = math.tan(math.pi / 8)
    loop = Loop(((1, 0, quarter), (0, 1, quarter), (-1, 0, 1.0)))
    assert circle_of(loop) == Circle(0, 0, 1)
    assert circle_of(reverse_loop(loop)) == Circle(0, 0, 1)
    assert circle_of(Loop(((1, 0, quarter), (0, 1, quarter), (-1, 0, 0)))) is None
    assert circle_of(Loop(((1, 0, 1.0), (-1, 0, 0.9)))) is None
