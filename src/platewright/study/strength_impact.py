"""Blows in time, and the index that ranks frames by what they take up in all kinds of hits."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import MM_PER_M
from platewright.structure.impact import ModalBody, crash_index, modal_body, strike
from platewright.study.strength_judge import judge
from platewright.study.strength_results import CaseRow, CrashIndex, StrikeRow
from platewright.study.strength_runs import Run

__all__ = ["CONTACT_STIFFNESS", "index_of", "strike_rows"]

Floats = NDArray[np.float64]

CONTACT_STIFFNESS = (300.0, 1000.0, 3000.0)
"""Of motor, plate or camera on what they meet, low, typical and high; its force is never shown (no source) [N/mm]."""
_MODES = 60
_INSTANTS = 6  # at which a blow is judged, beside those of the largest strain energy and push
_SPEED = 1000.0  # of the run; everything is in proportion to it [mm/s]


def index_of(rows: Sequence[CaseRow], own: frozenset[str], mass: float) -> CrashIndex | None:
    """Return the crash index of a frame; None where nothing is hit.

    Parameters
    ----------
    rows : sequence of CaseRow
        Its cases.
    own : frozenset of str
        Names of the design's own cases, which do not count.
    mass : float
        Of the flying craft [kg].
    """
    kinds: dict[str, list[CaseRow]] = {}
    for row in rows:
        if row.energy_j is not None and row.case not in own:
            kinds.setdefault(row.case.rstrip("0123456789 "), []).append(row)
    if not kinds:
        return None
    worst = [min(group, key=lambda r: r.energy_j or 0.0) for group in kinds.values()]
    values = [r.energy_j for r in worst if r.energy_j is not None]
    bands = [r.energy_band_j for r in worst if r.energy_band_j is not None]
    low, high = (crash_index([band[end] for band in bands], mass) for end in (0, 1))
    return CrashIndex(crash_index(values, mass), (low, high), len(kinds))


def strike_rows(assembly: Assembly, run: Run) -> tuple[StrikeRow, ...]:
    """Return each hit stepped in time, from soft to hard contact.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    run : Run
        With typical joints.

    Notes
    -----
    The craft comes without turning, along the force of the case. The energy is that of the mass the blow meets at the
    speed at which something fails first, m_eff v^2 / 2.
    """
    hits = [n for n, case in enumerate(run.cases) if case.is_hit]
    if not hits:
        return ()
    body = modal_body(run.model.frame, _MODES)
    states, drifts = [], []
    for n in hits:
        for stiffness in CONTACT_STIFFNESS:
            state, drift = _states(run, body, n, stiffness)
            states.append(state)
            drifts.append(drift)
    counts = np.cumsum([0, *(len(s) for s in states)])
    (judged,) = judge(assembly, run.model, np.concatenate(states))
    rows = []
    for k, n in enumerate(hits):
        case, found = run.cases[n], []
        for m in range(len(CONTACT_STIFFNESS)):
            place = k * len(CONTACT_STIFFNESS) + m
            first = min((judged.first(i) for i in range(counts[place], counts[place + 1])), key=lambda x: x.ratio)
            found.append((0.5 * case.effective_mass * (first.ratio * _SPEED) ** 2 / MM_PER_M, first))
        energies = [energy for energy, _ in found]
        energy, first = found[1]
        drift = max(drifts[k * len(found) : (k + 1) * len(found)])
        rows.append(StrikeRow(case.name, energy, (min(energies), max(energies)), first.what, first.how, 100 * drift))
    return tuple(rows)


def _states(run: Run, body: ModalBody, n: int, stiffness: float) -> tuple[Floats, float]:
    """Return the deformation of the frame at some instants of a blow, and by how much its energy drifts."""
    frame, load, static = run.model.frame, run.cases[n].load, run.static.freedoms[n]
    share = body.shapes @ load
    bends = body.squares > 0
    by_modes = share[bends] / body.squares[bends]
    left = float(load @ static - share[bends] @ by_modes)
    push = (frame.rigid.T @ load)[:3]
    velocity = body.shapes @ (frame.mass @ (frame.rigid[:, :3] @ (-_SPEED * push / np.linalg.norm(push))))
    found = strike(body, share, velocity, stiffness, max(left, 0.0))
    motion = found.motion[:, bends]
    strain = (body.squares[bends] * motion**2).sum(axis=1) + left * found.push**2
    last = int(np.flatnonzero(found.push)[-1])
    at = {int(np.argmax(strain)), int(np.argmax(found.push)), *np.linspace(1, last, _INSTANTS).astype(int).tolist()}
    chosen = sorted(at)
    rest = static - by_modes @ body.shapes[bends]
    return motion[chosen] @ body.shapes[bends] + found.push[chosen, None] * rest, found.drift
