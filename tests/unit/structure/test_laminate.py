import math

import numpy as np
import pytest

from platewright.foundation.errors import StructureError
from platewright.structure.laminate import Laminate, Ply, Section, check_positive, section_of
from platewright.structure.ply import PlyMaterial, isotropic_ply, reduced_stiffness, turned_stiffness
from platewright.structure.ply_states import ply_states
from platewright.structure.stacks import core_stack, fabric_stack, single_stack

FABRIC = PlyMaterial(60_000, 60_000, 4_000, 0.05, 3_000, 3_000)
TAPE = PlyMaterial(135_000, 9_000, 5_000, 0.3, 5_000, 3_000)


@pytest.mark.parametrize("name", ["e1", "e2", "g12", "g13", "g23"])
@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_a_modulus_that_is_not_positive_is_refused(name, value):
    given = {"e1": 1.0, "e2": 1.0, "g12": 1.0, "nu12": 0.1, "g13": 1.0, "g23": 1.0, name: value}
    with pytest.raises(StructureError, match=name.upper()):
        PlyMaterial(**given)


def test_a_ply_that_is_not_positive_definite_is_refused():
    PlyMaterial(100_000, 1_000, 1_000, 5.0, 1_000, 1_000)  # wrong-looking but allowed: 25 x 0.01 < 1
    with pytest.raises(StructureError, match="not positive definite"):
        PlyMaterial(1_000, 100_000, 1_000, 0.3, 1_000, 1_000)


@pytest.mark.parametrize("nu", [-1.0, 0.5, 0.9])
def test_poisson_ratio_of_an_isotropic_material_has_its_range(nu):
    with pytest.raises(StructureError, match="Poisson's ratio"):
        isotropic_ply(1000.0, nu)


def test_a_section_that_is_not_positive_definite_is_refused():
    eye, none = np.eye(3), np.zeros((3, 3))
    check_positive(Section(eye, none, eye, np.eye(2), 1.0, 1e-9, 1e-9))
    with pytest.raises(StructureError, match="positive definite"):
        check_positive(Section(eye, 1.1 * eye, eye, np.eye(2), 1.0, 1e-9, 1e-9))


@pytest.mark.parametrize("thickness", [0.0, -2.0, math.nan])
def test_thickness_must_be_positive(thickness):
    with pytest.raises(StructureError, match="than 0 mm"):
        single_stack(FABRIC, thickness, 1e-9)
    with pytest.raises(StructureError, match="greater than 0"):
        fabric_stack(FABRIC, thickness, 0.2, 1e-9, False)


@pytest.mark.parametrize("thickness", [0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0])
def test_stacks_fill_the_plate_and_are_symmetric(thickness):
    stacks = [fabric_stack(FABRIC, thickness, 0.225, 1.5e-9, qi) for qi in (True, False)]
    if thickness >= 1:
        stacks.append(core_stack(TAPE, FABRIC, thickness, 0.14, 0.225, 1.5e-9))
    for stack in stacks:
        assert stack.thickness == pytest.approx(thickness, rel=1e-12)
        assert not section_of(stack, 0.3).is_coupled


def test_a_plate_too_thin_for_a_core_is_refused():
    with pytest.raises(StructureError, match="choose fabric"):
        core_stack(TAPE, FABRIC, 0.4, 0.14, 0.225, 1.5e-9)


def test_turning_the_sheet_turns_the_stiffness():
    stack = Laminate((Ply(TAPE, 1.0, 0.2), Ply(FABRIC, 0.5, -0.4)), 1.5e-9)
    turned, other = section_of(stack, 0.7), section_of(stack)
    for name in ("a", "b", "d"):
        assert getattr(turned, name) == pytest.approx(turned_stiffness(getattr(other, name), 0.7), rel=1e-9, abs=1e-6)
    assert turned.is_coupled


def test_resultants_are_the_sums_of_ply_stresses():
    """N and M from A, B, D equal the integrals of ply stresses over the thickness, turned to x and y."""
    stack = Laminate((Ply(TAPE, 1.0, 0.2), Ply(FABRIC, 0.5, -0.4), Ply(TAPE, 0.3, 1.2)), 1.5e-9)
    membrane, curvature = np.array([[1e-3, -4e-4, 7e-4]]), np.array([[2e-4, 3e-4, -5e-4]])
    turn = 0.5
    section, states = section_of(stack, turn), ply_states(stack, membrane, curvature, turn)
    force, moment = np.zeros(3), np.zeros(3)
    for n, ply in enumerate(stack.plies):
        angle = ply.angle + turn
        c, s = math.cos(angle), math.sin(angle)
        back = np.array([[c * c, s * s, -2 * c * s], [s * s, c * c, 2 * c * s], [c * s, -c * s, c * c - s * s]])
        low, high = (back @ states.stresses[0, n, k] for k in (0, 1))
        z0, z1 = states.height[n]
        force += (low + high) / 2 * (z1 - z0)
        moment += (z1 - z0) / 6 * (low * (2 * z0 + z1) + high * (z0 + 2 * z1))
    assert force == pytest.approx(section.a @ membrane[0] + section.b @ curvature[0], rel=1e-10)
    assert moment == pytest.approx(section.b @ membrane[0] + section.d @ curvature[0], rel=1e-10)


def test_isotropic_stiffness_does_not_depend_on_the_angle():
    q = reduced_stiffness(isotropic_ply(70_000, 0.33))
    assert turned_stiffness(q, 1.1) == pytest.approx(q, rel=1e-12, abs=1e-8)
