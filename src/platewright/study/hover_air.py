"""What hover and cruise have from the air: thrust lost to plates in the wakes, the trimmed flight of least energy."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.rotor.forward import fly
from platewright.rotor.gridded import gridded
from platewright.rotor.trim import trim
from platewright.rotor.trim_records import Airframe
from platewright.study.flight_model import flight_model
from platewright.study.powertrain import Powertrain

__all__ = ["STILL", "Cruise", "InAir", "in_air"]

_SPEEDS = np.arange(0.0, 41.0, 2.0)  # m/s


@dataclass(frozen=True)
class Cruise:
    """Trimmed level flight; means over the rotors.

    Parameters
    ----------
    speed : float
        Of flight [m/s].
    throttle : float
        Share of the battery's sagged voltage [-].
    turning, motor_current : float
        Of a motor [rad/s] and [A].
    power, current : float
        Out of the battery [W] and [A].
    """

    speed: float
    throttle: float
    turning: float
    motor_current: float
    power: float
    current: float


@dataclass(frozen=True)
class InAir:
    """What a frame has from the air.

    Parameters
    ----------
    lost : float
        Share of the thrust that plates, arms and boxes in the wakes take in hover [-].
    cruise : Cruise or None
        The flight of least energy for its way; None where none was found.
    """

    lost: float
    cruise: Cruise | None


STILL = InAir(0.0, None)
"""Nothing in the wakes, and no cruise asked for."""


def in_air(assembly: Assembly, train: Powertrain) -> InAir:
    """Return what a frame has from the air.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    train : Powertrain
        What turns its rotors.
    """
    model = flight_model(assembly)
    return STILL if model is None else InAir(sum(w.lost for w in model.washed), _cruise(model.airframe, train))


def _cruise(airframe: Airframe, train: Powertrain) -> Cruise | None:
    propeller, motor = gridded(train.propeller), train.motor.turning
    trimmed = trim([airframe], propeller, _SPEEDS)
    flight = fly(trimmed, propeller, motor, train.pack, _SPEEDS, other_power=train.other_power)
    power, current = flight.power[0], flight.current[0]
    flies = trimmed.applies[0] & np.isfinite(current) & (flight.used[0] <= 1) & (_SPEEDS > 0)
    if not np.any(flies):
        return None
    n = int(np.argmin(np.where(flies, power / np.maximum(_SPEEDS, 1e-9), np.inf)))
    turning, own = float(trimmed.speed[0, n].mean()), float(flight.motor_current[0, n].mean())
    voltage = turning / motor.speed_constant + own * motor.resistance
    throttle = voltage * float(current[n] / power[n])
    return Cruise(float(_SPEEDS[n]), throttle, turning, own, float(power[n]), float(current[n]))
