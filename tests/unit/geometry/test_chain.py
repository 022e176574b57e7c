import math
import random

import pytest

from platewright.foundation.errors import GeometryError
from platewright.geometry.chain import chain_edges
from platewright.geometry.loops import Circle, Loop, circle_loop, loop_area, outline_area, reverse_loop
from platewright.geometry.nesting import nest_loops
from platewright.geometry.shapes import rectangle_loop, slot_loop


def loose(loop, seed=0, gap=0.0):
    v = loop.vertices
    rng = random.Random(seed)
    edges = []
    for k in range(len(v)):
        p, q = v[k][:2], v[(k + 1) % len(v)][:2]
        p = (p[0] + rng.uniform(-gap, gap) / 3, p[1] + rng.uniform(-gap, gap) / 3)
        edges.append((p, q, v[k][2]) if rng.random() < 0.5 else (q, p, -v[k][2]))
    rng.shuffle(edges)
    return edges


@pytest.mark.parametrize("seed", range(5))
def test_shuffled_and_turned_edges_close_again(seed):
    shapes = [slot_loop(0, 0, 10, 3, 4), rectangle_loop(40, 0, 10, 6, corner=1)]
    edges = [edge for shape in shapes for edge in loose(shape, seed)]
    loops = chain_edges(edges, 0.01)
    assert sorted(loop_area(loop) for loop in loops) == pytest.approx(sorted(loop_area(s) for s in shapes), rel=1e-12)


def test_small_gaps_are_bridged():
    (loop,) = chain_edges(loose(rectangle_loop(0, 0, 10, 6), gap=0.02), 0.05)
    assert loop_area(loop) == pytest.approx(60, abs=0.02 * 32)


def test_gap_is_named_with_its_place():
    edges = [((0, 0), (10, 0), 0), ((10, 0), (10, 5), 0), ((10, 5), (0, 0.2), 0)]
    with pytest.raises(GeometryError, match=r"ends at \(0\.000, 0\.000\) mm.*0\.2000 mm away.*tolerance 0\.05 mm"):
        chain_edges(edges, 0.05)


def test_branch_is_named_with_its_place():
    edges = [*loose(rectangle_loop(0, 0, 10, 6)), ((-5, -3), (5, 3), 0)]
    with pytest.raises(GeometryError, match=r"two edges must meet at .* \(got 3\)"):
        chain_edges(edges, 0.01)


def test_nesting_by_containment():
    loops = [
        circle_loop(Circle(0, 0, 2)),  # island in the opening
        reverse_loop(rectangle_loop(0, 0, 60, 40)),
        slot_loop(-4, 0, 4, 0, 8),
        circle_loop(Circle(20, 10, 1.6)),
        rectangle_loop(100, 0, 10, 10),
    ]
    plates = sorted(nest_loops(loops), key=outline_area)
    assert [outline_area(p) for p in plates] == pytest.approx(
        [4 * math.pi, 100, 2400 - (64 + 16 * math.pi) - 1.6**2 * math.pi]
    )
    assert plates[2].circles == (Circle(20, 10, 1.6),)
    assert len(plates[2].inner) == 1


def test_crossing_loops_are_refused():
    with pytest.raises(GeometryError, match="must not cross or touch"):
        nest_loops([rectangle_loop(0, 0, 10, 10), Loop(((4, 4, 0), (9, 4, 0), (9, 9, 0)))])
