"""A rigid craft in space: six degrees of freedom, turning rotors that follow their command with a lag, drag.

Axes of the craft x forward, y left, z up, origin at the centre of gravity; those of the ground are level, z up. A turn
is a quaternion (w, x, y, z) that takes craft to ground. Leading axis of all arrays: cases that fly side by side. A step
holds the rotors' thrust and torque at their values in its middle, and is of second order (midpoint rule).
Sources: Newton and Euler; quaternions as in Stevens & Lewis, Aircraft Control and Simulation, ch. 1, from memory.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from platewright.rotor.air import STANDARD_GRAVITY

__all__ = ["Law", "Rigid", "State", "at_rest", "simulate", "to_craft", "to_ground"]

Array = NDArray[np.float64]
Law = Callable[[Array, Array, Array], tuple[Array, Array]]
"""Thrust [N] and torque [N m] of rotors from speed of rotation [rad/s], axial and edgewise inflow [m/s]."""
_DENSITY = 1.225
_NEXT, _LAST = np.array([1, 2, 0]), np.array([2, 0, 1])


@dataclass(frozen=True)
class Rigid:
    """What flies.

    Parameters
    ----------
    mass : float
        With all it carries [kg].
    inertia : (3, 3) array
        About the centre of gravity [kg m^2].
    places : (n, 3) array
        Discs from the centre of gravity; they push along z [m].
    spins : (n,) array
        +1 counter-clockwise seen from above, -1 clockwise [-].
    spin_inertia : float
        Of each rotor about its shaft [kg m^2].
    lag : float
        Time constant of speed of rotation [s].
    drag : (3,) array
        Area times drag coefficient along x, y and z [m^2].
    gravity : float
        Its acceleration [m/s^2].
    """

    mass: float
    inertia: Array
    places: Array
    spins: Array
    spin_inertia: float
    lag: float
    drag: Array
    gravity: float = STANDARD_GRAVITY


@dataclass(frozen=True)
class State:
    """Where the cases are and how they move.

    Parameters
    ----------
    place, velocity : (c, 3) array
        Over ground [m] and [m/s].
    turn : (c, 4) array
        Quaternion from craft to ground [-].
    rates : (c, 3) array
        About the craft's axes [rad/s].
    speeds : (c, n) array
        Of rotation [rad/s].
    """

    place: Array
    velocity: Array
    turn: Array
    rates: Array
    speeds: Array


def at_rest(cases: int, speeds: ArrayLike) -> State:
    """Return level cases at rest with their rotors turning.

    Parameters
    ----------
    cases : int
        How many.
    speeds : (n,) array
        Of rotation [rad/s].
    """
    still = np.zeros((cases, 3))
    level = np.tile([1.0, 0.0, 0.0, 0.0], (cases, 1))
    turning = np.asarray(speeds, dtype=np.float64)
    return State(still, still, level, still, np.tile(turning, (cases, 1)))


def simulate(
    craft: Rigid,
    start: State,
    command: Callable[[State], Array],
    law: Law,
    duration: float,
    step: float,
    stop: Callable[[State], bool] = lambda _: False,
) -> list[State]:
    """Return the states of a flight, the start first.

    Parameters
    ----------
    craft : Rigid
        What flies.
    start : State
        Where it begins.
    command : callable
        Speeds of rotation that are asked for, (c, n) [rad/s], from a state.
    law : callable
        As in `Law`.
    duration, step : float
        Longest time, and time between states [s].
    stop : callable
        Ends the flight early.
    """
    inverse: Array = np.asarray(np.linalg.inv(craft.inertia), dtype=np.float64)
    fade, half = math.exp(-step / craft.lag), math.exp(-step / 2 / craft.lag)
    states = [start]
    for _ in range(round(duration / step)):
        now = states[-1]
        asked = command(now)
        off = now.speeds - asked
        middle, last = asked + off * half, asked + off * fade
        force, moment, momentum = _push(craft, now, middle, (last - now.speeds) / step, law)

        rates = now.rates + step / 2 * _spinning(craft, inverse, now.rates, moment, momentum)
        turn = now.turn + step / 2 * _turning(now.turn, now.rates)
        velocity = now.velocity + step / 2 * _speeding(craft, now.velocity, now.turn, force)
        ahead = now.turn + step * _turning(turn, rates)
        states.append(
            State(
                now.place + step * velocity,
                now.velocity + step * _speeding(craft, velocity, turn, force),
                ahead / np.sqrt(np.sum(ahead * ahead, axis=-1, keepdims=True)),
                now.rates + step * _spinning(craft, inverse, rates, moment, momentum),
                last,
            )
        )
        if stop(states[-1]):
            break
    return states


def to_ground(turn: Array, vector: Array) -> Array:
    """Turn vectors (c, 3) from the craft's axes to the ground's; turn (c, 4) [-]."""
    axis = turn[:, 1:]
    t = 2 * _cross(axis, vector)
    return np.asarray(vector + turn[:, :1] * t + _cross(axis, t))


def to_craft(turn: Array, vector: Array) -> Array:
    """Turn vectors (c, 3) from the ground's axes to the craft's; turn (c, 4) [-]."""
    axis = turn[:, 1:]
    t = 2 * _cross(axis, vector)
    return np.asarray(vector - turn[:, :1] * t + _cross(axis, t))


def _push(craft: Rigid, now: State, speeds: Array, faster: Array, law: Law) -> tuple[Array, Array, Array]:
    """Return force along z, moments about the axes and the rotors' angular momentum along z."""
    through = to_craft(now.turn, now.velocity)
    x, y = craft.places[:, 0], craft.places[:, 1]
    axial = through[:, 2:] + now.rates[:, :1] * y - now.rates[:, 1:2] * x
    edgewise = np.sqrt(through[:, :1] ** 2 + through[:, 1:2] ** 2) + np.zeros_like(axial)
    thrust, torque = law(speeds, axial, edgewise)
    yaw = -(torque + craft.spin_inertia * faster) @ craft.spins
    moment = np.empty_like(now.rates)
    moment[:, 0], moment[:, 1], moment[:, 2] = thrust @ y, -(thrust @ x), yaw
    return thrust.sum(axis=-1), moment, craft.spin_inertia * (speeds @ craft.spins)


def _spinning(craft: Rigid, inverse: Array, rates: Array, moment: Array, momentum: Array) -> Array:
    """Euler's equations, with the rotors' own angular momentum along z."""
    own = rates @ craft.inertia
    own[:, 2] += momentum
    return np.asarray((moment - _cross(rates, own)) @ inverse)


def _speeding(craft: Rigid, velocity: Array, turn: Array, force: Array) -> Array:
    """Return how fast velocity changes over ground: thrust, drag and weight."""
    through = to_craft(turn, velocity)
    along = -_DENSITY / 2 * craft.drag * through * np.abs(through)
    along[:, 2] += force
    faster = to_ground(turn, along / craft.mass)
    faster[:, 2] -= craft.gravity
    return faster


def _cross(a: Array, b: Array) -> Array:
    """Cross product of rows; much faster than NumPy's for few rows."""
    return np.asarray(
        a.take(_NEXT, axis=1) * b.take(_LAST, axis=1) - a.take(_LAST, axis=1) * b.take(_NEXT, axis=1), dtype=np.float64
    )


def _turning(turn: Array, rates: Array) -> Array:
    """Return how the quaternion changes: half of turn times rates."""
    w, axis = turn[:, :1], turn[:, 1:]
    changed = np.empty_like(turn)
    changed[:, 0] = -np.einsum("ij,ij->i", axis, rates)
    changed[:, 1:] = w * rates + _cross(axis, rates)
    return changed / 2
