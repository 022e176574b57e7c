"""One part alone under loads: displacements, reactions, ply stresses and frequencies, in mm, N, MPa, deg and Hz.

A held hole has its rim fixed; loads and masses act at the mean of a group's hole centres, in the mid-plane. For a
catalogue laminate everything is solved at low and high stiffness too, and on a finer mesh.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from platewright.foundation.units import G_PER_T
from platewright.geometry.loops import Outline, outline_area
from platewright.model.catalogue import Catalogue
from platewright.model.part_file import PartFile
from platewright.structure.mesh import mesh_outline
from platewright.study.part_bolts import hole_strengths
from platewright.study.part_margins import strengths_of
from platewright.study.part_meshes import mesh_rows
from platewright.study.part_model import Setting, Solved, part_laminate, solve_part
from platewright.study.part_results import PartField, PartStrength, PartStudy
from platewright.study.part_rows import case_rows, mode_rows, scalar_fields, strains_of

__all__ = ["part_strength"]

_TURN = math.pi / 12  # most turning of one side: fine enough for stress a characteristic distance off rims [rad]
_SQUARES = 3000  # of a thin part's mesh size that cover it, where no size is given [-]
_FINER = 2 / 3  # size of the mesh that results are compared with [-]


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
    setting = Setting(file, outline, holes)
    size = file.mesh_mm or max(file.part.thickness_mm, math.sqrt(outline_area(outline) / _SQUARES))
    mesh, finer_mesh = mesh_outline(outline, size, _TURN), mesh_outline(outline, _FINER * size, _FINER * _TURN)
    typical = part_laminate(file, catalogue, "typical")
    solved = solve_part(setting, mesh, typical)
    finer = solve_part(setting, finer_mesh, typical)
    ends = (
        ()
        if file.ply
        else tuple(solve_part(setting, mesh, part_laminate(file, catalogue, level)) for level in ("high", "low"))
    )
    strengths, whole = strengths_of(file, catalogue, len(typical.plies)), hole_strengths(file, catalogue)
    strains = strains_of(setting, solved)
    cases = case_rows(setting, solved, strains, strengths, whole, ends)
    modes = mode_rows(solved, ends)
    finer_cases = case_rows(setting, finer, strains_of(setting, finer), strengths, whole)
    quality = mesh.quality
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
        tuple(cases),
        tuple(modes),
        len(finer_mesh.triangles),
        tuple(mesh_rows(cases, modes, finer_cases, mode_rows(finer))),
    )
    scalars = scalar_fields(setting, solved, strains, strengths)
    return PartStudy(strength, outline, mesh, tuple(_fields(file, solved)), tuple(scalars))


def _fields(file: PartFile, solved: Solved) -> list[PartField]:
    found = []
    if solved.solution is not None:
        found += [PartField(c.id, solved.solution.displacements[n, :, :3]) for n, c in enumerate(file.case)]
    if solved.modes is not None:
        for n, shape in enumerate(solved.modes.shapes):
            moved = shape[:, :3]
            found.append(PartField(f"mode_{n + 1}", moved / np.linalg.norm(moved, axis=1).max()))
    return found
