"""Classical laminate theory.

References:

- A. K. Kaw, Mechanics of Composite Materials, 2nd ed., CRC Press 2006, example 4.2 ff. (values remembered; recomputed).
- S. W. Tsai, N. J. Pagano 1968, invariants of a ply's stiffness (closed form).
- Plate moduli of woven carbon from engineering constants of the fabric: computed from the same closed forms.

Tolerance: printed numbers to their four figures (5e-4); closed forms to rounding.
"""

import math

import numpy as np
import pytest

from platewright.structure.laminate import Laminate, Ply, section_of, sheet_constants
from platewright.structure.ply import PlyMaterial, reduced_stiffness
from platewright.structure.ply_states import ply_states

GRAPHITE = PlyMaterial(181_000, 10_300, 7_170, 0.28, 7_170, 3_000)
FABRICS = {
    "supplier": PlyMaterial(70_000, 70_000, 5_000, 0.10, 3_000, 3_000),
    "wet": PlyMaterial(60_000, 60_000, 2_700, 0.03, 3_000, 3_000),
    "aerospace": PlyMaterial(77_000, 75_000, 6_500, 0.06, 3_000, 3_000),
}
PRINTED = 5e-4


def stack(material, angles_deg, thickness):
    return Laminate(tuple(Ply(material, thickness, math.radians(a)) for a in angles_deg), 1.6e-9)


KAW = stack(GRAPHITE, (0, 30, -45), 5.0)


def test_kaw_example_4_2_stiffness():
    """A in Pa m is 1e-3 N/mm, B in Pa m^2 is 1 N, D in Pa m^3 is 1e3 N mm."""
    got = section_of(KAW)
    a = [[1.739e9, 3.884e8, 5.663e7], [3.884e8, 4.533e8, -1.141e8], [5.663e7, -1.141e8, 4.525e8]]
    b = [[-3.129e6, 9.855e5, -1.072e6], [9.855e5, 1.158e6, -1.072e6], [-1.072e6, -1.072e6, 9.855e5]]
    d = [[3.343e4, 6.461e3, -5.240e3], [6.461e3, 9.320e3, -5.596e3], [-5.240e3, -5.596e3, 7.663e3]]
    assert got.a == pytest.approx(np.array(a) * 1e-3, rel=PRINTED)
    assert got.b == pytest.approx(np.array(b), rel=PRINTED)
    assert got.d == pytest.approx(np.array(d) * 1e3, rel=PRINTED)
    assert got.is_coupled


def test_kaw_example_4_3_strains_under_nx_and_ny():
    """Nx = Ny = 1000 N/m = 1 N/mm."""
    s = section_of(KAW)
    whole = np.block([[s.a, s.b], [s.b, s.d]])
    strain = np.linalg.solve(whole, [1.0, 1.0, 0, 0, 0, 0])
    per_metre = np.array([1, 1, 1, 1e3, 1e3, 1e3])
    printed = [3.123e-7, 3.492e-6, -7.598e-7, 2.971e-5, -3.285e-4, 4.101e-4]
    assert strain * per_metre == pytest.approx(printed, rel=PRINTED)
    states = ply_states(KAW, strain[None, :3], strain[None, 3:])
    top = strain[:3] + 7.5 * strain[3:]
    c = math.cos(math.radians(-45)) ** 2
    assert states.strains[0, 2, 1, 0] == pytest.approx(c * (top[0] + top[1] - top[2]), rel=1e-12)


def test_quasi_isotropic_modulus_from_invariants():
    """E = (U1^2 - U4^2) / U1 = 69.68 GPa of [0/60/-60] and of [0/45/-45/90], whatever the direction."""
    q = reduced_stiffness(GRAPHITE)
    u1 = (3 * q[0, 0] + 3 * q[1, 1] + 2 * q[0, 1] + 4 * q[2, 2]) / 8
    u4 = (q[0, 0] + q[1, 1] + 6 * q[0, 1] - 4 * q[2, 2]) / 8
    expected = (u1**2 - u4**2) / u1
    assert expected == pytest.approx(69_680, rel=1e-4)
    for angles in ((0, 60, -60, -60, 60, 0), (0, 45, -45, 90, 90, -45, 45, 0)):
        for turn in (0.0, 0.4):
            assert sheet_constants(stack(GRAPHITE, angles, 0.125), turn).e_x == pytest.approx(expected, rel=1e-10)


@pytest.mark.parametrize(
    ("fabric", "e", "g"),
    [("supplier", 49_980, 18_410), ("wet", 42_000, 15_900), ("aerospace", 56_000, 21_200)],
)
def test_quasi_isotropic_fabric_plate(fabric, e, g):
    """[(0/90)/(+-45)]2s; moduli known to three figures. nu = E / 2G - 1, isotropic but for E1 - E2 of the fabric."""
    got = sheet_constants(stack(FABRICS[fabric], (0, 45, 0, 45, 45, 0, 45, 0), 0.25))
    assert (got.e_x, got.g_xy) == pytest.approx((e, g), rel=3e-3)
    assert got.nu_xy == pytest.approx(got.e_x / (2 * got.g_xy) - 1, abs=0.01 if fabric == "aerospace" else 1e-12)


def test_bending_stiffness_depends_on_the_stacking():
    """Flexural modulus 58.5 GPa with (0/90) outside, against 50.0 GPa in the plane."""
    got = sheet_constants(stack(FABRICS["supplier"], (0, 45, 0, 45, 45, 0, 45, 0), 0.25))
    assert got.e_flex_x == pytest.approx(58_500, rel=5e-4)


def test_fabric_cut_at_45_degrees():
    """Ex 17.72 GPa, Gxy 31.82 GPa, nu 0.772; closed form 4 / Ex = 1/G + 2 (1 - nu) / E."""
    got = sheet_constants(stack(FABRICS["supplier"], (0,), 2.0), math.pi / 4)
    assert (got.e_x, got.g_xy) == pytest.approx((17_720, 31_820), rel=PRINTED)
    assert got.nu_xy == pytest.approx(0.772, abs=5e-4)
    assert got.e_x == pytest.approx(4 / (1 / 5_000 + 2 * 0.9 / 70_000), rel=1e-12)


def test_symmetric_stacks_do_not_couple():
    got = section_of(stack(GRAPHITE, (0, 30, -45, -45, 30, 0), 0.2), 0.3)
    assert np.abs(got.b).max() < 1e-12 * np.abs(got.a).max() * got.thickness
