"""Every printed quantity on two meshes: how far it depends on them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np

from platewright.study.part_results import CaseResult, MeshRow, ModeRow

__all__ = ["mesh_rows"]

# Case, quantity, what it is of, its components.
Quantity = tuple[str, str, str, tuple[float, ...]]


def mesh_rows(
    cases: Sequence[CaseResult], modes: Sequence[ModeRow], finer: Sequence[CaseResult], finer_modes: Sequence[ModeRow]
) -> list[MeshRow]:
    """Return each quantity on a mesh and on a finer one.

    Parameters
    ----------
    cases, modes
        On the mesh.
    finer, finer_modes
        On the finer one.

    Notes
    -----
    Of vectors the sizes are given, and the change is the size of the difference by the largest vector of that kind in
    the case; of numbers it is by themselves. A mode of failure that only one mesh shows is left out.
    """
    first, second = list(_quantities(cases, modes)), {q[:3]: q[3] for q in _quantities(finer, finer_modes)}
    largest: defaultdict[tuple[str, str], float] = defaultdict(float)
    for case, quantity, _, values in first:
        largest[case, quantity] = max(largest[case, quantity], _size(values))
    found = []
    for case, quantity, of, values in first:
        other = second.get((case, quantity, of))
        if other is None:
            continue
        by = largest[case, quantity] if len(values) > 1 else _size(values)
        away = _size(tuple(a - b for a, b in zip(values, other, strict=True)))
        found.append(MeshRow(case, quantity, of, _size(values), _size(other), 100 * away / by if by > 0 else 0.0))
    return found


def _size(values: tuple[float, ...]) -> float:
    return float(np.linalg.norm(values))


def _quantities(cases: Sequence[CaseResult], modes: Sequence[ModeRow]) -> Iterator[Quantity]:
    for c in cases:
        yield c.case, "largest displacement", "part", (c.largest_displacement_mm,)
        for g in c.groups:
            yield c.case, "displacement", g.group, g.displacement_mm
            yield c.case, "rotation", g.group, g.rotation_deg
        for f in c.hole_forces:
            yield c.case, "force", f.hole, f.force_n
            yield c.case, "moment", f.hole, f.moment_n_mm
        for s in c.stresses:
            yield c.case, "stress", s.component, (abs(s.largest_mpa),)
        for p in c.margins:
            yield c.case, "strength ratio", p.criterion, (p.strength_ratio,)
        for m in c.hole_margins:
            yield c.case, m.mode, m.hole, (m.strength_ratio,)
    for n, mode in enumerate(modes):
        yield "", "frequency", f"mode {n + 1}", (mode.frequency_hz,)
