import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from platewright.geometry.loops import Circle, circle_loop, loop_area
from platewright.geometry.regions import combine, offset, outlines_of, union
from platewright.geometry.shapes import rectangle_loop, rounded_polygon


def area(region):
    return sum(loop_area(loop) for loop in region)


def disc(x, y, r):
    return (circle_loop(Circle(x, y, r)),)


def test_two_discs_overlap_in_a_lens():
    r, d = 5.0, 6.0
    lens = 2 * r**2 * math.acos(d / (2 * r)) - d / 2 * math.sqrt(4 * r**2 - d**2)
    both = union([disc(0, 0, r), disc(d, 0, r)])
    common = combine([disc(0, 0, r), disc(d, 0, r)], lambda inside: inside.all(axis=1))
    assert area(both) == pytest.approx(2 * math.pi * r**2 - lens, rel=1e-12)
    assert area(common) == pytest.approx(lens, rel=1e-12)


def test_rectangles_that_share_a_side_become_one():
    both = union([(rectangle_loop(0, 0, 4, 2),), (rectangle_loop(4, 0, 4, 2),)])
    assert len(both) == 1
    assert len(both[0].vertices) == 4
    assert area(both) == pytest.approx(16)


def test_equal_regions_become_one():
    assert area(union([disc(1, 2, 3), disc(1, 2, 3)])) == pytest.approx(9 * math.pi)


def test_opening_keeps_its_direction():
    ring = combine([disc(0, 0, 5), disc(0, 0, 2)], lambda inside: inside[:, 0] & ~inside[:, 1])
    assert sorted(loop_area(loop) > 0 for loop in ring) == [False, True]
    (outline,) = outlines_of(ring)
    assert outline.circles == (Circle(0, 0, 2),)


def test_island_in_an_opening_is_a_piece_of_its_own():
    region = combine(
        [disc(0, 0, 9), disc(0, 0, 6), disc(0, 0, 3)], lambda inside: (inside[:, 0] & ~inside[:, 1]) | inside[:, 2]
    )
    assert len(outlines_of(region)) == 2


def test_growth_of_a_convex_figure_follows_steiner():
    square = (rectangle_loop(0, 0, 10, 6),)
    assert area(offset(square, 2)) == pytest.approx(60 + 2 * 32 + math.pi * 4, rel=1e-12)
    assert area(offset(square, -2)) == pytest.approx(6 * 2, rel=1e-12)
    assert offset(square, -3.5) == ()


def test_growth_and_shrinkage_fill_an_inner_corner_with_a_fillet():
    corner = (rounded_polygon([(0, 0), (20, 0), (20, 8), (8, 8), (8, 20), (0, 20)], [0] * 6),)
    filled = offset(offset(corner, 3), -3)
    assert area(filled) - area(corner) == pytest.approx((1 - math.pi / 4) * 9, rel=1e-10)
    assert len(filled[0].vertices) == 7


@pytest.mark.parametrize(("gap", "filled"), [(3.9, True), (4.0, True), (4.1, False)])
def test_notch_narrower_than_two_radii_fills_up(gap, filled):
    solids = [(rectangle_loop(0, 0, 40, 10),), (rectangle_loop(-10 - gap / 2, 10, 20, 20),)]
    solids.append((rectangle_loop(10 + gap / 2, 10, 20, 20),))
    closed = offset(offset(union(solids), 2), -2)
    # A notch that stays open has two fillets in its bottom corners; a filled one keeps its flat sides' rims level.
    depth = 15
    added = area(closed) - area(union(solids))
    assert (added > 0.9 * gap * depth) is filled


coordinates = st.integers(-6, 6)
sizes = st.integers(1, 6)
figures = st.one_of(
    st.builds(disc, coordinates, coordinates, sizes),
    st.builds(lambda x, y, a, b: (rectangle_loop(x, y, a, b),), coordinates, coordinates, sizes, sizes),
)


@settings(max_examples=60, deadline=None)
@given(a=figures, b=figures)
def test_union_and_common_part_add_up(a, b):
    # Whole numbers make edges coincide and touch often.
    both = area(union([a, b]))
    common = area(combine([a, b], lambda inside: inside.all(axis=1)))
    assert both + common == pytest.approx(area(a) + area(b), rel=1e-9, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(figures=st.lists(figures, min_size=1, max_size=4), radius=st.sampled_from([0.5, 1.0, 2.0]))
def test_closing_never_loses_material_and_settles(figures, radius):
    before = union(figures)
    once = offset(offset(before, radius), -radius)
    twice = offset(offset(once, radius), -radius)
    assert area(once) >= area(before) - 1e-6
    assert area(twice) == pytest.approx(area(once), rel=1e-7)
