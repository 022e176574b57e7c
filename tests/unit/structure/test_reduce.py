import numpy as np
import pytest
import scipy.linalg

from plates import isotropic
from platewright.foundation.errors import StructureError
from platewright.geometry.loops import Circle, Outline, outline_properties
from platewright.geometry.shapes import rectangle_loop
from platewright.structure.laminate import Laminate, Ply, section_of
from platewright.structure.mesh import mesh_outline
from platewright.structure.plate import plate_systems, pressure_load
from platewright.structure.ply import PlyMaterial
from platewright.structure.reduce import USUAL_MODES, Reductions, group_ties, reduce_plate
from platewright.structure.solve import PlateModel
from platewright.structure.stacks import single_stack
from platewright.structure.supports import fixed_freedoms, resultant_of, tie_group

CENTRES = ((-40.0, 0.0), (-26.0, 0.0), (38.0, 3.0), (38.0, -3.0))
PLATE = Outline(rectangle_loop(0, 0, 96, 16), (), tuple(Circle(x, y, 1.6) for x, y in CENTRES))
MESH = mesh_outline(PLATE, 6.0)
GROUPS = ((0,), (1,), (2, 3))
TAPE = PlyMaterial(135_000, 9_000, 5_000, 0.3, 5_000, 3_000)
SECTIONS = {
    "isotropic": isotropic(4.0),
    "coupled": section_of(Laminate((Ply(TAPE, 1.5, 0.3), Ply(TAPE, 1.0, -0.8)), 1.55e-9)),
}


@pytest.fixture(params=SECTIONS)
def section(request):
    return SECTIONS[request.param]


def reduced(section, modes=USUAL_MODES):
    return reduce_plate(MESH, section, group_ties(MESH, CENTRES, GROUPS), modes)


def whole(section, mass=0.0):
    held = fixed_freedoms(len(MESH.nodes), [(MESH.rims[n], "fixed") for n in (0, 1)])
    tie = tie_group([MESH.rims[n] for n in (2, 3)], CENTRES[2:], mass=mass)
    return PlateModel(MESH.nodes, plate_systems(MESH, section), held, [tie])


def test_loads_on_points_give_the_whole_plates_motions_and_reactions(section):
    load = np.diag([5.0, 4.0, 3.0, 200.0, 100.0, 50.0])
    plate = reduced(section)
    got = whole(section).solve(None, load[:, None, :])
    tip = slice(12, 18)
    motions = np.linalg.solve(plate.stiffness[tip, tip], load.T).T
    assert motions == pytest.approx(got.ties[:, 0], rel=1e-7, abs=1e-12)
    amplitudes = np.zeros((6, len(plate.stiffness)))
    amplitudes[:, tip] = motions
    assert plate.displacements(amplitudes) == pytest.approx(got.displacements, rel=1e-6, abs=1e-10)
    forces = amplitudes @ plate.stiffness
    for n in (0, 1):
        expected = resultant_of(MESH.nodes, got.reactions, MESH.rims[n], CENTRES[n])
        assert forces[:, 6 * n : 6 * n + 6] == pytest.approx(expected, rel=1e-6, abs=1e-7)


def test_six_frequencies_with_a_tip_mass_within_three_per_mille(section):
    plate, mass = reduced(section), 35e-6
    free = np.arange(12, len(plate.stiffness))
    m = plate.mass[np.ix_(free, free)]
    m[:3, :3] += mass * np.eye(3)
    squares = scipy.linalg.eigh(plate.stiffness[np.ix_(free, free)], m, eigvals_only=True)
    got = np.sqrt(squares[:6]) / (2 * np.pi)
    assert got == pytest.approx(whole(section, mass).modes(6).frequencies, rel=3e-3)


def test_rigid_motions_cost_nothing_and_carry_the_plates_mass():
    plate = reduced(SECTIONS["isotropic"])
    rigid = plate.rigid((7.0, -2.0))
    scale = np.abs(plate.stiffness).max() * np.abs(rigid).max()
    assert np.abs(plate.stiffness @ rigid).max() < 1e-9 * scale
    area = outline_properties(PLATE)
    mass = rigid.T @ plate.mass @ rigid
    expected = plate.section.mass * area.area
    assert np.diag(mass)[:3] == pytest.approx([expected] * 3, rel=1e-4)
    polar = area.ixx + area.iyy + area.area * ((area.cx - 7) ** 2 + (area.cy + 2) ** 2)
    assert mass[5, 5] == pytest.approx(plate.section.mass * polar, rel=1e-4)
    about_x = plate.section.mass * (area.ixx + area.area * (area.cy + 2) ** 2) + plate.section.rotary * area.area
    assert mass[3, 3] == pytest.approx(about_x, rel=1e-4)


def test_weight_goes_to_the_points():
    plate = reduced(SECTIONS["isotropic"])
    load = plate.loads(pressure_load(MESH, 1e-3)[None])[0]
    total = plate.rigid().T @ load
    area = outline_properties(PLATE)
    assert total[2] == pytest.approx(1e-3 * area.area, rel=1e-4)
    assert total[4] == pytest.approx(-1e-3 * area.area * area.cx, rel=1e-3)


def test_equal_plates_are_reduced_once():
    kept, stack = Reductions(), single_stack(TAPE, 2.0, 1.55e-9)
    one = kept.get(PLATE, stack, 0.0, GROUPS, 8.0)
    same = Outline(rectangle_loop(0, 0, 96, 16), (), tuple(Circle(x, y, 1.6) for x, y in CENTRES))
    assert kept.get(same, single_stack(TAPE, 2.0, 1.55e-9), 0.0, GROUPS, 8.0) is one
    assert kept.get(PLATE, stack, 0.5, GROUPS, 8.0) is not one


@pytest.mark.parametrize("groups", [(), ((),), ((0,), (4,)), ((-1,),)])
def test_groups_name_holes_that_are_there(groups):
    with pytest.raises(StructureError, match="hole"):
        group_ties(MESH, CENTRES, groups)


def test_a_hole_belongs_to_one_group():
    with pytest.raises(StructureError, match="two groups"):
        reduce_plate(MESH, SECTIONS["isotropic"], group_ties(MESH, CENTRES, ((0, 1), (1, 2))))
