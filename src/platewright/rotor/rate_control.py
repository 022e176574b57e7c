"""A plain rate controller with the same rule for every craft, and what its steps of rate look like.

Angular acceleration asked for is K (rate asked for - rate), turned into moments by the inertia tensor and into thrusts
by the mixer. Lag and integrator together are tau s^2 + s + K; K = 1/(2 tau) damps them by 0.707, so each craft is as
quick as its motors let it be. No integral: what rate is missing in the end is what air and coupling take.
Sources: second-order systems, Franklin, Powell, Emami-Naeini, Feedback Control of Dynamic Systems, ch. 3, from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.mixing import effectiveness, mixer
from platewright.rotor.simulate import Law, Rigid, State, at_rest, simulate

__all__ = ["Drive", "Response", "is_limited", "linear_law", "rate_command", "rate_gain", "rate_steps", "step_response"]

Array = NDArray[np.float64]
_AT_LIMIT = 1e-3  # of the range of thrust


@dataclass(frozen=True)
class Drive:
    """What a rotor does about hover, and its limits.

    Parameters
    ----------
    thrust_factor, torque_factor : float
        Over the square of speed of rotation, in N and N m per (rad/s)^2.
    idle, full : float
        Least and greatest speed of rotation [rad/s].
    inflow : float
        Thrust lost for each m/s of axial inflow and rad/s of speed of rotation, in N s^2/m.
    """

    thrust_factor: float
    torque_factor: float
    idle: float
    full: float
    inflow: float = 0.0


@dataclass(frozen=True)
class Response:
    """A step of one rate.

    Parameters
    ----------
    rise_time : float
        From a tenth to nine tenths of the step [s]; nan where it does not get there.
    overshoot : float
        Beyond the step, over the step [-].
    steady_error : float
        Missing in the end, over the step [-].
    limited : float
        Time in which a rotor is asked for all or the least that it can do [s].
    cross_rate : float
        The greatest rate about the two other axes, over the step [-].
    """

    rise_time: float
    overshoot: float
    steady_error: float
    limited: float
    cross_rate: float


def rate_gain(lag: float) -> float:
    """Return the gain K in 1/s that damps a lag and an integrator by 0.707.

    Parameters
    ----------
    lag : float
        Time constant of the motors [s].

    Examples
    --------
    >>> rate_gain(0.02)
    25.0
    """
    return 1 / (2 * lag)


def linear_law(drive: Drive) -> Law:
    """Return thrust and torque about hover: the square of speed, less what axial inflow takes.

    Parameters
    ----------
    drive : Drive
        Of each rotor.
    """

    def law(speeds: Array, axial: Array, _: Array) -> tuple[Array, Array]:
        square = speeds * speeds
        return drive.thrust_factor * square - drive.inflow * speeds * axial, drive.torque_factor * square

    return law


def rate_command(craft: Rigid, drive: Drive, gain: float) -> Callable[[State, Array, Array], Array]:
    """Return the controller.

    Parameters
    ----------
    craft : Rigid
        What flies.
    drive : Drive
        Of each rotor.
    gain : float
        From `rate_gain`, in 1/s.

    Returns
    -------
    callable
        Speeds of rotation asked for, (c, n) [rad/s], from a state, rates asked for (c, 3) [rad/s] and thrust (c,) [N].
    """
    upright = np.tile([0.0, 0.0, 1.0], (len(craft.places), 1))
    matrix = effectiveness(craft.places, upright, craft.spins, drive.torque_factor / drive.thrust_factor)
    mix = mixer(matrix, *(drive.thrust_factor * s**2 for s in (drive.idle, drive.full)))

    def command(state: State, rates: Array, thrust: Array) -> Array:
        moments = gain * (rates - state.rates) @ craft.inertia
        wrench = np.concatenate([thrust[:, None], moments], axis=-1)
        return np.asarray(np.sqrt(mix(wrench) / drive.thrust_factor))

    return command


def rate_steps(craft: Rigid, drive: Drive, steps: Array, duration: float, step: float) -> list[State]:
    """Return flights from hover in which rates are asked for at once, all side by side.

    Parameters
    ----------
    craft : Rigid
        What flies.
    drive : Drive
        Of each rotor.
    steps : (c, 3) array
        Rates asked for [rad/s].
    duration, step : float
        Time of the flight, and between states [s].
    """
    controller = rate_command(craft, drive, rate_gain(craft.lag))
    thrust = np.full(len(steps), craft.mass * craft.gravity)
    still = at_rest(len(steps), np.zeros(len(craft.places)))
    start = at_rest(len(steps), controller(still, np.zeros_like(steps), thrust)[0])
    return simulate(craft, start, lambda s: controller(s, steps, thrust), linear_law(drive), duration, step)


def step_response(craft: Rigid, drive: Drive, states: list[State], steps: Array, case: int, step: float) -> Response:
    """Return what one of the flights of `rate_steps` shows.

    Parameters
    ----------
    craft : Rigid
        What flies.
    drive : Drive
        Of each rotor.
    states : list of State
        The flights.
    steps : (c, 3) array
        Rates asked for [rad/s]; one of the three is not 0.
    case : int
        Which of them.
    step : float
        Time between states [s].
    """
    axis = int(np.argmax(np.abs(steps[case])))
    rates = np.array([s.rates[case] for s in states])
    share = rates[:, axis] / steps[case, axis]
    controller = rate_command(craft, drive, rate_gain(craft.lag))
    seen = replace(states[0], rates=rates[:-1])
    asked = controller(
        seen, np.tile(steps[case], (len(rates) - 1, 1)), np.full(len(rates) - 1, craft.mass * craft.gravity)
    )
    others = np.delete(rates, axis, axis=1) / abs(steps[case, axis])
    return Response(
        step * (_first(share, 0.9) - _first(share, 0.1)),
        max(float(share.max()) - 1, 0.0),
        1 - float(share[-1]),
        step * float(is_limited(drive, asked).sum()),
        float(np.abs(others).max()),
    )


def is_limited(drive: Drive, asked: Array) -> NDArray[np.bool_]:
    """Return in which cases a rotor is asked for its least or greatest speed.

    Parameters
    ----------
    drive : Drive
        Of each rotor.
    asked : (c, n) array
        Speeds of rotation asked for [rad/s].
    """
    room = _AT_LIMIT * (drive.full - drive.idle)
    return np.asarray(np.any((asked <= drive.idle + room) | (asked >= drive.full - room), axis=-1))


def _first(share: Array, level: float) -> float:
    """Return when a level is first passed, in steps, between states by a straight line; nan for never."""
    above = np.flatnonzero(share >= level)
    if above.size == 0 or above[0] == 0:
        return float("nan") if above.size == 0 else 0.0
    n = int(above[0])
    return n - 1 + float((level - share[n - 1]) / (share[n] - share[n - 1]))
