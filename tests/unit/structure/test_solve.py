import numpy as np
import pytest
from scipy.sparse import csc_array

from plates import isotropic, on_line, rectangle
from platewright.foundation.errors import StructureError
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.structure.factor import Factor
from platewright.structure.laminate import Laminate, Ply, section_of
from platewright.structure.locate import locate, point_load
from platewright.structure.mesh import mesh_outline
from platewright.structure.plate import plate_systems, pressure_load
from platewright.structure.ply import PlyMaterial
from platewright.structure.solve import PlateModel
from platewright.structure.strains import resultants, strains_at_nodes
from platewright.structure.supports import Tie, fixed_freedoms, resultant_of, rigid_motion, tie_group, tie_weights

CENTRES = ((-30.0, 0.0), (-18.0, 0.0), (30.0, 4.0), (30.0, -4.0))
PLATE = Outline(rectangle_loop(0, 0, 76, 16), (), tuple(Circle(x, y, 1.6) for x, y in CENTRES))
MESH = mesh_outline(PLATE, 6.0)
TAPE = PlyMaterial(135_000, 9_000, 5_000, 0.3, 5_000, 3_000)
UNEVEN = section_of(Laminate((Ply(TAPE, 1.5, 0.3), Ply(TAPE, 1.0, -0.8)), 1.55e-9))


def held(how="fixed", holes=(0, 1)):
    return fixed_freedoms(len(MESH.nodes), [(MESH.rims[n], how) for n in holes])


def model(section=None, rigid=True, mass=0.0, how="fixed"):
    tie = tie_group([MESH.rims[n] for n in (2, 3)], CENTRES[2:], rigid, mass)
    return PlateModel(MESH.nodes, plate_systems(MESH, section or isotropic(3.0)), held(how), [tie])


@pytest.mark.parametrize("section", [isotropic(3.0), UNEVEN], ids=["isotropic", "coupled"])
def test_a_free_plate_has_six_motions_that_cost_nothing_and_no_more(section):
    mesh = rectangle(30, 20, 8)
    rigid = rigid_motion(mesh.nodes, (3.0, 4.0))
    count = 0
    for system in plate_systems(mesh, section):
        own = rigid[:, system.freedoms].reshape(-1, 6)
        assert np.abs(system.stiffness @ own).max() < 1e-9 * np.abs(system.stiffness).max()
        values = np.linalg.eigvalsh(system.stiffness.toarray())
        count += int((values < 1e-9 * values[-1]).sum())
    assert count == 6


@pytest.mark.parametrize("section", [isotropic(3.0), UNEVEN], ids=["isotropic", "coupled"])
def test_constant_strain_and_curvature_are_held_exactly(section):
    """The patch test on bent triangles: fields of constant strain and curvature need no forces inside."""
    e, k = np.array([1e-3, -5e-4, 8e-4]), np.array([2e-4, -1e-4, 3e-4])
    straight = mesh_outline(Outline(rectangle_loop(0, 0, 40, 16)), 7.0)
    for mesh, tolerance in ((straight, 1e-9), (MESH, 2e-2)):  # bent sides hold quadratic w only nearly
        px, py = mesh.nodes.T
        own = np.zeros((1, len(mesh.nodes), 5))
        own[0, :, 0], own[0, :, 1] = e[0] * px + e[2] / 2 * py, e[1] * py + e[2] / 2 * px
        own[0, :, 3], own[0, :, 4] = k[0] * px + k[2] / 2 * py, k[1] * py + k[2] / 2 * px
        own[0, :, 2] = -(k[0] * px**2 + k[1] * py**2 + k[2] * px * py) / 2
        got = strains_at_nodes(mesh, section, own)
        assert got.membrane[0] == pytest.approx(np.tile(e, (len(px), 1)), rel=tolerance, abs=tolerance * 1e-3)
        assert got.curvature[0] == pytest.approx(np.tile(k, (len(px), 1)), rel=tolerance, abs=tolerance * 3e-4)
        assert np.abs(got.shear).max() < tolerance * np.abs(k).max() * 16


