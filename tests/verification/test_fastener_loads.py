"""Proof and ultimate loads of screws, against the tables of ISO 898-1.

Reference
---------
ISO 898-1:2013, Mechanical properties of fasteners made of carbon steel and alloy steel, tables 3 to 5 (coarse thread):
loads as printed on two public transcriptions that agree; the standard's own text was not at hand. The tables start at
M3. Reduced loads of low heads: ISO 7380-1 and ISO 10642, from memory.
"""

import pytest

from platewright.model.catalogue import load_catalogue

CATALOGUE = load_catalogue()

# size, class, proof load [N], least ultimate load [N]
PRINTED = [
    ("M3", "8.8", 2920, 4020),
    ("M3", "10.9", 4180, 5230),
    ("M3", "12.9", 4880, 6140),
    ("M4", "8.8", 5100, 7020),
    ("M4", "10.9", 7290, 9130),
    ("M4", "12.9", 8520, 10_700),
    ("M5", "8.8", 8230, 11_350),
    ("M5", "10.9", 11_800, 14_800),
    ("M5", "12.9", 13_800, 17_300),
]
# The standard computes with a stress area of three figures (M5: 14.2 for 14.18, 0.13 %) and prints three or four.
TOLERANCE = 0.005


@pytest.mark.parametrize(("size", "name", "proof_load", "ultimate_load"), PRINTED)
def test_loads_are_stress_times_stress_area(size, name, proof_load, ultimate_load):
    area, strength = CATALOGUE.thread(size).stress_area_mm2, CATALOGUE.screw_class(name)
    assert area * strength.proof_stress_mpa == pytest.approx(proof_load, rel=TOLERANCE)
    assert area * strength.strength_min_mpa == pytest.approx(ultimate_load, rel=TOLERANCE)


@pytest.mark.parametrize(
    ("name", "proof", "strength", "yield_stress"),
    [("8.8", 580, 800, 640), ("10.9", 830, 1040, 940), ("12.9", 970, 1220, 1100)],
)
def test_stresses_of_the_property_classes(name, proof, strength, yield_stress):
    """ISO 898-1 table 3, d <= 16 mm; shear strength is 0.6 Rm, a common engineering value."""
    record = CATALOGUE.screw_class(name)
    assert record.proof_stress_mpa == proof
    assert record.strength_min_mpa == strength
    assert record.yield_min_mpa == yield_stress
    assert record.allowed_stress_mpa == proof
    assert record.shear_strength_mpa == pytest.approx(0.6 * strength)


@pytest.mark.parametrize("name", ["8.8", "10.9", "12.9"])
def test_the_name_of_a_class_tells_its_nominal_strength_and_yield_ratio(name):
    """ISO 898-1 clause 5: first number Rm nominal / 100, second 10 times the nominal yield ratio."""
    record = CATALOGUE.screw_class(name)
    hundreds, ratio = name.split(".")
    assert record.strength_nominal_mpa == 100 * int(hundreds)
    # minima are rounded up from the nominal: 8.8 has 640/800, 10.9 940/1040, 12.9 1100/1220
    assert record.yield_min_mpa / record.strength_min_mpa == pytest.approx(int(ratio) / 10, abs=0.005)


@pytest.mark.parametrize(
    ("size", "name", "printed"),
    [("M3", "8.8", 3216), ("M3", "12.9", 4912), ("M4", "10.9", 7304), ("M5", "12.9", 13_840)],
)
def test_a_button_head_carries_four_fifths(size, name, printed):
    """ISO 7380-1: 80 % of the loads of ISO 898-1 (from memory)."""
    load = CATALOGUE.thread(size).stress_area_mm2 * CATALOGUE.screw_class(name).strength_min_mpa
    assert CATALOGUE.screw(size, "button").load_factor * load == pytest.approx(printed, rel=TOLERANCE)


def test_stainless_has_no_proof_stress_so_yield_counts():
    """ISO 3506-1 (from memory) defines none."""
    record = CATALOGUE.screw_class("A2-70")
    assert record.proof_stress_mpa is None
    assert record.allowed_stress_mpa == record.yield_min_mpa == 450
