"""Margins by kind of failure: of every kind, what comes first in each load case."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from platewright.structure.recover import CRITERIA
from platewright.study.strength_judge import Judged, Limit
from platewright.study.strength_results import KindRow
from platewright.study.strength_runs import Run

__all__ = ["kind_rows"]

_LARGEST = 1e6  # what fails at more than this many times the load is not loaded by it [-]


def kind_rows(run: Run) -> tuple[KindRow, ...]:
    """Return, for each case and each kind of failure, what fails first and by what the case may be multiplied.

    Parameters
    ----------
    run : Run
        Typical joints, with both ends of strength.

    Notes
    -----
    Kinds are those of the criteria: plies by max strain and by Tsai-Wu, screws, threads, standoffs, and holes by
    bearing, shear-out, net tension and pull-through. The band is for low and high strengths of plates; of hardware it
    has no width. A kind that a case does not load has no row.
    """
    found = []
    for n, case in enumerate(run.cases):
        first = run.judged.first(n).ratio
        ends = [_least(judged, n) for judged in run.ends]
        for kind, (ratio, what) in sorted(_least(run.judged, n).items(), key=lambda row: row[1][0]):
            if ratio < _LARGEST:
                every = [ratio, *(end[kind][0] for end in ends if kind in end)]
                found.append(KindRow(case.name, kind, what, ratio, (min(every), max(every)), ratio / first))
    return tuple(found)


def _least(judged: Judged, case: int) -> dict[str, tuple[float, str]]:
    """Return the least ratio of every kind, and what it is of."""
    found: dict[str, tuple[float, str]] = {}
    for kind, ratio, what in (*_plates([limits[case] for limits in judged.plates]), *_hardware(judged, case)):
        if kind not in found or ratio < found[kind][0]:
            found[kind] = ratio, what
    return found


def _plates(limits: Sequence[Limit]) -> Iterator[tuple[str, float, str]]:
    for limit in limits:
        for criterion, ratio in zip(CRITERIA, limit.both or (np.inf, np.inf), strict=True):
            yield f"ply, {criterion}", ratio, limit.what


def _hardware(judged: Judged, case: int) -> Iterator[tuple[str, float, str]]:
    ratios = judged.ratios[len(judged.plates) :, case].tolist()
    for (what, how), ratio in zip(judged.hardware, ratios, strict=True):
        yield f"{what.split()[0]}, {how}" if what.startswith(("screw", "standoff", "thread")) else how, ratio, what
