"""Blows in time, and the index that ranks frames by what they take up in all kinds of hits."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import MM_PER_M
from platewright.structure.impact import ModalBody, crash_index, modal_body, strike
from platewright.study.strength_judge import judge
from platewright.study.strength_model import FrameModel
from platewright.study.strength_results import CaseRow, CrashIndex, StrikeRow
from platewright.study.strength_runs import Run

__all__ = ["CONTACT_STIFFNESS", "index_of", "strike_rows"]

Floats = NDArray[np.float64]

CONTACT_STIFFNESS = (300.0, 1000.0, 3000.0)
"""Of motor, plate or camera on what they meet, low, typical and high; its force is never shown (no source) [N/mm]."""
_MODES = 60
_INSTANTS = 64  # at which a blow is judged, beside those of the largest push and strain energy of each plate and joint
_LOOKS = 1000  # at which the energy of plates and joints is looked at
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
    return tuple(_row(assembly, run, body, n) for n in hits)


def _row(assembly: Assembly, run: Run, body: ModalBody, n: int) -> StrikeRow:
    case, found, drifts = run.cases[n], [], []
    for stiffness in CONTACT_STIFFNESS:
        states, drift = _states(run, body, n, stiffness)
        (judged,) = judge(assembly, run.model, states)
        first = judged.first(int(judged.ratios.min(axis=0).argmin()))
        found.append((0.5 * case.effective_mass * (first.ratio * _SPEED) ** 2 / MM_PER_M, first))
        drifts.append(drift)
    energies = [energy for energy, _ in found]
    energy, first = found[1]
    band = (min(energies), max(energies))
    return StrikeRow(case.name, energy, band, first.what, first.how, 100 * max(drifts))


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
    shapes, rest = body.shapes[bends], static - by_modes @ body.shapes[bends]
    looks = np.unique(np.linspace(1, len(motion) - 1, _LOOKS).astype(int))
    best = looks[_busiest(run.model, motion[looks] @ shapes + found.push[looks, None] * rest)]
    at = np.unique([*best, np.argmax(found.push), *np.linspace(1, len(motion) - 1, _INSTANTS).astype(int)])
    return motion[at] @ shapes + found.push[at, None] * rest, found.drift


def _busiest(model: FrameModel, states: Floats) -> list[int]:
    """Return the numbers of the states in which each plate and each joint holds most strain energy."""
    frame, found = model.frame, []
    for plate, start, end in zip(frame.plates, frame.starts[:-1], frame.starts[1:], strict=True):
        own = states[:, int(start) : int(end)]
        found.append(int((own @ plate.reduced.stiffness * own).sum(axis=1).argmax()))
    for joint in model.bolted:
        apart = joint.spring.stretch(states)
        found.append(int((apart @ joint.spring.stiffness * apart).sum(axis=1).argmax()))
    return found
