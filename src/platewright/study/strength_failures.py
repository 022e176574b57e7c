"""Where a frame fails in a load case: how much of its strength the governing plate uses, place by place, and the joint.

The load is that at which the first thing of the frame fails: there that thing uses all of its strength, the rest less.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.lines import Line
from platewright.geometry.loops import Circle, Outline
from platewright.model.catalogue.hardware import Standoff
from platewright.structure.failure import CHARACTERISTIC_DISTANCE, points_off_boundary
from platewright.structure.notches import LARGEST
from platewright.structure.recover import StrainRecovery
from platewright.structure.strains import strains_at_nodes
from platewright.structure.triangle import shapes
from platewright.study.part_notches import part_notches
from platewright.study.strength_judge import Limit
from platewright.study.strength_laminates import ply_strengths
from platewright.study.strength_parts import ModelPart
from platewright.study.strength_results import CaseRow, StrengthStudy

__all__ = ["FailureMap", "JoinedPlate", "failure_map", "weakest_case"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_AT_HOLES = ("bearing", "shear-out", "net tension", "pull-through")
_CUTS, _CUTS_AT_RIMS = 2, 5  # of each side of a triangle, for the picture [-]


@dataclass(frozen=True)
class JoinedPlate:
    """A plate on the line of what fails, and where that line passes it, in the part's axes [mm]."""

    plate: str
    outline: Outline
    at: tuple[float, float]


@dataclass(frozen=True)
class FailureMap:
    """How much of its strength the governing plate uses when the first thing of the frame fails.

    Parameters
    ----------
    title : str
        Frame, case and plate.
    outline : Outline
        Of the plate, as cut [mm].
    nodes : (n, 2) float
        Corners of small triangles [mm].
    triangles : (m, 3) int
        The triangles.
    used : (n,) float
        By the worst ply; nowhere more than the largest that is judged [-].
    is_judged : (m,) bool
        Whether plies are judged in a triangle: a characteristic distance or more off notches and tabs.
    rims : tuple of Circle
        Round holes, out to where plies are judged; within them none are.
    at : (float, float)
        Where the plate fails, or comes nearest to it [mm].
    text : str
        What happens there.
    joined : tuple of JoinedPlate
        The plates at the screw, thread, standoff or hole that fails first; none when plies do.
    joined_text : str
        What happens there.
    """

    title: str
    outline: Outline
    nodes: Floats
    triangles: Ints
    used: Floats
    is_judged: NDArray[np.bool_]
    rims: tuple[Circle, ...]
    at: tuple[float, float]
    text: str
    joined: tuple[JoinedPlate, ...]
    joined_text: str


def failure_map(study: StrengthStudy, n: int) -> FailureMap:
    """Return where a case makes the frame fail.

    Parameters
    ----------
    study : StrengthStudy
        A solved frame.
    n : int
        Number of the case.
    """
    row, limits = study.strength.cases[n], study.judged.ranked(n)
    first = limits[0]
    joined = () if first.place else _joined(study.assembly, first)
    own = joined[0].plate if len(joined) == 1 and first.how in _AT_HOLES else ""
    worst = next(x for x in limits if x.place and (not own or x.place == own))
    instance = study.assembly.instances[worst.place]
    part = study.model.parts[instance.part.id]
    rims = _rims(part)
    nodes, triangles, strains = _fine(study, n, worst.place, rims)
    strengths = ply_strengths(study.assembly.catalogue, instance.part.material, len(part.laminate.plies))
    uses = StrainRecovery(nodes, strains[:, :, None], part.recovery.faces).uses(np.ones((1, 1)), [strengths])
    share = first.ratio / worst.ratio
    by = "" if first.what.startswith(first.how) else f" by {first.how}"
    fails = f"{first.what} fails first{by}, {_amount(row)}"
    nearest = f"{worst.what} comes nearest to failing here, by {worst.how}: {100 * share:.0f} % of its strength used"
    return FailureMap(
        f"{study.strength.frame}, {row.case}: {worst.what}",
        part.outline,
        nodes,
        triangles,
        np.minimum(first.ratio * uses[0, 0].max(axis=0), share),
        _is_off(nodes[triangles].mean(axis=1), rims),
        tuple(Circle(c.x, c.y, c.radius + CHARACTERISTIC_DISTANCE) for c in part.outline.circles if c.radius < LARGEST),
        worst.at,
        fails if worst is first else nearest,
        joined,
        "" if worst is first else fails,
    )


def weakest_case(cases: Iterable[CaseRow]) -> int | None:
    """Return the number of the hit with the least energy; without hits, of the case with the least margin."""
    rows = list(enumerate(cases))
    hits = [(row.energy_j, n) for n, row in rows if row.energy_j is not None]
    known = [(row.margin, n) for n, row in rows if row.margin is not None]
    return min(hits or known, default=(0.0, None))[1]