def test_resultants_follow_the_section():
    strains = strains_at_nodes(MESH, UNEVEN, np.random.default_rng(1).normal(size=(1, len(MESH.nodes), 5)))
    force, moment, shear = resultants(UNEVEN, strains)
    n = 17
    assert force[0, n] == pytest.approx(UNEVEN.a @ strains.membrane[0, n] + UNEVEN.b @ strains.curvature[0, n])
    assert moment[0, n] == pytest.approx(UNEVEN.b @ strains.membrane[0, n] + UNEVEN.d @ strains.curvature[0, n])
    assert shear[0, n] == pytest.approx(UNEVEN.shear @ strains.shear[0, n])


@pytest.mark.parametrize("rigid", [True, False])
def test_reactions_balance_what_is_on_a_tie(rigid):
    load = np.zeros((1, 1, 6))
    load[0, 0] = [3.0, -2.0, 5.0, 40.0, -30.0, 20.0]
    for section in (None, UNEVEN):
        plate = model(section, rigid)
        got = plate.solve(None, load)
        total = sum(resultant_of(MESH.nodes, got.reactions, MESH.rims[n], (30.0, 0.0))[0] for n in (0, 1))
        assert total == pytest.approx(-load[0, 0], rel=1e-7, abs=1e-6)


def test_a_flexible_tie_is_softer_and_work_is_kept():
    load = np.eye(6)[:, None, :]
    stiff, soft = model().solve(None, load).ties[:, 0], model(rigid=False).solve(None, load).ties[:, 0]
    assert soft == pytest.approx(soft.T, rel=1e-6, abs=1e-12)  # Betti: the matrix of flexibility is symmetric
    assert (np.diag(soft) > np.diag(stiff)).all()
    assert np.diag(soft)[:3] == pytest.approx(np.diag(stiff)[:3], rel=0.25)


def test_mass_lowers_frequencies_alike_on_both_kinds_of_tie():
    bare, rigid, soft = (
        model(rigid=r, mass=m).modes(3).frequencies for r, m in ((True, 0), (True, 3e-5), (False, 3e-5))
    )
    assert (rigid < bare).all()
    assert soft[0] == pytest.approx(rigid[0], rel=0.03)


def test_inertia_on_a_tie_lowers_the_twisting_mode_alone():
    """A mode in which the point turns about x feels inertia about x; one without that turn does not."""
    tie = tie_group([MESH.rims[n] for n in (2, 3)], CENTRES[2:])
    heavy = Tie(tie.nodes, tie.centre, inertia=(5e-4, 0.0, 0.0))
    systems = plate_systems(MESH, isotropic(3.0))
    bare, turned = (PlateModel(MESH.nodes, systems, held(), [t]).modes(4) for t in (tie, heavy))
    twists = np.abs(bare.ties[:, 0, 3]) > 1e-2 * np.abs(bare.ties[:, 0, 3]).max()
    first = int(np.flatnonzero(twists)[0])
    assert turned.frequencies[0] == pytest.approx(bare.frequencies[0], rel=1e-3)
    assert first > 0
    assert turned.frequencies[1:].min() < 0.99 * bare.frequencies[first]


def test_modes_are_scaled_and_satisfy_their_equations():
    modes = model(mass=3e-5).modes(4)
    assert (np.diff(modes.frequencies) >= 0).all()
    system = plate_systems(MESH, isotropic(3.0))[1]
    shape = modes.shapes[0][:, 2:].ravel()
    own_mass = shape @ (system.mass @ shape) + 3e-5 * modes.ties[0, 0, 2] ** 2
    assert own_mass == pytest.approx(1.0, rel=1e-6)
    energy = shape @ (system.stiffness @ shape)
    assert energy == pytest.approx((2 * np.pi * modes.frequencies[0]) ** 2, rel=1e-6)


def test_point_load_and_pressure_put_the_whole_force_on():
    load = point_load(MESH, 3.0, 2.0, (1, 2, 3, 4, 5))
    assert load.sum(axis=0) == pytest.approx([1, 2, 3, 4, 5])
    x, y = MESH.nodes.T
    assert (load[:, 2] @ x, load[:, 2] @ y) == pytest.approx((9.0, 6.0))
    assert pressure_load(MESH, 2.0)[:, 2].sum() == pytest.approx(2 * MESH.quality.area, rel=1e-9)


def test_points_off_the_plate_are_refused():
    for x, y in ((-30.0, 0.0), (100.0, 0.0)):
        with pytest.raises(StructureError, match="lie on the plate"):
            locate(MESH, x, y)
    nodes, share = locate(MESH, 10.0, -3.0)
    assert share @ MESH.nodes[nodes] == pytest.approx([10.0, -3.0])


