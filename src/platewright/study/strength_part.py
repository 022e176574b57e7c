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
from platewright.geometry.loops import Outline, contains, outline_area
from platewright.model.catalogue import Catalogue
from platewright.model.part_file import PartFile
from platewright.structure.failure import (
    PlyStrength,
    max_strain_ratio,
    points_off_boundary,
    points_round_hole,
    tsai_wu_ratio,
)
from platewright.structure.laminate import Laminate, Ply, ply_states, section_of
from platewright.structure.locate import locate, point_load
from platewright.structure.mesh import Mesh, mesh_outline
from platewright.structure.plate import plate_systems, pressure_load
from platewright.structure.ply import PlyMaterial
from platewright.structure.solve import Modes, PlateModel, Solution
from platewright.structure.strains import PlateStrains, strains_at_nodes
from platewright.structure.supports import Tie, fixed_freedoms, resultant_of, tie_group
from platewright.study.part_results import (
    CaseResult,
    GroupMotion,
    HoleReaction,
    ModeRow,
    PartField,
    PartStrength,
    PartStudy,
    PlyMargin,
    PlyStress,
    Triple,
)
from platewright.study.strength_laminates import Level, plate_laminate, ply_strengths

__all__ = ["part_strength"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
_PlyStrengths = tuple[PlyStrength, ...]

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
    strengths = _strengths(file, catalogue, len(typical.plies))
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
    strengths: Sequence[_PlyStrengths],
    solved: _Solved,
    ends: Sequence[_Solved],
) -> list[CaseResult]:
    if solved.solution is None:
        return []
    turn = math.radians(file.part.grain_deg)
    judged = _judged(file, outline, holes, mesh)
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
                tuple(_margins(laminate, strengths, strains, n, turn, judged)),
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


def _strengths(file: PartFile, catalogue: Catalogue, n_plies: int) -> list[_PlyStrengths]:
    """Return the strengths of all plies, typical, low and high; none where they are not known."""
    if not file.ply:
        return [ply_strengths(catalogue, file.part.material, n_plies, level) for level in ("typical", "low", "high")]
    own = [(p.xt_mpa, p.xc_mpa, p.yt_mpa, p.yc_mpa, p.s12_mpa) for p in file.ply]
    known = [tuple(v for v in row if v is not None) for row in own]
    return [tuple(PlyStrength(*row) for row in known)] if all(len(row) == 5 for row in known) else []


def _stiff_holes(file: PartFile) -> list[str]:
    """Return the holes whose rims are as stiff as the model makes them."""
    return [
        *(h for hold in file.hold for h in hold.holes),
        *(h for group in file.group if group.tie == "rigid" for h in group.holes),
    ]


@dataclass(frozen=True)
class _Judged:
    """Points at which plies are judged, each six nodes with their shares."""

    points: Floats
    nodes: Ints
    shares: Floats


def _judged(file: PartFile, outline: Outline, holes: Mapping[str, int], mesh: Mesh) -> _Judged:
    """Return nodes clear of stiff rims, and points at the characteristic distance round them that lie on the plate."""
    stiff = [holes[h] for h in _stiff_holes(file)]
    clear = points_off_boundary(mesh.nodes, np.concatenate([mesh.rims[n] for n in stiff]))
    points = [mesh.nodes[clear]]
    nodes = [np.column_stack([clear, np.zeros((len(clear), 5), dtype=np.intp)])]
    shares = [np.column_stack([np.ones(len(clear)), np.zeros((len(clear), 5))])]
    for n in stiff:
        circle = outline.circles[n]
        for x, y in points_round_hole(circle.x, circle.y, circle.radius):
            if contains(outline, x, y):
                six, share = locate(mesh, x, y)
                points.append(np.array([[x, y]]))
                nodes.append(six[None])
                shares.append(share[None])
    return _Judged(np.concatenate(points), np.concatenate(nodes), np.concatenate(shares))


def _margins(
    laminate: Laminate,
    strengths: Sequence[_PlyStrengths],
    strains: PlateStrains,
    case: int,
    turn: float,
    judged: _Judged,
) -> list[PlyMargin]:
    membrane, curvature = (
        np.einsum("pn,pnk->pk", judged.shares, values[case][judged.nodes])
        for values in (strains.membrane, strains.curvature)
    )
    states = ply_states(laminate, membrane, curvature, turn)
    found = []
    for name in ("max strain", "Tsai-Wu") if strengths else ():
        least = [
            np.stack(
                [
                    max_strain_ratio(states.strains[:, k], ply.material, strength)
                    if name == "max strain"
                    else tsai_wu_ratio(states.stresses[:, k], strength)
                    for k, (ply, strength) in enumerate(zip(laminate.plies, level, strict=True))
                ],
                axis=1,
            )
            for level in strengths
        ]
        at, ply, _ = np.unravel_index(int(np.argmin(least[0])), least[0].shape)
        band = (float(least[1].min()), float(least[2].min())) if len(least) == 3 else None
        x, y = judged.points[at].tolist()
        found.append(PlyMargin(name, float(least[0].min()), band, int(ply) + 1, x, y))
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
