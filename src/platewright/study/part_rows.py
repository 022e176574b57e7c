"""What is printed of a solved part: motions, reactions, stresses, margins, frequencies."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.structure.laminate import section_of
from platewright.structure.mesh import Mesh
from platewright.structure.ply_states import ply_states
from platewright.structure.strains import PlateStrains, strains_at_nodes
from platewright.structure.supports import resultant_of
from platewright.study.part_bolts import HoleStrengths, hole_margins
from platewright.study.part_margins import (
    DISTANCES,
    PlyStrengths,
    judged_points,
    ply_margins,
    ply_ratios,
    rim_margins,
    ring,
)
from platewright.study.part_model import Setting, Solved
from platewright.study.part_results import (
    CaseResult,
    GroupMotion,
    HoleReaction,
    ModeRow,
    PlyStress,
    ScalarField,
    Triple,
)

__all__ = ["case_rows", "mode_rows", "scalar_fields", "strains_of"]

Floats = NDArray[np.float64]

_SMALL = 0.1  # of a part's length: a larger displacement is beyond the linear plate (no source) [-]


def strains_of(setting: Setting, solved: Solved) -> PlateStrains | None:
    """Return strains at the nodes in every case; None where there is no case."""
    if solved.solution is None:
        return None
    return strains_at_nodes(solved.mesh, section_of(solved.laminate, setting.turn), solved.solution.displacements)


def case_rows(
    setting: Setting,
    solved: Solved,
    strains: PlateStrains | None,
    strengths: Sequence[PlyStrengths],
    whole: HoleStrengths,
    ends: Sequence[Solved] = (),
) -> list[CaseResult]:
    """Return what each case does.

    Parameters
    ----------
    setting : Setting
        The part.
    solved : Solved
        With its typical laminate.
    strains : PlateStrains or None
        As `strains_of` gives them.
    strengths : sequence of tuple of PlyStrength
        Typical, and low and high where they are known.
    whole : HoleStrengths
        Of the laminate round a bolt.
    ends : sequence of Solved
        With stiff and with soft laminate, for bands.
    """
    if solved.solution is None or strains is None:
        return []
    file, mesh, laminate, solution = setting.file, solved.mesh, solved.laminate, solved.solution
    judged = judged_points(setting, mesh)
    loaded = [h for group in file.group for h in group.holes]
    held = [h for hold in file.hold for h in hold.holes]
    rings = [(h, [ring(setting, mesh, h, d) for d in DISTANCES]) for h in (*held, *loaded)]
    heads = {hole.id: hole.head_mm for hole in file.hole}
    found = []
    for n, case in enumerate(file.case):
        size = np.linalg.norm(solution.displacements[n, :, :3], axis=1)
        worst = int(np.argmax(size))
        others = [e.solution for e in ends if e.solution is not None]
        band = [float(np.linalg.norm(o.displacements[n, :, :3], axis=1).max()) for o in others]
        states = ply_states(laminate, strains.membrane[n], strains.curvature[n], setting.turn)
        reactions = _forces(setting, mesh, solution.reactions[n], held)
        forces = (*reactions, *_forces(setting, mesh, solution.tie_forces[n], loaded))
        bolts = hole_margins(setting.outline, setting.holes, heads, forces, laminate, setting.turn, strengths, whole)
        found.append(
            CaseResult(
                case.id,
                tuple(_motion(g.id, solution.ties[n, k]) for k, g in enumerate(file.group)),
                float(size[worst]),
                (band[0], band[1]) if band else None,
                _point(mesh, worst),
                tuple(reactions),
                tuple(_extremes(mesh, states.stresses)),
                tuple(ply_margins(laminate, strengths, strains, n, setting.turn, judged)),
                forces,
                (*bolts, *rim_margins(laminate, strengths, strains, n, setting.turn, rings)),
                float(size[worst]) > _SMALL * float(np.ptp(mesh.nodes, axis=0).max()),
            )
        )
    return found


def mode_rows(solved: Solved, ends: Sequence[Solved] = ()) -> list[ModeRow]:
    """Return the frequencies, with their band over soft and stiff laminates."""
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


def scalar_fields(
    setting: Setting, solved: Solved, strains: PlateStrains | None, strengths: Sequence[PlyStrengths]
) -> list[ScalarField]:
    """Return for each case the largest stress along any ply, and how much of its strength the worst ply uses.

    Near stiff rims and sharp corners the colours stop at the largest value that is judged.
    """
    if strains is None:
        return []
    found = []
    own = judged_points(setting, solved.mesh).nodes[:, 0]
    for n, case in enumerate(setting.file.case):
        membrane, curvature = strains.membrane[n], strains.curvature[n]
        stress = ply_states(solved.laminate, membrane, curvature, setting.turn).stresses[..., :2]
        largest = np.abs(stress).max(axis=(1, 2, 3))
        capped = np.minimum(largest, largest[own].max())
        found.append(ScalarField(f"{case.id}_stress", "largest ply stress along fibres", "MPa", capped))
        if strengths:
            used = 1 / ply_ratios(solved.laminate, strengths[0], membrane, curvature, setting.turn).min(axis=(0, 2))
            capped = np.minimum(used, used[own].max())
            found.append(ScalarField(f"{case.id}_failure", "failure index of the worst ply", "1 fails", capped))
    return found


def _motion(group: str, motion: Floats) -> GroupMotion:
    return GroupMotion(group, _triple(motion[:3]), _triple(np.degrees(motion[3:])))


def _forces(setting: Setting, mesh: Mesh, nodal: Floats, holes: Sequence[str]) -> list[HoleReaction]:
    found = []
    for name in holes:
        circle, rim = setting.outline.circles[setting.holes[name]], mesh.rims[setting.holes[name]]
        six = resultant_of(mesh.nodes, nodal, rim, (circle.x, circle.y))
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


def _point(mesh: Mesh, node: int) -> tuple[float, float]:
    return float(mesh.nodes[node, 0]), float(mesh.nodes[node, 1])


def _triple(values: Floats) -> Triple:
    x, y, z = (float(v) + 0.0 for v in values)
    return x, y, z
