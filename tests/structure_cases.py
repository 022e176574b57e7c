"""What the plate solver gives for the cases of `tests/verification/cases`: plates, laminates, holes, joints, an arm."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plates import DENSITY, bending_stiffness, disc, isotropic, near, on_line, rectangle
from platewright.assembly.sketches import own_sketch
from platewright.geometry.cache import OutlineCache
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.io.part_file import pierced, read_part_file
from platewright.structure.failure import point_stress_factor
from platewright.structure.holes import kt_heywood_net, kt_howland_net, kt_orthotropic_plate
from platewright.structure.laminate import Laminate, Ply, section_of, sheet_constants
from platewright.structure.links import huth_flexibility
from platewright.structure.locate import locate, point_load
from platewright.structure.mesh import Mesh, mesh_outline
from platewright.structure.plate import plate_systems, pressure_load
from platewright.structure.ply import PlyMaterial, isotropic_ply
from platewright.structure.slip import slip_safety
from platewright.structure.solve import PlateModel
from platewright.structure.stacks import single_stack
from platewright.structure.strains import resultants, strains_at_nodes
from platewright.structure.supports import Tie, fixed_freedoms, resultant_of, tie_group

__all__ = [
    "ARM",
    "ARM_DENSITY",
    "ARM_LOADS",
    "ARM_MASS",
    "ARM_MATERIALS",
    "ARM_MODES",
    "HELD",
    "STRUCTURE",
    "TIED",
    "arm_numbers",
]

Floats = NDArray[np.float64]

SIDE, THIN = 100.0, 0.5
GRAPHITE = PlyMaterial(181_000, 10_300, 7_170, 0.28, 7_170, 3_000)
FABRIC = PlyMaterial(70_000, 70_000, 5_000, 0.10, 3_000, 3_000)
PLIES = {
    "isotropic": PlyMaterial(70_000, 70_000, 70_000 / 2.6, 0.3, 70_000 / 2.6, 70_000 / 2.6),
    "fabric": FABRIC,
    "tape": GRAPHITE,
}
# E1, E2, E3, (nu12, nu13, nu23), (G12, G13, G23) [MPa]
ARM_MATERIALS = {
    "isotropic": (70_000, 70_000, 70_000, (0.3, 0.3, 0.3), (26_923, 26_923, 26_923)),
    "orthotropic": (60_000, 60_000, 10_000, (0.05, 0.3, 0.3), (4_000, 3_000, 3_000)),
    "quasi-isotropic, low G13": (50_000, 50_000, 10_000, (0.357, 0.3, 0.3), (18_410, 3_000, 3_000)),
}
# Which load [N], [N mm], and which motions it causes.
ARM_LOADS = {
    "thrust": (2, 10.0, (2, 4)),
    "twist": (3, 100.0, (3,)),
    "edgewise": (1, 10.0, (1, 5)),
    "axial": (0, 10.0, (0,)),
}
ARM = Path(__file__).parents[1] / "examples" / "parts" / "arm.toml"
ARM_DENSITY, ARM_MASS, ARM_MODES = 1.55e-9, 35e-6, 6
HELD, TIED = ("inner", "outer"), ("m1", "m2", "m3", "m4")


@cache
def _square(how: str) -> tuple[Mesh, PlateModel]:
    mesh = rectangle(SIDE, SIDE, SIDE / 14)
    held = fixed_freedoms(len(mesh.nodes), [(mesh.loops[0], "fixed" if how == "clamped" else "pinned")])
    if how == "simple":  # the edge does not turn along itself
        for axis in (0, 1):
            for value in (-SIDE / 2, SIDE / 2):
                held[on_line(mesh, axis, value), 4 - axis] = True
    return mesh, PlateModel(mesh.nodes, plate_systems(mesh, isotropic(THIN)), held)


def _square_deflection(how: str, load: str) -> float:
    mesh, model = _square(how)
    pressed = load == "uniform"
    force = pressure_load(mesh, 1e-4) if pressed else point_load(mesh, 0, 0, (0, 0, 1, 0, 0))
    w = _middle(mesh, model.solve(force[None]).displacements[0, :, 2])
    return w * bending_stiffness(THIN) / (1e-4 * SIDE**4 if pressed else SIDE**2)


def _square_moment() -> float:
    mesh, model = _square("simple")
    section = isotropic(THIN)
    got = model.solve(pressure_load(mesh, 1e-4)[None])
    _, moment, _ = resultants(section, strains_at_nodes(mesh, section, got.displacements))
    return abs(_middle(mesh, moment[0, :, 0])) / (1e-4 * SIDE**2)


def _disc_deflection(how: str) -> float:
    mesh = disc(50.0, 8.0)
    held = fixed_freedoms(len(mesh.nodes), [(mesh.loops[0], "fixed" if how == "clamped" else "pinned")])
    model = PlateModel(mesh.nodes, plate_systems(mesh, isotropic(THIN)), held)
    w = _middle(mesh, model.solve(pressure_load(mesh, 1e-4)[None]).displacements[0, :, 2])
    return w * bending_stiffness(THIN) / (1e-4 * 50.0**4)


@cache
def _square_modes(how: str) -> Floats:
    if how == "cantilever":
        mesh = rectangle(SIDE, SIDE, SIDE / 16)
        held = fixed_freedoms(len(mesh.nodes), [(on_line(mesh, 0, -SIDE / 2), "fixed")])
        model = PlateModel(mesh.nodes, plate_systems(mesh, isotropic(THIN)), held)
    else:
        model = _square(how)[1]
    scale = 2 * math.pi * SIDE**2 * math.sqrt(DENSITY * THIN / bending_stiffness(THIN))
    found: Floats = model.modes(6).frequencies * scale
    return found


def _square_mode(how: str, mode: int) -> float:
    return float(_square_modes(how)[mode - 1])


def _strip(mass: float) -> PlateModel:
    mesh = rectangle(100.0, 10.0, 2.5)
    held = fixed_freedoms(len(mesh.nodes), [(on_line(mesh, 0, -50.0), "fixed")])
    end = Tie(on_line(mesh, 0, 50.0), (50.0, 0.0), mass=mass)
    return PlateModel(mesh.nodes, plate_systems(mesh, isotropic(5.0)), held, [end])


def _cantilever(axis: int) -> float:
    load = np.zeros((1, 1, 6))
    load[0, 0, axis] = 1.0
    return float(_strip(0.0).solve(None, load).ties[0, 0, axis])


def _tip_mass(mass: float) -> float:
    return float(_strip(mass).modes(1).frequencies[0])


@cache
def _tipped_strip(mass: float, length: float, modulus: float, density: float) -> PlateModel:
    """A strip 10 x 5 mm held at its root, no contraction across, a mass at its end."""
    mesh = rectangle(length, 10.0, 2.5)
    held = fixed_freedoms(len(mesh.nodes), [(on_line(mesh, 0, -length / 2), "fixed")])
    end = Tie(on_line(mesh, 0, length / 2), (length / 2, 0.0), mass=mass)
    section = section_of(single_stack(isotropic_ply(modulus, 0.0), 5.0, density), 0.0)
    return PlateModel(mesh.nodes, plate_systems(mesh, section), held, [end])


def _tipped(what: str, mass: float, length: float, modulus: float, density: float) -> float:
    """Stiffness at the end [N/m], or the first frequency of bending across [Hz]."""
    model = _tipped_strip(mass, length, modulus, density)
    if what == "frequency":
        return float(model.modes(1).frequencies[0])
    load = np.zeros((1, 1, 6))
    load[0, 0, 2] = 1.0
    return 1e3 / float(model.solve(None, load).ties[0, 0, 2])


@cache
def _slender() -> tuple[Mesh, PlateModel]:
    mesh = rectangle(100.0, 5.0, 2.5)
    held = fixed_freedoms(len(mesh.nodes), [(on_line(mesh, 0, -50.0), "fixed")])
    section = section_of(single_stack(isotropic_ply(70_000, 0.0), 0.5, DENSITY), 0.0)
    return mesh, PlateModel(mesh.nodes, plate_systems(mesh, section), held)


def _beam_mode(mode: int) -> float:
    """Return beta L of a bending mode of a cantilever strip: the shapes whose end moves across and does not tilt."""
    mesh, model = _slender()
    modes = model.modes(8)
    sides = [near(mesh, 50.0, y) for y in (2.5, -2.5)]
    ends = np.array([[shape[n, 2] for n in sides] for shape in modes.shapes])
    size = np.array([np.abs(shape[:, :3]).max() for shape in modes.shapes])
    bending = np.flatnonzero(np.abs(ends.sum(axis=1)) > size)
    omega = 2 * math.pi * float(modes.frequencies[bending[mode - 1]])
    return 100.0 * (omega**2 * DENSITY * 0.5 / (70_000 * 0.5**3 / 12)) ** 0.25


def _beam_pressed() -> float:
    mesh, model = _slender()
    moved = model.solve(pressure_load(mesh, 1e-6)[None]).displacements[0, :, 2]
    return float(moved[near(mesh, 50.0, 0.0)]) * 70_000 * 5 * 0.5**3 / 12 / (1e-6 * 5 * 100.0**4)


def _torsion(length: float) -> float:
    """Twist of a strip 20 x 0.5 mm with a held root under 20 N mm, in microradians."""
    width = 20.0
    mesh = rectangle(length, width, 2.5)
    held = fixed_freedoms(len(mesh.nodes), [(on_line(mesh, 0, -length / 2), "fixed")])
    model = PlateModel(mesh.nodes, plate_systems(mesh, isotropic(0.5)), held)
    load = sum(point_load(mesh, length / 2, s * width / 2, (0, 0, s, 0, 0)) for s in (1, -1))
    moved = model.solve(np.asarray(load)[None]).displacements[0, :, 2]
    w = [moved[near(mesh, length / 2, s * width / 2)] for s in (1, -1)]
    return 1e6 * float(w[0] - w[1]) / width


def _rate(what: str) -> float:
    """Order of convergence of a clamped square between meshes of 6, 12 and 24 sides."""
    found = []
    for n in (6, 12, 24):
        mesh = rectangle(SIDE, SIDE, SIDE / n)
        held = fixed_freedoms(len(mesh.nodes), [(mesh.loops[0], "fixed")])
        model = PlateModel(mesh.nodes, plate_systems(mesh, isotropic(10.0)), held)
        if what == "frequency":
            found.append(float(model.modes(1).frequencies[0]))
        else:
            load = pressure_load(mesh, 1e-4)
            found.append(float((load * model.solve(load[None]).displacements[0]).sum()))
    return math.log2(abs(found[0] - found[1]) / abs(found[1] - found[2]))


def _kaw(block: str, row: int, column: int) -> float:
    plies = tuple(Ply(GRAPHITE, 5.0, math.radians(a)) for a in (0, 30, -45))
    scale = {"a": 1e3, "b": 1.0, "d": 1e-3}[block]  # N/mm, N, N mm to Pa m, Pa m2, Pa m3
    return scale * float(getattr(section_of(Laminate(plies, 1.6e-9)), block)[row - 1, column - 1])


def _kaw_strain(component: int) -> float:
    """Strain [-] or curvature [1/m] under N_x = N_y = 1000 N/m."""
    section = section_of(Laminate(tuple(Ply(GRAPHITE, 5.0, math.radians(a)) for a in (0, 30, -45)), 1.6e-9))
    whole = np.block([[section.a, section.b], [section.b, section.d]])
    strain = np.linalg.solve(whole, [1.0, 1.0, 0, 0, 0, 0])
    return float(strain[component - 1] * (1.0 if component <= 3 else 1e3))


def _stack_modulus(ply: str, angles: str, field: str) -> float:
    turned = [math.radians(float(a)) for a in angles.split()]
    plies = tuple(Ply(PLIES[ply], 0.125, a) for a in (*turned, *reversed(turned)))
    return float(getattr(sheet_constants(Laminate(plies, 1.6e-9)), field))


def _hole_formula(ply: str) -> float:
    own = PLIES[ply]
    return kt_orthotropic_plate(own.e1, own.e2, own.g12, own.nu12)


@cache
def _pulled(ply: str, width: float, radius: float) -> tuple[Mesh, Floats]:
    """Mesh and N_x of a strip pulled by 1 N/mm of its gross width."""
    length = 3 * width
    mesh = mesh_outline(Outline(rectangle_loop(0, 0, length, width), (), (Circle(0, 0, radius),)), 4.0, math.pi / 48)
    section = section_of(single_stack(PLIES[ply], 2.0, 1.5e-9))
    held = fixed_freedoms(len(mesh.nodes), [(on_line(mesh, 0, -length / 2), "fixed")])
    end = Tie(on_line(mesh, 0, length / 2), (length / 2, 0.0))
    load = np.zeros((1, 1, 6))
    load[0, 0, 0] = width
    got = PlateModel(mesh.nodes, plate_systems(mesh, section), held, [end]).solve(None, load)
    return mesh, resultants(section, strains_at_nodes(mesh, section, got.displacements))[0][0, :, 0]


def _hole_solved(ply: str) -> float:
    mesh, force = _pulled(ply, 60.0, 2.5)
    return float(force[mesh.rims[0]].max())


def _strip_solved(ratio: float) -> float:
    mesh, force = _pulled("isotropic", 20.0, 10.0 * ratio)
    return float(force[mesh.rims[0]].max()) * (1 - ratio)


def _point_stress_solved(radius: float, distance: float) -> float:
    mesh, force = _pulled("isotropic", 60.0, radius)
    nodes, share = locate(mesh, 0.0, radius + distance)
    return 1 / float(share @ force[nodes])


@cache
def arm_numbers(material: str) -> tuple[Floats, Floats, Floats]:
    """Return motions of the example arm's tip (n_cases, 6), forces at its bolts (n_cases, 2, 6), frequencies [Hz]."""
    part = read_part_file(ARM)
    outline, holes = pierced(part, OutlineCache().get_or_build(own_sketch(part.file.part)))
    thickness = part.file.part.thickness_mm
    e1, e2, _, (nu12, *_), (g12, g13, g23) = ARM_MATERIALS[material]
    laminate = single_stack(PlyMaterial(e1, e2, g12, nu12, g13, g23), thickness, ARM_DENSITY)
    mesh = mesh_outline(outline, thickness, math.pi / 12)  # as `platewright part` divides rims
    centres = [(c.x, c.y) for c in outline.circles]
    tie = tie_group([mesh.rims[holes[h]] for h in TIED], [centres[holes[h]] for h in TIED], mass=ARM_MASS)
    held = fixed_freedoms(len(mesh.nodes), [(mesh.rims[holes[h]], "fixed") for h in HELD])
    model = PlateModel(mesh.nodes, plate_systems(mesh, section_of(laminate)), held, [tie])
    load = np.zeros((len(ARM_LOADS), 1, 6))
    for n, (k, value, _) in enumerate(ARM_LOADS.values()):
        load[n, 0, k] = value
    got = model.solve(None, load)
    reactions = [resultant_of(mesh.nodes, got.reactions, mesh.rims[holes[h]], centres[holes[h]]) for h in HELD]
    return got.ties[:, 0], np.stack(reactions, axis=1), model.modes(ARM_MODES).frequencies


