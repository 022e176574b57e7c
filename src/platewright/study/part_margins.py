"""By what the loads on a part may grow until its first ply fails, judged away from where stress has no finite value.

Rims of holes that are held or tied rigidly, and sharp inside corners, are such places: a stress there grows with the
mesh. Plies are judged a characteristic distance off them, and off rims that curve inwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.model.catalogue import Catalogue
from platewright.model.part_file import PartFile
from platewright.structure.failure import (
    CHARACTERISTIC_DISTANCE,
    PlyStrength,
    max_strain_ratio,
    points_off_boundary,
    points_round_hole,
    tsai_wu_ratio,
)
from platewright.structure.laminate import Laminate
from platewright.structure.locate import locate_points
from platewright.structure.mesh import Mesh
from platewright.structure.notches import on_plate
from platewright.structure.ply_states import ply_states
from platewright.structure.strains import PlateStrains
from platewright.study.part_model import Setting
from platewright.study.part_notches import part_notches
from platewright.study.part_results import HoleMargin, PlyMargin
from platewright.study.strength_laminates import ply_strengths

__all__ = [
    "DISTANCES",
    "Judged",
    "PlyStrengths",
    "judged_points",
    "ply_margins",
    "ply_ratios",
    "rim_margins",
    "ring",
    "strengths_of",
]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
PlyStrengths = tuple[PlyStrength, ...]

DISTANCES = (CHARACTERISTIC_DISTANCE, 0.8, 1.5)
"""Characteristic distance, and its band in use (from memory) [mm]."""
_CRITERIA = ("max strain", "Tsai-Wu")


@dataclass(frozen=True)
class Judged:
    """Points at which plies are judged, (n, 2) [mm], each six nodes with their shares."""

    points: Floats
    nodes: Ints
    shares: Floats


def strengths_of(file: PartFile, catalogue: Catalogue, n_plies: int) -> list[PlyStrengths]:
    """Return the strengths of all plies, typical, low and high; none where they are not known.

    Parameters
    ----------
    file : PartFile
        The part.
    catalogue : Catalogue
        Where its laminate is looked up.
    n_plies : int
        As many as its laminate has.
    """
    if not file.ply:
        return [ply_strengths(catalogue, file.part.material, n_plies, level) for level in ("typical", "low", "high")]
    own = [(p.xt_mpa, p.xc_mpa, p.yt_mpa, p.yc_mpa, p.s12_mpa) for p in file.ply]
    known = [tuple(v for v in row if v is not None) for row in own]
    return [tuple(PlyStrength(*row) for row in known)] if all(len(row) == 5 for row in known) else []


def judged_points(setting: Setting, mesh: Mesh) -> Judged:
    """Return nodes clear of notches and stiff rims, and points at the characteristic distance off them.

    Parameters
    ----------
    setting : Setting
        The part.
    mesh : Mesh
        Of its outline.
    """
    stiff = [setting.holes[h] for h in _stiff_holes(setting.file)]
    notches = part_notches(setting.outline, stiff)
    rims = np.concatenate([notches.rims, *(mesh.nodes[mesh.rims[n]] for n in stiff)])
    clear = points_off_boundary(mesh.nodes, rims)
    nodes, shares = locate_points(mesh, notches.off)
    return Judged(
        np.concatenate([mesh.nodes[clear], notches.off]),
        np.concatenate([np.repeat(clear[:, None], 6, axis=1), nodes]),
        np.concatenate([np.tile(np.eye(1, 6), (len(clear), 1)), shares]),
    )


def ring(setting: Setting, mesh: Mesh, hole: str, distance: float) -> Judged:
    """Return points round a hole, a distance off its rim, as far as they lie on the plate.

    Parameters
    ----------
    setting : Setting
        The part.
    mesh : Mesh
        Of its outline.
    hole : str
        Its name.
    distance : float
        From its rim [mm].
    """
    circle = setting.outline.circles[setting.holes[hole]]
    points = on_plate(setting.outline, points_round_hole(circle.x, circle.y, circle.radius, distance))
    return Judged(points, *locate_points(mesh, points))


def ply_ratios(laminate: Laminate, strengths: PlyStrengths, membrane: Floats, curvature: Floats, turn: float) -> Floats:
    """Return the strength ratio of every point and ply by max strain and by Tsai-Wu, (2, n_points, n_plies).

    Parameters
    ----------
    laminate : Laminate
        The plies.
    strengths : tuple of PlyStrength
        Of each.
    membrane, curvature : (n_points, 3) float
        In the part's axes.
    turn : float
        From the part's +x to the sheet's direction 1 [rad].
    """
    states = ply_states(laminate, membrane, curvature, turn)
    found = np.empty((2, len(membrane), len(laminate.plies)))
    for k, (ply, strength) in enumerate(zip(laminate.plies, strengths, strict=True)):
        found[0, :, k] = max_strain_ratio(states.strains[:, k], ply.material, strength).min(axis=1)
        found[1, :, k] = tsai_wu_ratio(states.stresses[:, k], strength).min(axis=1)
    return found


def ply_margins(
    laminate: Laminate,
    strengths: Sequence[PlyStrengths],
    strains: PlateStrains,
    case: int,
    turn: float,
    judged: Judged,
) -> list[PlyMargin]:
    """Return the least strength ratio of one case by each criterion; none where strengths are not known.

    Parameters
    ----------
    laminate : Laminate
        The plies.
    strengths : sequence of tuple of PlyStrength
        Typical, and low and high where they are known.
    strains : PlateStrains
        At the nodes.
    case : int
        Number of the case.
    turn : float
        From the part's +x to the sheet's direction 1 [rad].
    judged : Judged
        Where.
    """
    at_points = _strains_at(strains, case, judged)
    ratios = [ply_ratios(laminate, level, *at_points, turn) for level in strengths]
    found = []
    for n, name in enumerate(_CRITERIA if ratios else ()):
        at, ply = np.unravel_index(int(np.argmin(ratios[0][n])), ratios[0][n].shape)
        least = [float(level[n].min()) for level in ratios]
        if np.isfinite(least[0]):
            x, y = judged.points[at].tolist()
            band = (least[1], least[2]) if len(least) == 3 else None
            found.append(PlyMargin(name, least[0], band, int(ply) + 1, x, y))
    return found


def rim_margins(
    laminate: Laminate,
    strengths: Sequence[PlyStrengths],
    strains: PlateStrains,
    case: int,
    turn: float,
    rings: Sequence[tuple[str, Sequence[Judged]]],
) -> list[HoleMargin]:
    """Return the least strength ratio at the characteristic distance round each hole, by the worse criterion.

    Parameters
    ----------
    laminate, strengths, strains, case, turn
        As for `ply_margins`.
    rings : sequence of (str, sequence of Judged)
        Name of each hole, and its rings at the `DISTANCES`: the band spans low strength at the shorter one to high
        strength at the longer one.
    """
    found = []
    for name, own in rings:
        if not strengths or not all(len(judged.points) for judged in own):
            continue
        levels = strengths if len(strengths) == 3 else [strengths[0]] * 3
        least = [
            float(ply_ratios(laminate, level, *_strains_at(strains, case, judged), turn).min())
            for level, judged in zip(levels, own, strict=True)
        ]
        if np.isfinite(least[0]):
            low, high = min(least), max(least)
            found.append(HoleMargin(name, "characteristic distance", None, None, least[0], (low, high)))
    return found


def _stiff_holes(file: PartFile) -> list[str]:
    """Return the holes whose rims are as stiff as the model makes them."""
    return [
        *(h for hold in file.hold for h in hold.holes),
        *(h for group in file.group if group.tie == "rigid" for h in group.holes),
    ]


def _strains_at(strains: PlateStrains, case: int, judged: Judged) -> tuple[Floats, Floats]:
    membrane, curvature = (
        np.einsum("pn,pnk->pk", judged.shares, values[case][judged.nodes])
        for values in (strains.membrane, strains.curvature)
    )
    return membrane, curvature
