"""From trims to rows: level flight against speed, pull-outs, stances, descent."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.units import M_PER_KM, NM_PER_NMM, RAD_PER_S_PER_RPM, S_PER_MIN
from platewright.rotor.descent import FORWARD_END, descent_range
from platewright.rotor.forward import Flight, top_speed
from platewright.rotor.trim_records import Airframe, Trim
from platewright.study.flight_results import (
    Band,
    DescentRow,
    ForwardReport,
    PullOutRow,
    SpeedRow,
    StanceChange,
    StanceRow,
)
from platewright.study.flight_runs import CHANGE_LOAD, DOUBTS, LOADS, STANCES, Runs

__all__ = ["FLIES", "descent_rows", "forward_report", "front_and_rear", "spread", "stance_rows", "state_of"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
FLIES = "flies"
_KEEP = 0.8  # of the least rate of descent within the vortex-ring region
_CHANGES = (1.0, CHANGE_LOAD)
_AMID = 0.01  # rotors nearer to the middle than this share of the span are neither ahead nor behind


def front_and_rear(airframe: Airframe) -> tuple[Bools, Bools]:
    """Return which rotors stand ahead of and behind the middle of the foremost and hindmost."""
    x = airframe.discs[:, 0]
    away = x - (x.max() + x.min()) / 2
    return away > _AMID * np.ptp(x), away < -_AMID * np.ptp(x)


def state_of(trimmed: Trim, flight: Flight, case: int, speed: int) -> str:
    """Say whether a case flies, or why not."""
    if not trimmed.applies[case, speed]:
        return "no balance found"
    if flight.used[case, speed] > 1:
        return "beyond full throttle"
    if math.isnan(flight.current[case, speed]):
        return "more than the battery can give"
    return FLIES


def spread(values: Sequence[float | None]) -> Band | None:
    """Return least and greatest; None where a value is missing, as one end does not fly."""
    there = [v for v in values if v is not None]
    return (min(there), max(there)) if there and len(there) == len(values) else None


def forward_report(airframe: Airframe, runs: Runs) -> ForwardReport:
    """Return level flight against speed, with bands over what is not known well."""
    rows = tuple(_speed_row(airframe, runs, n) for n in range(runs.speeds.size))
    flown = [r for r in rows if r.state == FLIES]
    longest = max(flown, key=lambda r: r.endurance_min or 0.0, default=None)
    farthest = max(flown, key=lambda r: r.range_km or 0.0, default=None)
    return ForwardReport(
        rows,
        top_speed(runs.sweep_flight.used[0], runs.sweep.applies[0], runs.speeds),
        longest.speed_m_s if longest else None,
        farthest.speed_m_s if farthest else None,
    )


def stance_rows(airframe: Airframe, runs: Runs) -> tuple[StanceRow, ...]:
    """Return the frame as it is and its variants."""
    _, rear = front_and_rear(airframe)
    made = []
    for k, stance in enumerate(STANCES):
        case = runs.in_sweep(k)
        flies = [state_of(runs.sweep, runs.sweep_flight, case, n) == FLIES for n in range(runs.speeds.size)]

        def kept(values: Floats, flies: list[bool] = flies) -> tuple[float | None, ...]:
            return tuple(float(v) if f else None for v, f in zip(values, flies, strict=True))

        made.append(
            StanceRow(
                stance.name,
                stance.longer,
                stance.rear_up,
                tuple(runs.speeds.tolist()),
                kept(np.degrees(runs.sweep.tilt[case])),
                kept(100 * runs.sweep.lost[case][:, rear].mean(axis=-1)) if rear.any() else kept(0 * runs.speeds),
                kept(100 * runs.sweep_flight.eaten[case]),
                tuple(_pull_out(runs, k, load, n, rear) for load in LOADS for n in range(runs.key_speeds.size)),
                tuple(_change(runs, k, load, n, rear) for load in _CHANGES for n in range(runs.key_speeds.size)),
            )
        )
    return tuple(made)


def descent_rows(induced: float) -> tuple[DescentRow, ...]:
    """Return the vortex-ring region against forward speed.

    Parameters
    ----------
    induced : float
        Induced speed in hover [m/s].
    """
    made = []
    for share in (0.0, 0.25, 0.5, 0.75, FORWARD_END):
        forward = share * induced
        region = descent_range(forward, induced)
        keep = _KEEP * region[0] if region else None
        made.append(DescentRow(forward, region[0] if region else None, region[1] if region else None, keep))
    return tuple(made)


def _speed_row(airframe: Airframe, runs: Runs, n: int) -> SpeedRow:
    trimmed, flight = runs.sweep, runs.sweep_flight
    cases = [runs.in_sweep(0, d) for d in range(len(DOUBTS))]
    states = [state_of(trimmed, flight, c, n) for c in cases]
    speed, state = float(runs.speeds[n]), states[0]
    if state != FLIES:
        return SpeedRow(speed, state)
    front, rear = front_and_rear(airframe)

    def over(values: Floats) -> list[float | None]:
        return [float(values[c, n]) if s == FLIES else None for c, s in zip(cases, states, strict=True)]

    def mean(values: Floats, which: Bools) -> float | None:
        return float(values[0, n, which].mean()) if which.any() else None

    tilt, power, eaten = over(np.degrees(trimmed.tilt)), over(flight.power), over(100 * flight.eaten)
    lost = over(100 * trimmed.lost[..., rear].mean(axis=-1)) if rear.any() else [0.0]
    parts = (trimmed.moment, trimmed.wake_moment, trimmed.disc_moment, trimmed.drag_moment, trimmed.centre_moment)
    moments = [float(p[0, n]) / NM_PER_NMM for p in parts]
    return SpeedRow(
        speed,
        state,
        tilt[0],
        spread(tilt),
        power[0],
        spread(power),
        float(flight.current[0, n]),
        float(flight.endurance[0, n]) / S_PER_MIN,
        float(flight.range[0, n]) / M_PER_KM,
        100 * float(flight.used[0, n]),
        mean(trimmed.speed / RAD_PER_S_PER_RPM, front),
        mean(trimmed.speed / RAD_PER_S_PER_RPM, rear),
        mean(trimmed.thrust, front),
        mean(trimmed.thrust, rear),
        mean(100 * trimmed.lost, front),
        lost[0],
        spread(lost),
        moments[0],
        moments[1],
        moments[2],
        moments[3],
        moments[4],
        eaten[0],
        spread(eaten),
    )


def _pull_out(runs: Runs, stance: int, load: float, n: int, rear: Bools) -> PullOutRow:
    trimmed, flight = runs.keys, runs.keys_flight
    case = runs.in_keys(stance, 0, load)
    state, speed = state_of(trimmed, flight, case, n), float(runs.key_speeds[n])
    if state != FLIES:
        return PullOutRow(load, speed, state)
    doubted = [runs.in_keys(stance, d, load) for d in range(len(DOUBTS))] if stance == 0 else [case]
    eaten = [100 * float(flight.eaten[c, n]) if state_of(trimmed, flight, c, n) == FLIES else None for c in doubted]
    return PullOutRow(
        load,
        speed,
        state,
        math.degrees(float(trimmed.tilt[case, n])),
        float(flight.power[case, n]),
        100 * float(flight.used[case, n]),
        100 * float(trimmed.lost[case, n, rear].mean()) if rear.any() else 0.0,
        float(trimmed.moment[case, n]) / NM_PER_NMM,
        eaten[0],
        spread(eaten),
    )


def _change(runs: Runs, stance: int, load: float, n: int, rear: Bools) -> StanceChange:
    """Return what a stance changes, doubt by doubt."""
    tilt, lost, eaten = np.degrees(runs.keys.tilt), runs.keys.lost[..., rear], 100 * runs.keys_flight.eaten
    rear_lost = 100 * lost.mean(axis=-1) if rear.any() else 0.0 * tilt
    pairs = [(runs.in_keys(0, d, load), runs.in_keys(stance, d, load)) for d in range(len(DOUBTS))]
    flies = [all(state_of(runs.keys, runs.keys_flight, c, n) == FLIES for c in pair) for pair in pairs]
    found: list[tuple[float | None, Band | None]] = []
    for values in (tilt, rear_lost, eaten):
        moved = [float(values[b, n] - values[a, n]) for (a, b), f in zip(pairs, flies, strict=True) if f]
        found.append((moved[0] if flies[0] else None, (min(moved), max(moved)) if flies[0] else None))
    (a, a_band), (b, b_band), (c, c_band) = found
    return StanceChange(load, float(runs.key_speeds[n]), a, a_band, b, b_band, c, c_band)
