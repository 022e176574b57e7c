"""The model of one part alone: its plies, what holds it, its loads, and their solution."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.units import G_PER_CM3_TO_T_PER_MM3, T_PER_G
from platewright.geometry.loops import Outline
from platewright.model.catalogue import Catalogue
from platewright.model.part_file import PartFile
from platewright.structure.laminate import Laminate, Ply, section_of
from platewright.structure.locate import point_load
from platewright.structure.mesh import Mesh
from platewright.structure.plate import plate_systems, pressure_load
from platewright.structure.ply import PlyMaterial
from platewright.structure.solve import Modes, PlateModel, Solution
from platewright.structure.supports import Tie, fixed_freedoms, tie_group
from platewright.study.strength_laminates import Level, plate_laminate

__all__ = ["Setting", "Solved", "part_laminate", "solve_part"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Setting:
    """A part file with its outline and the number of each named hole among the outline's round holes."""

    file: PartFile
    outline: Outline
    holes: Mapping[str, int]

    @property
    def turn(self) -> float:
        """From the part's +x to the sheet's direction 1 [rad]."""
        return math.radians(self.file.part.grain_deg)


@dataclass(frozen=True)
class Solved:
    """A mesh with what the loads do to it, and its modes; either is None where none are asked for."""

    mesh: Mesh
    laminate: Laminate
    solution: Solution | None
    modes: Modes | None


def part_laminate(file: PartFile, catalogue: Catalogue, level: Level) -> Laminate:
    """Return the plies of a part.

    Parameters
    ----------
    file : PartFile
        With a material or with plies.
    catalogue : Catalogue
        Where its material is looked up.
    level : str
        `low`, `typical` or `high` stiffness of a material; plies of one's own have no band.
    """
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


def solve_part(setting: Setting, mesh: Mesh, laminate: Laminate) -> Solved:
    """Return what loads do to a part.

    Parameters
    ----------
    setting : Setting
        The part.
    mesh : Mesh
        Of its outline.
    laminate : Laminate
        Its plies.

    Raises
    ------
    StructureError
        If the part is free to move, a stiffness is not positive definite, or the equations cannot be solved well.
    """
    file, holes = setting.file, setting.holes
    centres = [(c.x, c.y) for c in setting.outline.circles]
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
        plate_systems(mesh, section_of(laminate, setting.turn)),
        fixed_freedoms(len(mesh.nodes), held),
        ties,
    )
    solution = model.solve(*_loads(file, mesh, ties)) if file.case else None
    return Solved(mesh, laminate, solution, model.modes(file.modes) if file.modes else None)


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
