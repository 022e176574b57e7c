"""Plies are judged a characteristic distance off rims that curve inwards, and nowhere nearer."""

from __future__ import annotations

import numpy as np
import pytest

from platewright.geometry.loops import Circle, Outline
from platewright.geometry.probe import Probe
from platewright.geometry.shapes import rectangle_loop, rounded_polygon, slot_loop
from platewright.structure.failure import CHARACTERISTIC_DISTANCE
from platewright.structure.notches import LARGEST, notches_of


def test_ends_of_a_slot_are_notches_and_its_sides_are_not():
    found = notches_of(Outline(rectangle_loop(0, 0, 60, 20), (slot_loop(-10, 0, 10, 0, 3.0),)))
    assert np.abs(found.rims[:, 0]).min() == pytest.approx(10.0)
    ends = np.hypot(np.abs(found.rims[:, 0]) - 10, found.rims[:, 1])
    assert ends == pytest.approx(np.full(len(ends), 1.5))
    off = np.hypot(np.abs(found.off[:, 0]) - 10, found.off[:, 1])
    assert off == pytest.approx(np.full(len(off), 1.5 + CHARACTERISTIC_DISTANCE))
    assert np.diff(np.sort(found.off[found.off[:, 0] > 0][:, 1])).max() < 0.6


def test_outside_corners_are_none_and_inside_ones_are():
    corner = rounded_polygon([(0, 0), (0, 20), (-20, 20), (-20, -20), (20, -20), (20, 0)], [3.0] * 6)
    outline = Outline(corner, (), ())
    found = notches_of(outline)
    centre = np.hypot(found.rims[:, 0] - 3, found.rims[:, 1] - 3)
    assert centre == pytest.approx(np.full(len(centre), 3.0))
    assert Probe(outline).contains([tuple(p) for p in found.off.tolist()]).all()
    away = np.hypot(found.off[:, 0] - 3, found.off[:, 1] - 3)
    assert away == pytest.approx(np.full(len(away), 3.0 + CHARACTERISTIC_DISTANCE))


def test_wide_holes_are_judged_at_the_rim_unless_bolted():
    outline = Outline(rectangle_loop(0, 0, 60, 60), (), (Circle(0, 0, LARGEST + 1),))
    assert not len(notches_of(outline).rims)
    assert len(notches_of(outline, (), outline.circles).off) == 48
