import math

import pytest

from frames import catalogue
from platewright.foundation.errors import CatalogueError
from platewright.structure.laminate import section_of, sheet_constants
from platewright.study.strength_laminates import plate_laminate

PLATES = ("plate_woven_qi", "plate_woven_0_90", "plate_ud_core", "plate_g10")


@pytest.mark.parametrize("plate", PLATES)
@pytest.mark.parametrize("thickness", [1.0, 2.0, 3.0, 5.0])
def test_low_typical_and_high_follow_one_another(plate, thickness):
    moduli = [
        sheet_constants(plate_laminate(catalogue(), plate, thickness, level)) for level in ("low", "typical", "high")
    ]
    for name in ("e_x", "g_xy", "e_flex_x", "g_xz"):
        low, typical, high = (getattr(m, name) for m in moduli)
        assert low < typical < high, name
    assert not section_of(plate_laminate(catalogue(), plate, thickness)).is_coupled


@pytest.mark.parametrize("level", ["low", "typical", "high"])
def test_quasi_isotropic_plate_has_the_catalogue_modulus(level):
    """The catalogue's ends are of fabrics with nu12 of 0.03 and 0.06; ours keep the typical 0.10, worth 1.6 %."""
    estimate = catalogue().laminate("plate_woven_qi").value("e_inplane_mpa")
    low, high = estimate.band
    expected = {"low": low, "typical": estimate.typical, "high": high}[level]
    eight = plate_laminate(catalogue(), "plate_woven_qi", 1.8, level)
    assert len(eight.plies) == 8
    assert sheet_constants(eight).e_x == pytest.approx(expected, rel=1e-3 if level == "typical" else 2e-2)


@pytest.mark.parametrize("level", ["low", "typical", "high"])
def test_cored_plate_has_the_catalogue_modulus_in_the_plane(level):
    estimate = catalogue().laminate("plate_ud_core").value("e1_mpa")
    low, high = estimate.band
    expected = {"low": low, "typical": estimate.typical, "high": high}[level]
    got = sheet_constants(plate_laminate(catalogue(), "plate_ud_core", 3.0, level))
    assert got.e_x == pytest.approx(expected, rel=1e-6)


def test_an_arm_cut_at_45_degrees_has_a_third_of_the_stiffness():
    plate = plate_laminate(catalogue(), "plate_woven_0_90", 5.0)
    along, slanting = (sheet_constants(plate, math.radians(a)) for a in (0, 45))
    assert slanting.e_flex_x / along.e_flex_x == pytest.approx(0.25, abs=0.08)
    assert slanting.g_twist / along.g_twist > 5
    across = sheet_constants(plate, math.radians(90))
    assert across.e_x == pytest.approx(along.e_x, rel=1e-9)


def test_a_laminate_without_constants_is_refused():
    with pytest.raises(CatalogueError):
        plate_laminate(catalogue(), "plate_of_dreams", 2.0)
