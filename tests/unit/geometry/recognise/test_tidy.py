import math
import random

import pytest

from platewright.geometry.loops import Circle
from platewright.geometry.recognise.tidy import distinct_circles, tidy_edges


def arc(a, b, radius=2.0):
    ends = [(radius * math.cos(t), radius * math.sin(t)) for t in (a, b)]
    return ends[0], ends[1], math.tan((b - a) / 4)


def turned_over(edge):
    return edge[1], edge[0], -edge[2]


def test_doubles_in_either_direction_are_one():
    edges = [((0, 0), (5, 0), 0.3), ((5, 0), (0, 0), -0.3), ((5.0004, 0), (0, 0.0004), -0.3)]
    tidied = tidy_edges(edges)
    assert (len(tidied.edges), tidied.doubles) == (1, 2)


def test_both_halves_of_a_circle_are_no_doubles():
    assert len(tidy_edges([((0, 0), (5, 0), 1.0), ((0, 0), (5, 0), -1.0)]).edges) == 2


@pytest.mark.parametrize("seed", range(5))
def test_line_drawn_in_overlapping_pieces_is_one(seed):
    pieces = [((0, 0), (6, 3), 0.0), ((4, 2), (10, 5), 0.0), ((2, 1), (4, 2), 0.0), ((10, 5), (8, 4), 0.0)]
    random.Random(seed).shuffle(pieces)
    tidied = tidy_edges(pieces)
    assert sorted(tidied.edges[0][:2]) == [(0.0, 0.0), (10.0, 5.0)]
    assert (len(tidied.edges), tidied.merged) == (1, 3)


def test_lines_that_only_meet_or_cross_are_left():
    edges = [((0, 0), (5, 0), 0.0), ((5, 0), (9, 0), 0.0), ((3, -1), (3, 1), 0.0), ((2, 0), (2, 4), 0.0)]
    assert tidy_edges(edges).edges == tuple(
        ((float(a), float(b)), (float(c), float(d)), e) for (a, b), (c, d), e in edges
    )


def test_overlapping_arcs_are_joined_and_may_close():
    assert len(tidy_edges([arc(0, 2), arc(1, 3)]).edges) == 1
    tidied = tidy_edges([arc(0, 3), turned_over(arc(2.5, 5)), arc(4.5, 6.5)])
    ((circle, _),) = tidied.circles
    assert (circle.radius, tidied.edges) == (pytest.approx(2), ())
    assert len(tidy_edges([arc(0, 2), arc(2, 4)]).edges) == 2


def test_same_circles_are_one():
    assert distinct_circles([Circle(0, 0, 1), Circle(0, 0.0005, 1), Circle(0, 0, 1.01)]) == [0, 2]