def test_a_part_that_is_held_nowhere_is_refused():
    with pytest.raises(StructureError, match="held nowhere"):
        PlateModel(MESH.nodes, plate_systems(MESH, isotropic(3.0)), held(holes=()))


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("across", "shift along x, shift along y, turn about z"),
        ("in_plane", "shift along z, turn about x, turn about y"),
    ],
)
def test_a_part_that_is_free_to_move_is_refused_and_told_how(how, words):
    with pytest.raises(StructureError, match=words):
        PlateModel(MESH.nodes, plate_systems(MESH, isotropic(3.0)), held(how))


def test_a_single_pin_holds_a_part_by_its_rim():
    PlateModel(MESH.nodes, plate_systems(MESH, isotropic(3.0)), held("pinned", (0,)))


def test_an_unknown_hold_is_refused():
    with pytest.raises(StructureError, match="'glued'"):
        held("glued")


def test_ties_share_no_nodes_with_supports_or_each_other():
    systems = plate_systems(MESH, isotropic(3.0))
    with pytest.raises(StructureError, match="held and loaded"):
        PlateModel(MESH.nodes, systems, held(), [tie_group([MESH.rims[0]], [CENTRES[0]])])
    two = [tie_group([MESH.rims[2]], [CENTRES[2]]), tie_group([MESH.rims[2]], [CENTRES[2]])]
    with pytest.raises(StructureError, match="two groups"):
        PlateModel(MESH.nodes, systems, held(), two)


def test_a_flexible_tie_of_nodes_in_line_is_refused():
    line = on_line(MESH, 0, 38.0)
    with pytest.raises(StructureError, match="one line"):
        tie_weights(MESH.nodes[line], (38.0, 0.0))
    with pytest.raises(StructureError, match="one line"):
        PlateModel(MESH.nodes, plate_systems(MESH, isotropic(3.0)), held(), [Tie(line, (38.0, 0.0), rigid=False)])


def test_no_loads_is_a_misuse():
    with pytest.raises(ValueError, match="give loads"):
        model().solve()


def test_more_modes_than_freedoms_are_refused():
    with pytest.raises(StructureError, match="ask for fewer"):
        model().modes(100_000)


def test_singular_and_nearly_singular_equations_are_refused():
    with pytest.raises(StructureError, match=r"no single answer|too near to singular"):
        Factor(csc_array(np.array([[1.0, 1.0], [1.0, 1.0]])), "test")
    with pytest.raises(StructureError, match="too near to singular"):
        Factor(csc_array(np.array([[1.0, 1.0 - 1e-15], [1.0 - 1e-15, 1.0]])), "test")
    with pytest.raises(StructureError, match="no single answer"):
        Factor(csc_array(np.diag([1.0, 0.0])), "test")


@pytest.mark.parametrize("rigid", [True, False])
def test_forces_of_ties_add_up_to_their_loads(rigid):
    """Over two tied holes, and with what the supports bear they balance."""
    outline = Outline(rectangle_loop(0, 0, 60, 20), (), (Circle(-24, 0, 2), Circle(10, 4, 2), Circle(24, -3, 2)))
    mesh = mesh_outline(outline, 4.0)
    tie = tie_group([mesh.rims[1], mesh.rims[2]], [(10, 4), (24, -3)], rigid)
    held = fixed_freedoms(len(mesh.nodes), [(mesh.rims[0], "fixed")])
    load = np.array([[3.0, -2.0, 5.0, 40.0, -30.0, 20.0]])
    got = PlateModel(mesh.nodes, plate_systems(mesh, isotropic(2.0)), held, [tie]).solve(None, load[None])
    both = np.concatenate([mesh.rims[1], mesh.rims[2]])
    assert resultant_of(mesh.nodes, got.tie_forces[0], both, tie.centre) == pytest.approx(load[0], abs=1e-8)
    back = resultant_of(mesh.nodes, got.reactions[0], mesh.rims[0], tie.centre)
    assert back == pytest.approx(-load[0], abs=1e-6)
    one = resultant_of(mesh.nodes, got.tie_forces[0], mesh.rims[1], (10, 4))
    assert np.abs(one[:3]).max() > 0.5
