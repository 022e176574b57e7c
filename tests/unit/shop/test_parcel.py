"""Plates in layers and masses that are billed, against numbers worked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.shop.parcel import Plate, billed_mass, stack_height, volumetric_mass


def test_rows_and_layers_worked_by_hand():
    # Inside 104 x 64 with 2 mm about each: rows of 30 hold three plates of 32 along; two rows of 28 fit into 62.
    plates = [Plate(30, 26, 3)] * 6
    assert stack_height(plates, 104, 64, 2) == 3
    assert stack_height([*plates, Plate(30, 26, 5)], 104, 64, 2) == 8
    assert stack_height([*plates, Plate(103, 10, 1)], 104, 64, 2) is None


def test_a_layer_is_as_high_as_its_thickest_plate():
    assert stack_height([Plate(40, 30, 2), Plate(40, 20, 5)], 60, 60, 1) == 5
    assert stack_height([], 60, 60, 1) == 0


@given(st.lists(st.tuples(st.floats(5, 90), st.floats(5, 90), st.floats(1, 6)), max_size=20))
def test_the_height_holds_the_volume_and_never_exceeds_one_pile(sizes: list[tuple[float, float, float]]):
    plates = [Plate(max(a, b), min(a, b), t) for a, b, t in sizes]
    height = stack_height(plates, 100, 95, 2)
    assert height is not None
    assert height <= sum(p.thickness for p in plates) + 1e-9
    assert height * 100 * 95 >= sum(p.long * p.short * p.thickness for p in plates) - 1e-6


@pytest.mark.parametrize(
    ("outer", "divisor", "kg"),
    [((300, 200, 100), 5000, 1.2), ((300, 200, 100), 6000, 1.0), ((270, 190, 40), 5000, 0.4104)],
)
def test_volumetric_mass(outer: tuple[float, float, float], divisor: float, kg: float):
    assert volumetric_mass(outer, divisor) == pytest.approx(kg)


def test_billed_mass_is_rounded_up_once():
    assert billed_mass(0.201, None, 0.05) == 0.25
    assert billed_mass(0.25, None, 0.05) == 0.25
    assert billed_mass(0.2, 0.41, 0.5) == 0.5