def _amount(row: CaseRow) -> str:
    if row.energy_j is not None and row.energy_band_j is not None:
        low, high = row.energy_band_j
        return f"at {row.energy_j:.2g} J ({low:.2g} to {high:.2g} J)"
    if row.margin is not None and row.margin_band is not None:
        low, high = row.margin_band
        return f"at {row.margin:.3g} times the load ({low:.3g} to {high:.3g})"
    return ""


def _fine(study: StrengthStudy, n: int, plate: str, rims: Floats) -> tuple[Floats, Ints, Floats]:
    """Return nodes and triangles of a finer net within the mesh, and strains and curvatures there, (n_nodes, 6)."""
    frame, number = study.model.frame, study.model.plates[plate]
    reduced = frame.plates[number].reduced
    own = study.freedoms[n, int(frame.starts[number]) : int(frame.starts[number + 1])]
    strains = strains_at_nodes(reduced.mesh, reduced.section, reduced.displacements(own[None]))
    six = np.concatenate([strains.membrane[0], strains.curvature[0]], axis=1)
    corners = reduced.mesh.triangles
    near = ~_is_off(reduced.mesh.nodes, rims)[corners].all(axis=1)
    nodes, fine, triangles, count = [], [], [], 0
    for some, cuts in ((corners[near], _CUTS_AT_RIMS), (corners[~near], _CUTS)):
        share, small = _net(cuts)
        nodes.append(np.einsum("ag,nak->ngk", share, reduced.mesh.nodes[some]).reshape(-1, 2))
        fine.append(np.einsum("ag,nak->ngk", share, six[some]).reshape(-1, 6))
        first = count + share.shape[1] * np.arange(len(some))
        triangles.append((first[:, None, None] + small[None]).reshape(-1, 3))
        count += len(nodes[-1])
    return np.concatenate(nodes), np.concatenate(triangles), np.concatenate(fine)


def _net(cuts: int) -> tuple[Floats, Ints]:
    """Return what the six nodes of a triangle have of each point of a net within it, and the net's triangles."""
    grid = [(r, s) for s in range(cuts + 1) for r in range(cuts + 1 - s)]
    at = {point: k for k, point in enumerate(grid)}
    small = [[at[r, s], at[r + 1, s], at[r, s + 1]] for r, s in grid if r + s < cuts]
    small += [[at[r + 1, s], at[r + 1, s + 1], at[r, s + 1]] for r, s in grid if r + s < cuts - 1]
    return shapes(*(np.array(grid, dtype=float).T / cuts)), np.array(small, dtype=np.intp)


def _rims(part: ModelPart) -> Floats:
    """Return points that plies are judged a characteristic distance off: notches, tabs."""
    notches = part_notches(part.outline, chain.from_iterable(part.holes))
    return np.concatenate([part.reduced.mesh.nodes[part.stiff], notches.rims])


def _is_off(points: Floats, rims: Floats) -> NDArray[np.bool_]:
    return np.isin(np.arange(len(points)), points_off_boundary(points, rims))


def _joined(assembly: Assembly, limit: Limit) -> tuple[JoinedPlate, ...]:
    """Return the plates at a screw, a thread, a standoff or a hole."""
    for fit in assembly.screws:
        if limit.what in (f"screw {fit.name}", f"thread of {fit.name}"):
            end = fit.end_index
            is_tube = end is not None and isinstance(fit.line.items[end].record, Standoff)
            beyond = _beside(fit.line, end) if end is not None and is_tube else []
            return _plates(assembly, fit.line, sorted({*fit.path, *beyond}))
    for line in assembly.lines:
        if limit.what == f"standoff {line.name}":
            tubes = [n for n, i in enumerate(line.items) if isinstance(i.record, Standoff)]
            return _plates(assembly, line, sorted({m for n in tubes for m in _beside(line, n)}))
        holes = [n for n, i in enumerate(line.items) if limit.what.endswith(f" of {line.name} in {i.label}")]
        if holes:
            return _plates(assembly, line, holes[:1])
    return ()


def _beside(line: Line, item: int) -> list[int]:
    """Return the nearest plates before and after an item of a line."""
    plates = [n for n, i in enumerate(line.items) if i.instance is not None and not i.is_access]
    return [*[n for n in plates if n < item][-1:], *[n for n in plates if n > item][:1]]


def _plates(assembly: Assembly, line: Line, items: Iterable[int]) -> tuple[JoinedPlate, ...]:
    found = []
    for item in items:
        instance = line.items[item].instance
        if instance is not None and not line.items[item].is_access:
            outline = assembly.parts[instance.part.id].outline
            found.append(JoinedPlate(instance.name, outline, instance.in_part(line.a, line.b)))
    return tuple(found)
