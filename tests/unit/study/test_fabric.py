"""How parts lie to the fibres of their sheet, against textbook limits."""

import math

import pytest

from frames import catalogue
from platewright.geometry.loops import Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.study.fabric import allowed_turns, fabric_angle, modulus_share, weak_share


def test_a_bar_lies_along_the_fibres_or_off_them():
    bar = Outline(rectangle_loop(0, 0, 100, 12))
    assert fabric_angle(bar, 0.0) == pytest.approx(0.0)
    assert fabric_angle(bar, math.pi / 2) == pytest.approx(0.0)  # across is along the other fibres
    assert abs(fabric_angle(bar, math.radians(30))) == pytest.approx(math.radians(30))


def test_modulus_of_a_woven_sheet_at_45_degrees():
    """At 45 degrees 1/E = (1/E1 + 1/E2 + 1/G12 - 2 nu12/E1) / 4."""
    sheet = catalogue().laminate("plate_woven_0_90")
    e1, g12, nu12 = (sheet.value(k).typical for k in ("e1_mpa", "g12_mpa", "nu12"))
    expected = 4 / (2 / e1 + 1 / g12 - 2 * nu12 / e1) / e1
    assert modulus_share(sheet, math.pi / 4) == pytest.approx(expected)
    assert weak_share(sheet, 0.0) == pytest.approx(1.0)


def test_quarter_turns_where_both_directions_are_alike_and_half_turns_where_not():
    laminate = catalogue().laminate
    assert allowed_turns(laminate("plate_woven_qi"), 0.0, False) == (0, 90, 180, 270)
    assert allowed_turns(laminate("plate_woven_0_90"), 30.0, False) == (330, 60, 150, 240)
    assert allowed_turns(laminate("plate_ud_core"), 0.0, False) == (0, 180)
    assert allowed_turns(laminate("plate_ud_core"), 0.0, True) is None
