"""All trims that the study of a frame needs, in two calls: against speed, and at a few speeds with loads and doubts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.forward import Flight, fly
from platewright.rotor.gridded import gridded
from platewright.rotor.trim import trim
from platewright.rotor.trim_records import Airframe, Doubt, Trim
from platewright.study.flight_model import moved
from platewright.study.powertrain import Powertrain

__all__ = ["CHANGE_LOAD", "DOUBTS", "KEY_SPEEDS", "LOADS", "SPEEDS", "STANCES", "Runs", "Stance", "flight_runs"]

Floats = NDArray[np.float64]

SPEEDS = np.linspace(0.0, 45.0, 19)  # m/s
KEY_SPEEDS = np.array([10.0, 20.0, 30.0])  # m/s, for pull-outs and for differences between stances
LOADS = (2.0, 3.0, 4.0)
CHANGE_LOAD = 3.0
"""Lift over weight of the pull-out in which stances are compared under every doubt [-]."""
DOUBTS = (
    Doubt(),
    Doubt(drag=0.75),
    Doubt(drag=1.25, disc_drag=3.0),
    Doubt(wake=0.7, sinking=2.0),
    Doubt(wake=1.3),
)
"""The best estimate, then the ends: drag by a quarter either way, forces along discs up to three times (small craft
were measured to have that, from memory), wakes weaker and steeper, as they roll up and sink, or stronger (assumed)."""


@dataclass(frozen=True)
class Stance:
    """Discs further apart fore and aft, or those behind higher [mm]."""

    name: str
    longer: float
    rear_up: float


STANCES = (
    Stance("as it is", 0.0, 0.0),
    Stance("20 mm longer", 20.0, 0.0),
    Stance("20 mm shorter", -20.0, 0.0),
    Stance("rear 10 mm up", 0.0, 10.0),
    Stance("rear 10 mm down", 0.0, -10.0),
)


@dataclass(frozen=True)
class Case:
    """Which stance, doubt and load a case is, by number and value; stance -1 is an airframe given beside."""

    stance: int
    doubt: int
    load: float
    other: int = -1


@dataclass(frozen=True)
class Runs:
    """Trimmed flight of all cases.

    Parameters
    ----------
    speeds, key_speeds : (s,) array
        Of both calls [m/s].
    sweep, sweep_flight : Trim, Flight
        Against speed.
    keys, keys_flight : Trim, Flight
        At a few speeds.
    sweep_cases, key_cases : tuple of Case
        What their first axes are.
    """

    speeds: Floats
    key_speeds: Floats
    sweep: Trim
    sweep_flight: Flight
    keys: Trim
    keys_flight: Flight
    sweep_cases: tuple[Case, ...]
    key_cases: tuple[Case, ...]

    def in_sweep(self, stance: int, doubt: int = 0) -> int:
        """Return the number of a case against speed."""
        return self.sweep_cases.index(Case(stance, doubt, 1.0))

    def in_keys(self, stance: int, doubt: int = 0, load: float = 1.0, other: int = -1) -> int:
        """Return the number of a case at a few speeds."""
        return self.key_cases.index(Case(stance, doubt, load, other))


def flight_runs(
    airframe: Airframe, power: Powertrain, speeds: Floats = SPEEDS, others: Sequence[Airframe] = ()
) -> Runs:
    """Trim a frame in all its stances.

    Parameters
    ----------
    airframe : Airframe
        As it is.
    power : Powertrain
        What turns its rotors.
    speeds : (s,) array
        Rising from 0 [m/s].
    others : sequence of Airframe
        Variants of the body, trimmed at a few speeds as well.
    """
    stances = [moved(airframe, s.longer, s.rear_up) for s in STANCES]
    n = range(len(STANCES))
    sweep_cases = (*(Case(k, 0, 1.0) for k in n), *(Case(0, d, 1.0) for d in range(1, len(DOUBTS))))
    key_cases = (
        *(Case(k, d, load) for k in n for d in range(len(DOUBTS)) for load in (1.0, CHANGE_LOAD)),
        *(Case(k, 0, load) for k in n for load in LOADS if load != CHANGE_LOAD),
        *(Case(0, d, load) for d in range(1, len(DOUBTS)) for load in LOADS if load != CHANGE_LOAD),
        *(Case(-1, 0, 1.0, k) for k in range(len(others))),
    )
    sweep, sweep_flight = _run(sweep_cases, stances, others, power, speeds)
    keys, keys_flight = _run(key_cases, stances, others, power, KEY_SPEEDS)
    return Runs(speeds, KEY_SPEEDS, sweep, sweep_flight, keys, keys_flight, sweep_cases, key_cases)


def _run(
    cases: Sequence[Case], stances: Sequence[Airframe], others: Sequence[Airframe], power: Powertrain, speeds: Floats
) -> tuple[Trim, Flight]:
    frames = [others[c.other] if c.stance < 0 else stances[c.stance] for c in cases]
    doubts, loads = [DOUBTS[c.doubt] for c in cases], [c.load for c in cases]
    propeller, motor = gridded(power.propeller), power.motor.turning
    trimmed = trim(frames, propeller, speeds, loads=loads, doubts=doubts)
    return trimmed, fly(trimmed, propeller, motor, power.pack, speeds, other_power=power.other_power)
