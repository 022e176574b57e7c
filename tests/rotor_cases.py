"""What the product gives for the published cases of air and hover."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from platewright.rotor.air import standard_air
from platewright.rotor.hover import ideal_power, induced_velocity
from platewright.rotor.pull_out import Dive, pull_out
from platewright.rotor.rate_control import Drive, Response, linear_law, rate_steps, step_response
from platewright.rotor.simulate import Rigid, State, simulate

__all__ = ["ROTORS"]


def _density(height: float) -> float:
    return standard_air(height).density


def _sound_speed(height: float) -> float:
    return standard_air(height).sound_speed


def _induced(thrust: float, diameter: float, density: float, per: float) -> float:
    return induced_velocity(thrust, math.pi / 4 * diameter**2, density) / per


def _power(thrust: float, diameter: float, density: float, merit: float, per: float) -> float:
    return ideal_power(thrust, math.pi / 4 * diameter**2, density) / merit / per


def _rigid(lag: float, inertia: tuple[float, float, float] = (1.6e-3, 2e-3, 3e-3), gravity: float = 9.80665) -> Rigid:
    places = 0.08 * np.array([[1, 1, 0], [-1, 1, 0], [-1, -1, 0], [1, -1, 0.0]])
    return Rigid(0.5, np.diag(inertia), places, np.array([-1.0, 1, -1, 1]), 0.0, lag, np.zeros(3), gravity)


_DRIVE = Drive(1e-6, 1e-8, 300.0, 3500.0)


def _step(lag_ms: float) -> Response:
    craft, rates = _rigid(lag_ms / 1000), np.array([[0.02, 0.0, 0.0]])
    states = rate_steps(craft, _DRIVE, rates, 15 * craft.lag, craft.lag / 200)
    return step_response(craft, _DRIVE, states, rates, 0, craft.lag / 200)


def _overshoot(lag_ms: float) -> float:
    return 100 * _step(lag_ms).overshoot


def _rise(lag_ms: float) -> float:
    return 1000 * _step(lag_ms).rise_time


def _pull_out(speed: float, angle_deg: float, load: float) -> float:
    craft = _rigid(1e-3)
    return pull_out(craft, _DRIVE, linear_law(_DRIVE), Dive(speed, math.radians(angle_deg), load), 5e-4).height


def _free(rates: list[float], inertia: tuple[float, float, float], duration: float) -> State:
    craft, still = _rigid(1.0, inertia, 0.0), np.zeros((1, 3))
    start = State(still, still, np.array([[1.0, 0, 0, 0]]), np.array([rates]), np.zeros((1, 4)))
    return simulate(craft, start, lambda s: s.speeds, lambda w, _, __: (0 * w, 0 * w), duration, 5e-4)[-1]


def _precession(spin: float) -> float:
    x, y, _ = _free([1.0, 0.0, spin], (1.0, 1.0, 1.3), 0.5).rates[0]
    return math.atan2(y, x) / 0.5


def _growth(spin: float) -> float:
    start = 1e-5
    return math.log(abs(_free([-start * math.sqrt(3), spin, start], (1.0, 2.0, 3.0), 0.5).rates[0, 2]) / start) / 0.5


ROTORS: dict[str, Callable[..., float]] = {
    "air density": _density,
    "growth about the middle axis": _growth,
    "height of a pull-out": _pull_out,
    "overshoot of a step": _overshoot,
    "precession": _precession,
    "rise of a step": _rise,
    "ideal power": _power,
    "induced velocity": _induced,
    "sound speed": _sound_speed,
}
