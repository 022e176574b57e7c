"""What is computed of one part alone, in mm, N, N mm, MPa, g, deg and Hz."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.geometry.loops import Outline
from platewright.structure.mesh import Mesh

__all__ = [
    "CaseResult",
    "GroupMotion",
    "HoleReaction",
    "ModeRow",
    "PartField",
    "PartStrength",
    "PartStudy",
    "PlyMargin",
    "PlyStress",
    "Triple",
]

Floats = NDArray[np.float64]
Triple = tuple[float, float, float]


@dataclass(frozen=True)
class GroupMotion:
    """How far a group of holes moves and turns."""

    group: str
    displacement_mm: Triple
    rotation_deg: Triple


@dataclass(frozen=True)
class HoleReaction:
    """What a held hole bears on the part, about its centre in the mid-plane."""

    hole: str
    force_n: Triple
    moment_n_mm: Triple


@dataclass(frozen=True)
class PlyStress:
    """The largest stress of one kind in any ply, and where.

    Rims of held holes are as stiff as the model makes them: a stress there grows as the mesh is refined.
    """

    component: str
    largest_mpa: float
    ply: int
    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class PlyMargin:
    """By what the load may be multiplied until a ply fails, by one criterion; the band is for low and high strength.

    Judged a characteristic distance of 1.016 mm or more away from the rims of holes that are held or tied rigidly.
    """

    criterion: str
    strength_ratio: float
    band: tuple[float, float] | None
    ply: int
    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class CaseResult:
    """What one case does; the band is for low and high stiffness of the laminate, high stiffness first."""

    case: str
    groups: tuple[GroupMotion, ...]
    largest_displacement_mm: float
    largest_displacement_band_mm: tuple[float, float] | None
    largest_at_mm: tuple[float, float]
    reactions: tuple[HoleReaction, ...]
    stresses: tuple[PlyStress, ...]
    margins: tuple[PlyMargin, ...]


@dataclass(frozen=True)
class ModeRow:
    """One frequency of free vibration, with what moves most."""

    frequency_hz: float
    band_hz: tuple[float, float] | None
    kind: str


@dataclass(frozen=True)
class PartStrength:
    """One part alone."""

    part: str
    material: str
    thickness_mm: float
    mass_g: float
    n_plies: int
    n_nodes: int
    n_triangles: int
    least_angle_deg: float
    residual: float
    condition: float
    cases: tuple[CaseResult, ...]
    modes: tuple[ModeRow, ...]


@dataclass(frozen=True)
class PartField:
    """Displacements of the nodes for pictures, (n_nodes, 3) [mm]; of a mode to any scale."""

    name: str
    displacements: Floats


@dataclass(frozen=True)
class PartStudy:
    """Result with the mesh and fields that pictures are drawn from."""

    strength: PartStrength
    outline: Outline
    mesh: Mesh
    fields: tuple[PartField, ...]
