"""One part alone under loads: displacements, reactions, ply stresses and frequencies, in mm, N, MPa, deg and Hz.

A held hole has its rim fixed; loads and masses act at the mean of a group's hole centres, in the mid-plane. For a
catalogue laminate everything is solved at low and high stiffness too.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.units import G_PER_CM3_TO_T_PER_MM3, G_PER_T, T_PER_G
from platewright.geometry.loops import Outline, outline_area
from platewright.model.catalogue import Catalogue
from platewright.model.part_file import PartFile
from platewright.structure.laminate import Laminate, Ply, ply_states, section_of
from platewright.structure.locate import point_load
from platewright.structure.mesh import Mesh, mesh_outline
from platewright.structure.plate import plate_systems, pressure_load
from platewright.structure.ply import PlyMaterial
from platewright.structure.solve import Modes, PlateModel, Solution
from platewright.structure.strains import strains_at_nodes
from platewright.structure.supports import Tie, fixed_freedoms, resultant_of, tie_group
from platewright.study.part_margins import PlyStrengths, judged_points, ply_margins, strengths_of
from platewright.study.part_results import (
    CaseResult,
    GroupMotion,
    HoleReaction,
    ModeRow,
    PartField,
    PartStrength,
    PartStudy,
    PlyStress,
    Triple,
)
from platewright.study.strength_laminates import Level, plate_laminate

__all__ = ["part_strength"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_TURN = math.pi / 12  # most turning of one side: fine enough for stress a characteristic distance off rims [rad]


@dataclass(frozen=True)
class _Solved:
    solution: Solution | None
    modes: Modes | None


def part_strength(file: PartFile, outline: Outline, holes: Mapping[str, int], catalogue: Catalogue) -> PartStudy:
    """Solve one part.

    Parameters
    ----------
    file : PartFile
        What it is made of, what holds it and what it carries.
    outline : Outline
        With its named holes [mm].
    holes : mapping of str to int
        Number of each named hole among the outline's round holes.
    catalogue : Catalogue
        Where its laminate is looked up.

    Raises
    ------
    CatalogueError
        If the laminate is not known.
    StructureError
        If no mesh can be made, the part is free to move, a stiffness is not positive definite, or the equations cannot
        be solved well.
    """
    mesh = mesh_outline(outline, file.mesh_mm or file.part.thickness_mm, _TURN)
    typical = _laminate(file, catalogue, "typical")
    solved = _solve(file, outline, holes, mesh, typical)
    ends = (
        ()
        if file.ply
        else tuple(_solve(file, outline, holes, mesh, _laminate(file, catalogue, level)) for level in ("high", "low"))
    )
    quality = mesh.quality
    strengths = strengths_of(file, catalogue, len(typical.plies))
    strength = PartStrength(
        file.name or file.part.id,
        file.part.material or "own plies",
        file.part.thickness_mm,
        typical.density * typical.thickness * outline_area(outline) * G_PER_T,
        len(typical.plies),
        quality.n_nodes,
        quality.n_triangles,
        math.degrees(quality.least_angle),
        solved.solution.residual if solved.solution else 0.0,
        solved.solution.condition if solved.solution else 0.0,
        tuple(_cases(file, outline, holes, mesh, typical, strengths, solved, ends)),
        tuple(_modes(solved, ends)),
    )
    return PartStudy(strength, outline, mesh, tuple(_fields(file, solved)))


def _laminate(file: PartFile, catalogue: Catalogue, level: Level) -> Laminate:
    if not file.ply:
        return plate_laminate(catalogue, file.part.material, file.part.thickness_mm, level)
    total = math.fsum(p.share for p in file.ply)
    plies = tuple(
        Ply(
            PlyMaterial(p.e1_mpa, p.e2_mpa, p.g12_mpa, p.nu12, p.g13_mpa, p.g23_mpa),
            file.part.thickness_mm * p.share / total,
            math.radians(p.angle_deg),
        )
        for p in file.ply
    )
    return Laminate(plies, (file.density_g_cm3 or 0.0) * G_PER_CM3_TO_T_PER_MM3)


def _solve(file: PartFile, outline: Outline, holes: Mapping[str, int], mesh: Mesh, laminate: Laminate) -> _Solved:
    centres = [(c.x, c.y) for c in outline.circles]
    held = [(mesh.rims[holes[h]], hold.how) for hold in file.hold for h in hold.holes]
    ties = [
        tie_group(
            [mesh.rims[holes[h]] for h in group.holes],
            [centres[holes[h]] for h in group.holes],
            group.tie == "rigid",
            group.mass_g * T_PER_G,
        )
        for group in file.group
    ]
    model = PlateModel(
        mesh.nodes,
        plate_systems(mesh, section_of(laminate, math.radians(file.part.grain_deg))),
        fixed_freedoms(len(mesh.nodes), held),
        ties,
    )
    solution = model.solve(*_loads(file, mesh, ties)) if file.case else None
    return _Solved(solution, model.modes(file.modes) if file.modes else None)


def _loads(file: PartFile, mesh: Mesh, ties: Sequence[Tie]) -> tuple[Floats, Floats]:
    nodal = np.zeros((len(file.case), len(mesh.nodes), 5))
    on_ties = np.zeros((len(file.case), len(ties), 6))
    numbers = {group.id: n for n, group in enumerate(file.group)}
    for n, case in enumerate(file.case):
        for load in case.loads:
            on_ties[n, numbers[load.group]] += [*load.force_n, *load.moment_n_mm]
        for point in case.points:
            nodal[n] += point_load(mesh, *point.at_mm, (*point.force_n, 0.0, 0.0))
        if case.pressure_mpa:
            nodal[n] += pressure_load(mesh, case.pressure_mpa)
    return nodal, on_ties


def _cases(
    file: PartFile,
    outline: Outline,
    holes: Mapping[str, int],
    mesh: Mesh,
    laminate: Laminate,
    strengths: Sequence[PlyStrengths],
    solved: _Solved,
    ends: Sequence[_Solved],
) -> list[CaseResult]:
    if solved.solution is None:
        return []
    turn = math.radians(file.part.grain_deg)
    judged = judged_points(file, outline, holes, mesh)
    strains = strains_at_nodes(mesh, section_of(laminate, turn), solved.solution.displacements)
    found = []
    for n, case in enumerate(file.case):
        size = np.linalg.norm(solved.solution.displacements[n, :, :3], axis=1)
        worst = int(np.argmax(size))
        others = [e.solution for e in ends if e.solution is not None]
        band = [float(np.linalg.norm(o.displacements[n, :, :3], axis=1).max()) for o in others]
        states = ply_states(laminate, strains.membrane[n], strains.curvature[n], turn)
        found.append(
            CaseResult(
                case.id,
                tuple(_motion(g.id, solved.solution.ties[n, k]) for k, g in enumerate(file.group)),
                float(size[worst]),
                (band[0], band[1]) if band else None,
                _point(mesh, worst),
                tuple(_reactions(file, outline, holes, mesh, solved.solution, n)),
                tuple(_extremes(mesh, states.stresses)),
                tuple(ply_margins(laminate, strengths, strains, n, turn, judged)),
            )
        )
    return found


def _motion(group: str, motion: Floats) -> GroupMotion:
    return GroupMotion(group, _triple(motion[:3]), _triple(np.degrees(motion[3:])))


def _reactions(
    file: PartFile, outline: Outline, holes: Mapping[str, int], mesh: Mesh, solution: Solution, case: int
) -> list[HoleReaction]:
    found = []
    for name in (h for hold in file.hold for h in hold.holes):
        circle, rim = outline.circles[holes[name]], mesh.rims[holes[name]]
        six = resultant_of(mesh.nodes, solution.reactions[case], rim, (circle.x, circle.y))
        found.append(HoleReaction(name, _triple(six[:3]), _triple(six[3:])))
    return found


def _extremes(mesh: Mesh, stresses: Floats) -> list[PlyStress]:
    found = []
    names = (("sigma_1 tension", 0, 1), ("sigma_1 compression", 0, -1), ("sigma_2 tension", 1, 1))
    for name, k, sign in (*names, ("sigma_2 compression", 1, -1), ("tau_12", 2, 0)):
        values = np.abs(stresses[..., k]) if sign == 0 else sign * stresses[..., k]
        node, ply, face = np.unravel_index(int(np.argmax(values)), values.shape)
        largest = float(stresses[node, ply, face, k])
        if sign == 0 or sign * largest > 0:
            found.append(PlyStress(name, largest, int(ply) + 1, *_point(mesh, int(node))))
    return found


def _modes(solved: _Solved, ends: Sequence[_Solved]) -> list[ModeRow]:
    if solved.modes is None:
        return []
    rows = []
    others = [e.modes for e in ends if e.modes is not None]
    for n, frequency in enumerate(solved.modes.frequencies):
        band = sorted(float(o.frequencies[n]) for o in others)
        shape = np.abs(solved.modes.shapes[n])
        kind = "across" if shape[:, 2].max() > shape[:, :2].max() else "in the plane"
        rows.append(ModeRow(float(frequency), (band[0], band[1]) if band else None, kind))
    return rows


def _fields(file: PartFile, solved: _Solved) -> list[PartField]:
    found = []
    if solved.solution is not None:
        found += [PartField(c.id, solved.solution.displacements[n, :, :3]) for n, c in enumerate(file.case)]
    if solved.modes is not None:
        for n, shape in enumerate(solved.modes.shapes):
            moved = shape[:, :3]
            found.append(PartField(f"mode_{n + 1}", moved / np.linalg.norm(moved, axis=1).max()))
    return found


def _point(mesh: Mesh, node: int) -> tuple[float, float]:
    return float(mesh.nodes[node, 0]), float(mesh.nodes[node, 1])


def _triple(values: Floats) -> Triple:
    x, y, z = (float(v) + 0.0 for v in values)
    return x, y, z
