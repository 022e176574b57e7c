"""Errors fall at the theoretical rate when the mesh is refined, whatever the thickness: the triangle does not lock.

Theory: quadratic shape functions give displacement errors of order h^3 and energy errors of order h^4; the shear field
and curved sides keep that. The reference is a much finer mesh of the same plate, so shear is in it.
"""

import numpy as np
import pytest

from plates import disc, isotropic, on_line, rectangle
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.structure.mesh import mesh_outline
from platewright.structure.plate import plate_systems, pressure_load
from platewright.structure.solve import PlateModel
from platewright.structure.supports import fixed_freedoms


def work(mesh, thickness, nodes):
    """Return twice the strain energy under a uniform pressure, with some nodes held."""
    load = pressure_load(mesh, 1e-4)
    model = PlateModel(
        mesh.nodes, plate_systems(mesh, isotropic(thickness)), fixed_freedoms(len(mesh.nodes), [(nodes, "fixed")])
    )
    return float((load * model.solve(load[None]).displacements[0]).sum())


@pytest.mark.parametrize("thickness", [0.1, 1.0, 10.0])
def test_clamped_square_converges_at_the_same_rate_thick_or_thin(thickness):
    sizes = (25.0, 12.5, 6.25)
    meshes = [rectangle(100, 100, size) for size in (*sizes, 3.125)]
    *found, best = (work(mesh, thickness, mesh.loops[0]) for mesh in meshes)
    errors = np.abs(np.array(found) / best - 1)
    # Between halvings the reference itself is only 16 times better: allow order 3 for 4.
    assert np.log2(errors[0] / errors[2]) / 2 > 3.0
    assert errors[2] < 1e-3


def test_clamped_disc_converges_with_its_curved_edge():
    sizes = (20.0, 10.0, 5.0)
    *found, best = (work(m, 2.0, m.loops[0]) for m in (disc(50, size) for size in (*sizes, 2.5)))
    errors = np.abs(np.array(found) / best - 1)
    assert errors[1] < 3e-3
    assert errors[2] < errors[0] / 8


def test_a_perforated_cantilever_does_not_depend_on_its_mesh():
    """Deflection and six frequencies of a plate with holes, meshes of three and one thicknesses against half of one."""
    outline = Outline(rectangle_loop(0, 0, 90, 16), (), tuple(Circle(x, 0, 1.6) for x in (-38, -26, 20, 38)))
    thickness = 4.0
    rows = []
    for size in (3 * thickness, thickness, thickness / 2):
        mesh = mesh_outline(outline, size)
        held = fixed_freedoms(len(mesh.nodes), [(mesh.rims[k], "fixed") for k in (0, 1)])
        model = PlateModel(mesh.nodes, plate_systems(mesh, isotropic(thickness)), held)
        load = pressure_load(mesh, 1e-3)
        tip = on_line(mesh, 0, 45.0)
        rows.append([model.solve(load[None]).displacements[0, tip, 2].mean(), *model.modes(6).frequencies])
    assert rows[0] == pytest.approx(rows[2], rel=1e-2)
    assert rows[1] == pytest.approx(rows[2], rel=5e-3)


def test_displacements_in_the_plane_converge():
    """A strip bent edgewise by its own weight sideways, held at its root."""
    found = []
    for size in (10.0, 5.0, 2.5, 1.25):
        mesh = rectangle(60, 12, size)
        section = isotropic(2.0)
        system = plate_systems(mesh, section)
        sideways = np.zeros((len(mesh.nodes), 5))
        sideways[:, 1] = pressure_load(mesh, 1e-3)[:, 2]
        held = fixed_freedoms(len(mesh.nodes), [(on_line(mesh, 0, -30.0), "fixed")])
        model = PlateModel(mesh.nodes, system, held)
        found.append(float((sideways * model.solve(sideways[None]).displacements[0]).sum()))
    errors = np.abs(np.array(found[:3]) / found[3] - 1)
    # Corners of the held root are singular: order 1 to 2 instead of 4.
    assert errors[2] < errors[0] / 8
    assert errors[2] < 2e-3
