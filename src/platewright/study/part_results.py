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
    "HoleMargin",
    "HoleReaction",
    "MeshRow",
    "ModeRow",
    "PartField",
    "PartStrength",
    "PartStudy",
    "PlyMargin",
    "PlyStress",
    "ScalarField",
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

    Judged a characteristic distance of 1.016 mm or more away from the rims of holes that are held or tied rigidly, and
    from sharp inside corners.
    """

    criterion: str
    strength_ratio: float
    band: tuple[float, float] | None
    ply: int
    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class HoleMargin:
    """By what the load may be multiplied until a hole fails in one way; the band is for low and high strength.

    The mode is `bearing`, `net tension`, `shear-out`, `pull-through`, or `characteristic distance`: the worst ply
    1.016 mm (0.8 to 1.5 in the band) off the rim, which has no single stress.
    """

    hole: str
    mode: str
    stress_mpa: float | None
    strength_mpa: float | None
    strength_ratio: float
    band: tuple[float, float] | None


@dataclass(frozen=True)
class CaseResult:
    """What one case does; the band is for low and high stiffness of the laminate, high stiffness first.

    `hole_forces` are those on the plate at every hole that is held or belongs to a group. `is_beyond_small` says that
    the largest displacement is more than a tenth of the part's length, where the equations do not hold.
    """

    case: str
    groups: tuple[GroupMotion, ...]
    largest_displacement_mm: float
    largest_displacement_band_mm: tuple[float, float] | None
    largest_at_mm: tuple[float, float]
    reactions: tuple[HoleReaction, ...]
    stresses: tuple[PlyStress, ...]
    margins: tuple[PlyMargin, ...]
    hole_forces: tuple[HoleReaction, ...]
    hole_margins: tuple[HoleMargin, ...]
    is_beyond_small: bool


@dataclass(frozen=True)
class ModeRow:
    """One frequency of free vibration, with what moves most."""

    frequency_hz: float
    band_hz: tuple[float, float] | None
    kind: str


@dataclass(frozen=True)
class MeshRow:
    """One printed quantity on the mesh and on one of two thirds its size.

    The change is by the largest of its kind in the case; `case` is empty for frequencies.
    """

    case: str
    quantity: str
    of: str
    value: float
    value_on_finer_mesh: float
    change_pct: float


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
    n_triangles_of_finer_mesh: int
    meshes: tuple[MeshRow, ...]


@dataclass(frozen=True)
class PartField:
    """Displacements of the nodes for pictures, (n_nodes, 3) [mm]; of a mode to any scale."""

    name: str
    displacements: Floats


@dataclass(frozen=True)
class ScalarField:
    """A number at each node for pictures."""

    name: str
    title: str
    unit: str
    values: Floats


@dataclass(frozen=True)
class PartStudy:
    """Result with the mesh and fields that pictures are drawn from."""

    strength: PartStrength
    outline: Outline
    mesh: Mesh
    fields: tuple[PartField, ...]
    scalars: tuple[ScalarField, ...]
