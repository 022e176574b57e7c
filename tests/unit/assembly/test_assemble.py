"""The whole chain in one call."""

import pytest

from frames import assembled, catalogue, column, design, part, place, plate, two_plates
from platewright.assembly.assemble import assemble, level_names, skeleton
from platewright.foundation.errors import GeometryError
from platewright.geometry.cache import OutlineCache
from platewright.geometry.loops import Outline, outline_area
from platewright.geometry.shapes import rectangle_loop

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"


def test_levels_are_known_without_any_outline():
    bones = skeleton(design(*two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON)), catalogue())
    assert level_names(bones) == pytest.approx(
        {"level.base.bottom_mm": 0, "level.base.top_mm": 4, "level.deck.bottom_mm": 24, "level.deck.top_mm": 26}
    )


def test_a_part_is_cut_once_and_placed_many_times():
    made = assembled(part("wing", 2, (30, 30)), place("a", "wing"), place("b", "wing", at_mm=[0, 40]), column(
        "p", SCREW, "a", "nut M3 hex", at=[5, 5], mirror=""), plate("c", 2, (40, 90)), column(
        "q", SCREW, "c", "spacer M3x2", "a", "nut M3 hex", at=[-5, 5], mirror=""), column(
        "r", SCREW, "c", "spacer M3x2", "b", "nut M3 hex", at=[0, 40], mirror=""))  # fmt: skip
    assert list(made.parts) == ["wing", "c"]
    assert made.parts["wing"].quantity == 2
    assert len(made.parts["wing"].outline.circles) == 3


def test_a_hole_outside_its_part_is_reported_and_cuts_nothing_whole():
    made = assembled(plate("base"), column("p", SCREW, "base", "nut M3 hex", at=[40, 0], mirror=""))
    finished = made.parts["base"]
    assert finished.touching == (0,)
    assert finished.centred == (False,)
    assert finished.plate_beside == (0.0,)


def test_plate_beside_a_hole_is_the_least_to_any_edge():
    made = assembled(plate("base"), column("p", SCREW, "base", "nut M3 hex", at=[[26, 0], [20.5, 0]], mirror=""))
    # 26 stands 4 - 1.6 = 2.4 from the edge and 5.5 - 3.2 = 2.3 from the other hole's edge
    assert made.parts["base"].plate_beside == pytest.approx((2.3, 2.3))


def test_a_drawing_stands_for_the_outline():
    base = part("base", polygons=None, drawing="base.dxf") + place("base", "base")
    text = (base, column("p", SCREW, "base", "nut M3 hex", at=[5, 5], mirror=""))
    drawings = {"base": Outline(rectangle_loop(0, 0, 40, 20))}
    made = assemble(design(*text), catalogue(), OutlineCache().get_or_build, drawings)
    assert outline_area(made.parts["base"].blank) == pytest.approx(800)
    assert len(made.parts["base"].outline.circles) == 1


def test_a_part_that_cannot_be_cut_is_named():
    bits = [{"points_mm": [[x, 0], [x + 5, 0], [x, 5]]} for x in (0, 20)]
    with pytest.raises(GeometryError, match="part 'base' cannot be built"):
        assembled(part("base", polygons=bits) + place("base", "base"))
