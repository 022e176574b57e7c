"""A dive that is pulled out of, in time: motors that lag, rotors at their limits, air through and along the discs.

The craft dives straight, its discs along its path. The pilot then asks for a load of several g and turns the craft so
that the discs stay along the path: rate asked for = turning of the path + gain (path - nose), gain a quarter of the
rate controller's; thrust asked for is corrected by what is felt. It ends when the path is level.
With that load at once and no drag, V (n - cos gamma) stays the same along the path and height lost is the gain of
V^2 / 2g: an ideal craft's. Drag, which slows the craft and so tightens its path, takes some off.
Source: integrating V dgamma/dt = -g (n - cos gamma), dV/dt = g sin gamma.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.rate_control import Drive, is_limited, rate_command, rate_gain
from platewright.rotor.simulate import Law, Rigid, State, simulate, to_ground

__all__ = ["Dive", "PullOut", "ideal_height", "pull_out"]

Array = NDArray[np.float64]
_LONGEST = 4.0  # s
_SLOWER = 4.0  # pilot's gain below the controller's
_MOST_TRIM = 2.0  # thrust asked for over what is wanted, at most
_ROUNDS = 12


@dataclass(frozen=True)
class Dive:
    """What is asked for.

    Parameters
    ----------
    speed : float
        Along the path when it begins [m/s].
    angle : float
        Of the path below the horizon then [rad].
    load : float
        Lift over weight that the pilot asks for [-].
    """

    speed: float
    angle: float
    load: float


@dataclass(frozen=True)
class PullOut:
    """How it goes.

    Parameters
    ----------
    height : float
        Lost until the path is level [m]; nan where it never is.
    duration : float
        Until then [s].
    limited : float
        Time in which a rotor is asked for all or the least that it can do [s].
    peak_load : float
        Greatest lift over weight [-].
    tilt : float
        Of the discs from the horizon at the end, positive nose down [rad].
    strayed : float
        Greatest angle between discs and path [rad].
    speed : float
        At the end [m/s].
    """

    height: float
    duration: float
    limited: float
    peak_load: float
    tilt: float
    strayed: float
    speed: float


def ideal_height(dive: Dive, gravity: float) -> float:
    """Return the height that is lost where the load comes at once and there is no drag [m].

    Parameters
    ----------
    dive : Dive
        What is asked for.
    gravity : float
        Its acceleration [m/s^2].

    Examples
    --------
    >>> round(ideal_height(Dive(20.0, math.pi / 2, 3.0), 10.0), 6)
    25.0
    """
    end = dive.speed * (dive.load - math.cos(dive.angle)) / (dive.load - 1)
    return (end**2 - dive.speed**2) / (2 * gravity)


def pull_out(craft: Rigid, drive: Drive, law: Law, dive: Dive, step: float) -> PullOut:
    """Fly a pull-out.

    Parameters
    ----------
    craft : Rigid
        What flies.
    drive : Drive
        Of each rotor.
    law : callable
        Thrust and torque in the air that a rotor meets.
    dive : Dive
        What is asked for.
    step : float
        Time between states [s].
    """
    controller, weight = rate_command(craft, drive, rate_gain(craft.lag)), craft.mass * craft.gravity
    gain = rate_gain(craft.lag) / _SLOWER
    asked: list[bool] = []
    loads, trims = [math.cos(dive.angle)], [1.0]

    def sensed(speeds: Array, axial: Array, edgewise: Array) -> tuple[Array, Array]:
        thrust, torque = law(speeds, axial, edgewise)
        lift = float(thrust.sum())
        loads.append(lift / weight)
        trims.append(min(drive.thrust_factor * float((speeds**2).sum()) / max(lift, 1e-6), _MOST_TRIM))
        return thrust, torque

    def command(state: State) -> Array:
        load, path = loads[-1], _path(state)
        turning = -craft.gravity * (load - math.cos(path)) / float(np.linalg.norm(state.velocity))
        rate = turning + gain * (path - _nose(state))
        wanted = dive.load * weight * trims[-1]
        speeds = controller(state, np.array([[0.0, rate, 0.0]]), np.array([wanted]))
        asked.append(bool(is_limited(drive, speeds)[0]))
        return speeds

    states = simulate(craft, _diving(craft, drive, law, dive), command, sensed, _LONGEST, step, lambda s: _path(s) <= 0)
    last = states[-1]
    is_level = _path(last) <= 0
    return PullOut(
        -float(last.place[0, 2]) if is_level else math.nan,
        step * (len(states) - 1) if is_level else math.nan,
        step * sum(asked),
        max(loads),
        _nose(last),
        max(abs(_nose(s) - _path(s)) for s in states),
        float(np.linalg.norm(last.velocity)),
    )


def _diving(craft: Rigid, drive: Drive, law: Law, dive: Dive) -> State:
    """Return the straight dive, rotors turning as it takes: lift is weight across the path."""
    controller, still = rate_command(craft, drive, rate_gain(craft.lag)), np.zeros((1, 3))
    turn = np.array([[math.cos(dive.angle / 2), 0.0, math.sin(dive.angle / 2), 0.0]])
    velocity = dive.speed * np.array([[math.cos(dive.angle), 0.0, -math.sin(dive.angle)]])
    speeds = np.full((1, len(craft.places)), drive.full / 2)
    wanted = craft.mass * craft.gravity * math.cos(dive.angle)
    asked = wanted
    for _ in range(_ROUNDS):
        state = State(still, velocity, turn, still, speeds)
        speeds = controller(state, still, np.array([asked]))
        lift, _ = law(speeds, np.zeros_like(speeds), np.full_like(speeds, dive.speed))
        asked *= wanted / max(float(lift.sum()), 0.1 * wanted)
    return State(still, velocity, turn, still, speeds)


def _nose(state: State) -> float:
    """Return the angle of the craft's x axis below the horizon [rad]."""
    x, _, z = to_ground(state.turn, np.array([[1.0, 0.0, 0.0]]))[0].tolist()
    return math.atan2(-z, x)


def _path(state: State) -> float:
    """Return the angle of the path below the horizon [rad]."""
    x, _, z = state.velocity[0].tolist()
    return math.atan2(-z, x)
