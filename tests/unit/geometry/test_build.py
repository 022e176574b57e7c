import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from platewright.foundation.errors import GeometryError
from platewright.geometry.build import build_outline
from platewright.geometry.loops import Circle, contains, distance_to_edge, outline_area, outline_properties
from platewright.geometry.sketch import (
    CircleCut,
    HalfPlaneCut,
    Link,
    Node,
    Polygon,
    PolygonCut,
    RectangleCut,
    Sketch,
    SlotCut,
    TabAdd,
    Web,
)

ARM = Sketch(
    nodes=(Node("motor", 110, 0, 14), Node("root", 0, 0, 12), Node("waist", 60, 0, 0)),
    links=(Link("root", "waist", 16, 11), Link("waist", "motor", 11, 13)),
    polygons=(Polygon(((-15, -10), (10, -10), (10, 10), (-15, 10)), 2),),
    fillet=6,
    cuts=(CircleCut(110, 0, 6), SlotCut(40, 0, 70, 0, 4)),
    half_planes=(HalfPlaneCut(-10, 0, -1, 1), HalfPlaneCut(-10, 0, -1, -1)),
)
BLOCK = Sketch(polygons=(Polygon(((0, 0), (40, 0), (40, 20), (0, 20))),))


def test_bar_of_two_nodes_is_a_stadium():
    bar = Sketch((Node("a", 0, 0, 5), Node("b", 40, 0, 5)), (Link("a", "b", 10),))
    outline = build_outline(bar)
    assert outline_area(outline) == pytest.approx(400 + 25 * math.pi, rel=1e-12)
    assert len(outline.outer.vertices) == 4


def test_link_tapers_along_common_tangents():
    taper = Sketch((Node("a", 0, 0, 8), Node("b", 40, 0, 4)), (Link("a", "b", 16, 8),))
    sine = 4 / 40
    wrapped = math.asin(sine)
    belt = (64 * (math.pi / 2 + wrapped)) + 16 * (math.pi / 2 - wrapped) + (8 + 4) * 40 * math.cos(wrapped)
    assert outline_area(build_outline(taper)) == pytest.approx(belt, rel=1e-12)


def test_web_fills_between_nodes():
    nodes = (Node("a", 0, 0, 2), Node("b", 30, 0, 2), Node("c", 0, 30, 2))
    outline = build_outline(Sketch(nodes, webs=(Web(("a", "b", "c")),)))
    assert contains(outline, 10, 10)
    # The triangle takes a quarter and two eighths of the three discs.
    assert outline_area(outline) == pytest.approx(450 + math.pi * 4 * (3 - 0.5))


def test_fillet_fills_the_corner_between_boss_and_band():
    bare = Sketch((Node("a", 0, 0, 10), Node("b", 60, 0, 5)), (Link("a", "b", 10),))
    filled = build_outline(replace(bare, fillet=4))
    # The fillet's centre is 4 from the band (y = 9) and 14 from the boss's centre.
    centre = (math.sqrt(14**2 - 9**2), 9.0)
    assert distance_to_edge(filled, *centre) == pytest.approx(4, rel=1e-9)
    assert outline_area(filled) > outline_area(build_outline(bare))


def test_cut_outs_come_after_the_closing():
    narrow = replace(BLOCK, fillet=5, cuts=(RectangleCut(20, 10, 10, 2, 0.5),))
    assert outline_area(build_outline(narrow)) == pytest.approx(800 - (20 - (4 - math.pi) * 0.25), rel=1e-12)


def test_every_kind_of_cut():
    cuts = (
        CircleCut(5, 5, 4),
        SlotCut(12, 5, 16, 5, 2),
        PolygonCut(((22, 2), (28, 2), (25, 8))),
        RectangleCut(35, 10, 4, 6, 0, math.pi / 2),
    )
    outline = build_outline(replace(BLOCK, cuts=cuts, slots=(RectangleCut(20, 15, 6, 2),)))
    gone = 4 * math.pi + (8 + math.pi) + 18 + 24 + 12
    assert outline_area(outline) == pytest.approx(800 - gone, rel=1e-12)
    assert outline.circles == (Circle(5, 5, 2),)
    assert len(outline.inner) == 4


def test_tab_stays_crisp_and_half_plane_removes_the_side_of_its_normal():
    tabbed = replace(BLOCK, fillet=3, tabs=(TabAdd(42, 10, 4, 6),))
    assert outline_area(build_outline(tabbed)) == pytest.approx(800 + 24, rel=1e-12)
    cut = replace(BLOCK, half_planes=(HalfPlaneCut(30, 0, 1, 0),))
    assert outline_area(build_outline(cut)) == pytest.approx(600, rel=1e-12)


