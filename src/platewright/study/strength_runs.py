"""One frame with one joint model under its load cases, and what it says of each case."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import G_PER_T, MM_PER_M
from platewright.structure.frame import FrameStatic
from platewright.study.strength_judge import Judged, judge
from platewright.study.strength_laminates import Level
from platewright.study.strength_loads import Case
from platewright.study.strength_model import FrameModel
from platewright.study.strength_results import CaseRow

__all__ = ["Run", "case_row", "energy_at_failure", "solve_run"]

_LEAST_BAND = math.sqrt(2)  # energy to failure is never printed sharper than this factor each way (no source) [-]


@dataclass(frozen=True)
class Run:
    """One joint model, solved: cases, deformation, and what may fail with typical and with other strengths."""

    model: FrameModel
    cases: Sequence[Case]
    static: FrameStatic
    judged: Judged
    ends: tuple[Judged, ...]


def solve_run(assembly: Assembly, model: FrameModel, cases: Sequence[Case], ends: Sequence[Level] = ()) -> Run:
    """Return a model under load cases.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Of the frame.
    cases : sequence of Case
        On its freedoms, which are the same for all joint models.
    ends : sequence of str
        Levels of strength that are judged beside the typical one.
    """
    static = model.frame.solve(np.array([c.load for c in cases]).reshape(len(cases), -1))
    typical, *others = judge(assembly, model, static.freedoms, ("typical", *ends))
    return Run(model, cases, static, typical, tuple(others))


def energy_at_failure(run: Run, n: int, judged: Judged | None = None) -> float:
    """Return the strain energy at first failure [J].

    Parameters
    ----------
    run : Run
        As solved.
    n : int
        Number of the case.
    judged : Judged or None
        What may fail; with typical strengths when None.
    """
    first = (run.judged if judged is None else judged).first(n)
    return float(run.static.energy[n]) * first.ratio**2 / MM_PER_M


def case_row(n: int, runs: Mapping[str, Run]) -> CaseRow:
    """Return the row of a case: typical joints and strengths, with a band over all joints and strengths.

    Parameters
    ----------
    n : int
        Number of the case.
    runs : mapping of str to Run
        By joint model; the typical one with both ends of strength.
    """
    run = runs["typical"]
    case, (first, *rest) = run.cases[n], run.judged.ranked(n)
    other = next((x for x in rest if x.what.split()[0] != first.what.split()[0]), rest[0] if rest else first)
    every = [*((r, r.judged) for r in runs.values()), *((run, end) for end in run.ends)]
    ratios = [judged.first(n).ratio for _, judged in every]
    energy = energy_at_failure(run, n)
    energies = [energy / _LEAST_BAND, energy * _LEAST_BAND, *(energy_at_failure(r, n, judged) for r, judged in every)]
    return CaseRow(
        case.name,
        case.record.text,
        None if case.is_hit else first.ratio,
        None if case.is_hit else (min(ratios), max(ratios)),
        energy if case.is_hit else None,
        (min(energies), max(energies)) if case.is_hit else None,
        case.effective_mass * G_PER_T if case.is_hit else None,
        first.what,
        first.how,
        other.what,
        other.ratio / first.ratio,
        runs["soft"].judged.first(n).what,
        runs["stiff"].judged.first(n).what,
    )