def _arm_motion(material: str, load: str, axis: int) -> float:
    return 1000 * float(arm_numbers(material)[0][list(ARM_LOADS).index(load), axis])


def _arm_force(material: str, load: str, hole: str, axis: int) -> float:
    return float(arm_numbers(material)[1][list(ARM_LOADS).index(load), HELD.index(hole), axis])


def _arm_frequency(material: str, mode: int) -> float:
    return float(arm_numbers(material)[2][mode - 1])


def _middle(mesh: Mesh, values: Floats) -> float:
    nodes, share = locate(mesh, 0.0, 0.0)
    return float(share @ values[nodes])


STRUCTURE: dict[str, Callable[..., float]] = {
    "arm_force": _arm_force,
    "arm_frequency": _arm_frequency,
    "arm_motion": _arm_motion,
    "beam_mode": _beam_mode,
    "beam_pressed": _beam_pressed,
    "cantilever": _cantilever,
    "disc_deflection": _disc_deflection,
    "heywood": kt_heywood_net,
    "hole_formula": _hole_formula,
    "hole_solved": _hole_solved,
    "howland": kt_howland_net,
    "huth": huth_flexibility,
    "kaw": _kaw,
    "kaw_strain": _kaw_strain,
    "point_stress": point_stress_factor,
    "point_stress_solved": _point_stress_solved,
    "rate": _rate,
    "slip_safety": slip_safety,
    "square_deflection": _square_deflection,
    "square_mode": _square_mode,
    "square_moment": _square_moment,
    "stack_modulus": _stack_modulus,
    "strip_solved": _strip_solved,
    "tip_mass": _tip_mass,
    "tipped": _tipped,
    "torsion": _torsion,
}
"""By name in the cases."""
