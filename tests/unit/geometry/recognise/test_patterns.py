import cmath
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from platewright.geometry.loops import Circle
from platewright.geometry.recognise.recognise import recognise
from platewright.geometry.recognise.sheet import sort_sheet
from platewright.geometry.shapes import rectangle_loop, slot_loop
from platewright.model.catalogue import load_catalogue

CATALOGUE = load_catalogue()


def plate(circles, loops=(), size=(140.0, 100.0)):
    edges = [
        (v[:2], w[:2], v[2])
        for loop in (rectangle_loop(0, 0, *size, corner=5), *loops)
        for v, w in zip(loop.vertices, (*loop.vertices[1:], loop.vertices[0]), strict=True)
    ]
    return sort_sheet(edges, [0] * len(edges), circles, [0] * len(circles), 0.02).plates[0]


def cross(middle, across, diameter, turn=45.0, second=None):
    lengths = (across, second or across)
    points = [middle + lengths[k % 2] / 2 * cmath.exp(1j * math.radians(turn + 90 * k)) for k in range(4)]
    return [Circle(z.real, z.imag, diameter / 2) for z in points]


def seen(*args, **options):
    found = recognise(plate(*args, **options), CATALOGUE)
    return [(p.kind, p.record) for p in found.patterns if p.is_sure], found


@pytest.mark.parametrize(
    ("across", "diameter", "record"), [(9, 2.2, "9x9"), (12, 2.2, "12x12"), (16, 3.2, "16x16"), (19, 3.2, "19x19")]
)
def test_motor_patterns_are_measured_between_opposite_holes(across, diameter, record):
    kinds, _ = seen([*cross(30 + 10j, across, diameter), Circle(30, 10, 3)])
    assert kinds == [("motor", record)]


@pytest.mark.parametrize(
    ("side", "diameter", "record"),
    [(16, 2.2, "16x16"), (20, 2.2, "20x20"), (25.5, 2.2, "25.5x25.5"), (30.5, 3.2, "30.5x30.5")],
)
def test_board_patterns_are_measured_between_adjacent_holes(side, diameter, record):
    kinds, _ = seen(cross(10 + 0j, side * math.sqrt(2), diameter))
    assert kinds == [("board", record)]


def test_motor_with_unequal_distances():
    kinds, found = seen([*cross(0j, 16, 3.2, 10, 19), Circle(0, 0, 2.5)])
    assert kinds == [("motor", "16x19")]
    assert math.degrees(found.patterns[0].turn) == pytest.approx(10)


def test_three_holes_of_the_smallest_motors():
    circles = [
        Circle(3.3 * math.cos(t), 3.3 * math.sin(t), 0.8) for t in (0.2, 0.2 + 2 * math.pi / 3, 0.2 + 4 * math.pi / 3)
    ]
    assert seen([*circles, Circle(0, 0, 0.9)])[0] == [("motor", "6.6_triangle")]


@pytest.mark.parametrize(
    ("across", "diameter", "words"),
    [
        (12 * math.sqrt(2), 2.2, "12.00 mm along a side: motor 12x12 is measured between opposite holes"),
        (30.5, 3.2, "30.50 mm across: board 30.5x30.5 is measured between adjacent holes"),
        (20, 2.2, "20.00 mm across: board 20x20 is measured between adjacent holes"),
    ],
)
def test_square_of_the_wrong_measure_is_doubted_and_stays_as_drawn(across, diameter, words):
    kinds, found = seen(cross(0j, across, diameter))
    assert kinds == []
    assert words in found.doubts[0].what


def test_holes_of_another_screw_lower_the_confidence():
    right = seen(cross(0j, 16, 3.2))[1].patterns[0]
    wrong = seen(cross(0j, 16, 2.2))[1].patterns[0]
    assert right.confidence > wrong.confidence
    assert any("not for M3" in words for words in wrong.evidence)


def test_strap_slots_face_one_another():
    loops = [slot_loop(-9.25, y, 9.25, y, 3) for y in (-15, 15)]
    kinds, found = seen([], loops)
    assert kinds == [("strap", "strap_20")]
    assert found.patterns[0].spacing == pytest.approx(30)
    assert seen([], loops[:1])[1].left == (0,)


def test_standoffs_mirror_one_another_and_need_room():
    circles = [Circle(40, 30, 1.6), Circle(-40, 30, 1.6), Circle(0, 20, 1.6)]
    kinds, found = seen(circles)
    assert kinds == [("standoff pair", "M3")]
    assert [p.kind for p in found.patterns if not p.is_sure] == ["bolt"]


def test_antennas_neck_and_tube():
    assert seen([Circle(-50, 0, 3.25)])[0] == [("antenna", "antenna_5g8_threaded")]
    assert seen([Circle(-50, 0, 1.25)])[0] == [("antenna", "antenna_receiver_tube")]
    assert seen([Circle(-50, 0, 1.6)])[0] == []  # as well a screw's


@settings(max_examples=40, deadline=None)
@given(st.floats(-20, 20), st.floats(-20, 20), st.floats(0, 360), st.sampled_from([9, 12, 16, 19]))
def test_patterns_are_found_wherever_they_lie_and_however_turned(x, y, turn, across):
    diameter = 2.2 if across < 14 else 3.2
    circles = [*cross(complex(x, y), across, diameter, turn), Circle(x, y, 2.0)]
    kinds, found = seen(circles)
    assert kinds == [("motor", f"{across}x{across}")]
    off = (math.degrees(found.patterns[0].turn) - turn + 45) % 90 - 45
    assert abs(off) < 0.01
    assert sorted(k for p in found.patterns for k in p.openings) == list(range(5))
