"""One frame with one joint model under its load cases, and what it says of each case."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import G_PER_T, MM_PER_M
from platewright.model.load_case import LoadCase
from platewright.structure.frame import FrameStatic
from platewright.study.strength_judge import Limit, judge
from platewright.study.strength_loads import Case, case_of
from platewright.study.strength_model import FrameModel
from platewright.study.strength_results import CaseRow

__all__ = ["Run", "case_row", "energy_at_failure", "solve_run"]

_LEAST_BAND = math.sqrt(2)  # energy to failure is never printed sharper than this factor each way (no source) [-]


@dataclass(frozen=True)
class Run:
    """One joint model, solved: cases, deformation, and what may fail in each, least ratio first."""

    model: FrameModel
    cases: list[Case]
    static: FrameStatic
    limits: list[list[Limit]]


def solve_run(assembly: Assembly, model: FrameModel, records: Sequence[LoadCase]) -> Run:
    """Return a model under load cases.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Of the frame.
    records : sequence of LoadCase
        Its cases.
    """
    cases = [case_of(assembly, model, record) for record in records]
    static = model.frame.solve(np.array([c.load for c in cases]).reshape(len(cases), -1))
    return Run(model, cases, static, judge(assembly, model, static.freedoms)[0])


def energy_at_failure(run: Run, n: int, limits: Sequence[Limit]) -> float:
    """Return the strain energy at first failure [J]."""
    return float(run.static.energy[n]) * limits[0].ratio ** 2 / MM_PER_M


def case_row(n: int, runs: Mapping[str, Run], ends: Sequence[Sequence[Sequence[Limit]]]) -> CaseRow:
    """Return the row of a case: typical joints and strengths, with a band over all joints and strengths.

    Parameters
    ----------
    n : int
        Number of the case.
    runs : mapping of str to Run
        By joint model.
    ends : sequence
        What may fail in each case with low and with high strengths of plates.
    """
    run = runs["typical"]
    case, limits = run.cases[n], run.limits[n]
    first = limits[0]
    other = next((x for x in limits[1:] if x.what.split()[0] != first.what.split()[0]), limits[min(1, len(limits) - 1)])
    ratios = [first.ratio, *(r.limits[n][0].ratio for r in runs.values()), *(e[n][0].ratio for e in ends)]
    energy = energy_at_failure(run, n, limits)
    energies = [
        energy / _LEAST_BAND,
        energy * _LEAST_BAND,
        *(energy_at_failure(r, n, r.limits[n]) for r in runs.values()),
        *(energy_at_failure(run, n, e[n]) for e in ends),
    ]
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
        runs["soft"].limits[n][0].what,
        runs["stiff"].limits[n][0].what,
    )
