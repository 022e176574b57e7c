"""Where a part is computed to fail first in each kind of hit, in its own axes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.assembly.assemble import Assembly
from platewright.study.strength_judge import Limit, plate_limits
from platewright.study.strength_results import StrengthStudy

__all__ = ["ComputedPlace", "computed_places"]

_NEAR = 2.0  # places nearer than this are one [mm]


@dataclass(frozen=True)
class ComputedPlace:
    """A place where plies of the part fail first in some hits, and whether that is the first thing to fail there."""

    at_mm: tuple[float, float]
    cases: tuple[str, ...]
    first_of_all: tuple[str, ...]


def computed_places(assembly: Assembly, study: StrengthStudy, part: str) -> tuple[ComputedPlace, ...]:
    """Return where the plies of a part come nearest to failing in each hit, the place with most hits first.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    study : StrengthStudy
        Its structure, solved.
    part : str
        Id of the part.

    Notes
    -----
    Of several places of the part in the frame, the one that fails first in a case counts. Holes torn by their screws
    are judged elsewhere and are not among these.
    """
    names = [name for name in study.model.plates if assembly.instances[name].part.id == part]
    hits = [n for n, row in enumerate(study.strength.cases) if row.energy_j is not None]
    if not names or not hits:
        return ()
    limits = {name: plate_limits(assembly, study.model, study.freedoms[hits], name, ("typical",))[0] for name in names}
    found: list[tuple[Limit, list[str], list[str]]] = []
    for k, n in enumerate(hits):
        worst = min((limits[name][k] for name in names), key=lambda limit: limit.ratio)
        if not math.isfinite(worst.ratio):
            continue
        row = study.strength.cases[n]
        near = next((f for f in found if math.dist(f[0].at, worst.at) < _NEAR), None)
        if near is None:
            near = (worst, [], [])
            found.append(near)
        near[1].append(row.case)
        if row.first_failure == worst.what:
            near[2].append(row.case)
    found.sort(key=lambda f: (-len(f[2]), -len(f[1])))
    return tuple(ComputedPlace(limit.at, tuple(cases), tuple(first)) for limit, cases, first in found)
