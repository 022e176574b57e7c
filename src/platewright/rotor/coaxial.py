"""Two rotors on one axis, at rest: each stands in the other's wake, by the rule that `trim` flies them with.

Both turn at one speed. The upper wake has drawn together when it meets the lower disc, so its mean there is divided by
1 + g v / U, g = h / sqrt(h^2 + R^2), as the flow of air stays the same; the upper disc feels the inflow that gathers
above the lower one. Published for two rotors on one axis: 1.16 to 1.41 times the induced power of two that stand apart.
Source: Leishman, Principles of Helicopter Aerodynamics, ch. 2, from memory.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.wake import interference
from platewright.rotor.working import WORKING_SPEEDS, WorkingPropeller

__all__ = ["PUBLISHED", "WAKE_BAND", "Pair", "induced_shares", "pair_at_rest"]

Array = NDArray[np.float64]
PUBLISHED = (1.16, 1.41)
"""Induced power of a pair over that of two rotors apart; published range, from memory [-]."""
WAKE_BAND = (0.7, 1.3)
"""How strong wakes may be, over what is reckoned (assumed, no source) [-]."""
_DENSITY = 1.225  # cancels from every coefficient [kg/m^3]
_ROUNDS = 24
_TAKEN = 0.7  # of each change of inflow, so that it does not swing


@dataclass(frozen=True)
class Pair:
    """Two rotors on one axis at rest, both at one speed; arrays run over speeds.

    Parameters
    ----------
    propeller : WorkingPropeller
        Of which the coefficients at rest are the mean of both rotors; of use at rest alone.
    lost : (n_speeds, 2) array
        Share of the thrust that the upper and the lower rotor would have apart that is lost [-].
    power_ratio : (n_speeds,) array
        Induced power over that of two rotors apart with the same thrust in all [-].
    """

    propeller: WorkingPropeller
    lost: Array
    power_ratio: Array

    def at(self, speed: float) -> tuple[float, float]:
        """Return the loss of the lower rotor and the ratio of powers at a speed [rad/s]."""
        place = math.log(speed)
        grid = np.log(WORKING_SPEEDS)
        return float(np.interp(place, grid, self.lost[:, 1])), float(np.interp(place, grid, self.power_ratio))


def pair_at_rest(propeller: WorkingPropeller, gap: float, strength: float = 1.0) -> Pair:
    """Return what two equal propellers on one axis do.

    Parameters
    ----------
    propeller : WorkingPropeller
        Each of them.
    gap : float
        Between their discs [m].
    strength : float
        Of their wakes over what is reckoned, for bands [-].

    Returns
    -------
    Pair
        At the speeds of the propeller's tables.
    """
    radius = propeller.diameter / 2
    area = math.pi * radius**2
    on_lower, on_upper, fall = _pair_inflow(round(gap / radius, 6))
    speed = np.repeat(WORKING_SPEEDS[:, None], 2, axis=1)
    outer = np.zeros_like(speed)
    for _ in range(_ROUNDS):
        work = propeller.at(speed, outer, density=_DENSITY)
        square = np.maximum(work.thrust, 0.0) / (2 * _DENSITY * area)
        own = -outer / 2 + np.sqrt(outer**2 / 4 + square)  # v (c + v) = T / (2 rho A)
        narrowing = 1 + fall * own[:, 0] / (outer[:, 0] + own[:, 0])
        fresh = strength * np.stack([on_upper * own[:, 1], on_lower / narrowing * own[:, 0]], axis=1)
        outer = outer + _TAKEN * (fresh - outer)
    alone = propeller.at(WORKING_SPEEDS, density=_DENSITY).thrust
    mean = work.thrust.mean(axis=1)
    ideal = 2 * mean**1.5 / math.sqrt(2 * _DENSITY * area)
    thrust, power = propeller.thrust.copy(), propeller.power.copy()
    thrust[:, 0], power[:, 0] = work.thrust_coefficient.mean(axis=1), work.power_coefficient.mean(axis=1)
    return Pair(
        replace(propeller, thrust=thrust, power=power),
        1 - work.thrust / alone[:, None],
        (work.thrust * (outer + own)).sum(axis=1) / ideal,
    )


@functools.lru_cache(maxsize=64)
def induced_shares(gap: float) -> tuple[float, float]:
    """Return the induced speeds of the upper and the lower disc over that of a disc apart, both with one thrust.

    Parameters
    ----------
    gap : float
        Between the discs, in radii [-].

    Examples
    --------
    >>> upper, lower = induced_shares(1e-9)  # one disc with twice the thrust: 0.707 each, were wakes sharp at the rim
    >>> round(upper, 3), round(lower, 3)
    (0.716, 0.716)
    """
    on_lower, on_upper, fall = _pair_inflow(round(gap, 6))
    upper = lower = 1.0
    for _ in range(_ROUNDS):
        above = on_upper * lower
        below = on_lower * upper / (1 + fall * upper / (above + upper))
        upper += _TAKEN * (math.hypot(above / 2, 1.0) - above / 2 - upper)
        lower += _TAKEN * (math.hypot(below / 2, 1.0) - below / 2 - lower)
    return upper, lower


@functools.lru_cache(maxsize=64)
def _pair_inflow(gap: float) -> tuple[float, float, float]:
    """Mean inflow on the lower and on the upper disc over v0 of the other, and how much faster the air has become."""
    made = interference([(0.0, 0.0, gap), (0.0, 0.0, 0.0)], [1.0, 1.0])
    return float(made.mean[0, 0, 1]), float(made.mean[0, 1, 0]), float(made.fall[0, 1])
