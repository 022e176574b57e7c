"""Spacing of propeller discs against plane geometry.

Reference: Euclid, Elements, Book I, Proposition 47 (the square on the diagonal) and Book IV, Proposition 15 with its
porism (the side of the regular hexagon equals the radius of its circle). Public domain; numbers remembered.
"""

from __future__ import annotations

import math

import pytest

from frames import assembled, catalogue, equipment, part, place
from platewright.fit.discs import disc_gaps, discs_of, largest_propellers
from platewright.fit.interference import prisms_of

ARMS = part("arm", 5, (360, 20)) + place("arm", "arm", to="rotors", root_mm=[8, 8])
RADIAL_ARMS = part("arm", 5, (360, 20)) + place("arm", "arm", to="rotors", root_radius_mm=12)
EQUIPMENT = (
    equipment("motor", {"m": "motor_2207"}, at="rotors", stack=["screw M3 socket 12.9", "arm", "motor.m"]),
    equipment("p", {"p": "prop_5in"}, at="rotors", on="motor"),
)
DIAMETER = catalogue().propeller("prop_5in").diameter_mm


@pytest.mark.parametrize(("fore_aft", "lateral"), [(160.0, 150.0), (168.0, 159.0), (200.0, 140.0)])
def test_rectangle_of_rotors(fore_aft: float, lateral: float) -> None:
    """Elements I.47: sides and diagonals of the rectangle, less one diameter."""
    assembly = assembled(ARMS, *EQUIPMENT, rotors=f"fore_aft_mm = {fore_aft}\nlateral_mm = {lateral}")
    gaps = sorted(g.in_plan for g in disc_gaps(discs_of(assembly)))
    sides = [fore_aft, fore_aft, lateral, lateral] + 2 * [math.sqrt(fore_aft**2 + lateral**2)]
    assert gaps == pytest.approx(sorted(s - DIAMETER for s in sides), abs=1e-9)


@pytest.mark.parametrize("radius", [140.0, 150.0])
def test_hexagon_of_rotors(radius: float) -> None:
    """Elements IV.15: neighbours are one radius apart, the next sqrt(3) radii, opposite ones two."""
    points = [(radius * math.cos(a), radius * math.sin(a)) for a in (math.pi / 6 + k * math.pi / 3 for k in range(6))]
    assembly = assembled(RADIAL_ARMS, *EQUIPMENT, rotors=f"at_mm = {[list(p) for p in points]}")
    gaps = sorted(g.in_plan for g in disc_gaps(discs_of(assembly)))
    apart = 6 * [radius] + 6 * [math.sqrt(3) * radius] + 3 * [2 * radius]
    assert gaps == pytest.approx([d - DIAMETER for d in apart], abs=1e-9)
    limits = largest_propellers(assembly, prisms_of(assembly), discs_of(assembly), 3.0, 0.0)
    assert all(limit.diameter == pytest.approx(radius - 3.0, abs=1e-3) for limit in limits)


def test_wheelbase_of_a_square() -> None:
    """Rule propeller_clearance.wheelbase_min_true_x_mm: the diagonal is sqrt(2) times diameter and gap together."""
    gap = catalogue().rule("propeller_clearance.tip_to_tip_min_mm").value
    wheelbase = math.sqrt(2) * (DIAMETER + gap)
    side = wheelbase / math.sqrt(2)
    assembly = assembled(ARMS, *EQUIPMENT, rotors=f"fore_aft_mm = {side}\nlateral_mm = {side}")
    assert min(g.gap for g in disc_gaps(discs_of(assembly))) == pytest.approx(gap, abs=1e-9)
