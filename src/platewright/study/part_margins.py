"""By what the loads on a part may grow until its first ply fails, judged away from rims that are stiff in the model."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.geometry.loops import Outline, contains
from platewright.model.catalogue import Catalogue
from platewright.model.part_file import PartFile
from platewright.structure.failure import (
    PlyStrength,
    max_strain_ratio,
    points_off_boundary,
    points_round_hole,
    tsai_wu_ratio,
)
from platewright.structure.laminate import Laminate, ply_states
from platewright.structure.locate import locate
from platewright.structure.mesh import Mesh
from platewright.structure.strains import PlateStrains
from platewright.study.part_results import PlyMargin
from platewright.study.strength_laminates import ply_strengths

__all__ = ["Judged", "PlyStrengths", "judged_points", "ply_margins", "strengths_of"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
PlyStrengths = tuple[PlyStrength, ...]


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


def _stiff_holes(file: PartFile) -> list[str]:
    """Return the holes whose rims are as stiff as the model makes them."""
    return [
        *(h for hold in file.hold for h in hold.holes),
        *(h for group in file.group if group.tie == "rigid" for h in group.holes),
    ]


def judged_points(file: PartFile, outline: Outline, holes: Mapping[str, int], mesh: Mesh) -> Judged:
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
    return Judged(np.concatenate(points), np.concatenate(nodes), np.concatenate(shares))


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