@pytest.mark.parametrize(("mirror", "copies"), [("", 1), ("x", 2), ("y", 2), ("xy", 4)])
def test_mirror_repeats_solids_and_cuts(mirror, copies):
    sketch = Sketch(
        polygons=(Polygon(((-20, -10), (20, -10), (20, 10), (-20, 10))),), cuts=(CircleCut(12, 5, 3),), mirror=mirror
    )
    outline = build_outline(sketch)
    assert len(outline.circles) == copies
    once = replace(sketch, cuts=(CircleCut(12, 5, 3, mirrored=False),))
    assert len(build_outline(once).circles) == 1


def test_mirrored_outline_is_symmetrical():
    base = Sketch(
        (Node("a", 10, 8, 6), Node("b", 40, 20, 5), Node("c", 0, 0, 9)),
        (Link("c", "a", 10), Link("a", "b", 9, 7)),
        fillet=3,
        mirror="xy",
    )
    got = outline_properties(build_outline(base))
    assert (got.cx, got.cy) == pytest.approx((0, 0), abs=1e-9)
    assert got.ixy == pytest.approx(0, abs=1e-6)


def test_arm_is_clean():
    outline = build_outline(ARM)
    assert outline.circles == (Circle(110, 0, 3),)
    assert len(outline.inner) == 1
    assert len(outline.outer.vertices) == 19
    got = outline_properties(outline)
    assert got.cy == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("sketch", "message"),
    [
        (Sketch(), "at least one node"),
        (Sketch((Node("a", 0, 0, 3), Node("b", 20, 0, 3))), r"one connected piece \(got 2\)"),
        (Sketch((Node("a", 0, 0, 3),), (Link("a", "z", 3),)), "unknown node 'z'"),
        (replace(BLOCK, fillet=-1), "fillet radius must be at least 0"),
        (replace(BLOCK, mirror="z"), "mirror must be one of"),
        (replace(BLOCK, half_planes=(HalfPlaneCut(0, 0, 0, 0),)), "normal must not be zero"),
        (replace(BLOCK, cuts=(RectangleCut(20, 10, 2, 30),)), r"got 2\)"),
        (replace(BLOCK, cuts=(RectangleCut(20, 10, 90, 90),)), r"got 0\)"),
        (Sketch(polygons=(Polygon(((0, 0), (9, 0), (0, 9)), corners=(1.0,)),)), "one corner radius per point, 3"),
    ],
)
def test_bad_sketches_are_refused_in_one_sentence(sketch, message):
    with pytest.raises(GeometryError, match=message):
        build_outline(sketch)


@pytest.mark.parametrize("error", [0.0, 1e-12, 1e-9, 1e-8])
def test_rounding_of_coordinates_changes_nothing(error):
    # Bands as wide as their bosses touch them along tangents, and the mirrored copies all but coincide on the axis.
    nodes = (Node("a", 0, error, 6), Node("b", 30, -error, 6 - error), Node("c", 30, 18 + error, 4))
    links = (Link("a", "b", 12), Link("b", "c", 12, 8))
    outline = build_outline(Sketch(nodes, links, fillet=2.5, mirror="xy"))
    plain = tuple(Node(n.id, round(n.x, 6), round(n.y, 6), round(n.radius, 6)) for n in nodes)
    expected = build_outline(Sketch(plain, links, fillet=2.5, mirror="xy"))
    assert outline_area(outline) == pytest.approx(outline_area(expected), rel=1e-8)
    assert len(outline.outer.vertices) == len(expected.outer.vertices)


def test_plates_that_meet_in_one_point_are_refused():
    first = Polygon(((0, 0), (10, 0), (10, 10), (0, 10)))
    second = Polygon(((10, 10), (20, 10), (20, 20), (10, 20)))
    with pytest.raises(GeometryError):
        build_outline(Sketch(polygons=(first, second)))


@settings(max_examples=25, deadline=None)
@given(
    points=st.lists(st.tuples(st.integers(0, 50), st.integers(0, 50), st.integers(3, 9)), min_size=2, max_size=5),
    width=st.integers(4, 10),
    fillet=st.sampled_from([0, 1, 2.5, 4, 6]),
)
def test_mirroring_keeps_area_and_material_is_kept_round_every_node(points, width, fillet):
    assume(len({(x, y) for x, y, _ in points}) == len(points))
    nodes = tuple(Node(str(k), x, y, r) for k, (x, y, r) in enumerate(points))
    links = tuple(Link(str(k), str(k + 1), width) for k in range(len(points) - 1))
    outline = build_outline(Sketch(nodes, links, fillet=fillet))
    flipped = tuple(replace(node, y=-node.y) for node in nodes)
    assert outline_area(build_outline(Sketch(flipped, links, fillet=fillet))) == pytest.approx(
        outline_area(outline), rel=1e-7
    )
    for node in nodes:
        assert contains(outline, node.x, node.y)
        assert distance_to_edge(outline, node.x, node.y) >= node.radius - 1e-6
