"""What the product gives for the published cases of air and hover."""

from __future__ import annotations

import math
from collections.abc import Callable

from platewright.rotor.air import standard_air
from platewright.rotor.hover import ideal_power, induced_velocity

__all__ = ["ROTORS"]


def _density(height: float) -> float:
    return standard_air(height).density


def _sound_speed(height: float) -> float:
    return standard_air(height).sound_speed


def _induced(thrust: float, diameter: float, density: float, per: float) -> float:
    return induced_velocity(thrust, math.pi / 4 * diameter**2, density) / per


def _power(thrust: float, diameter: float, density: float, merit: float, per: float) -> float:
    return ideal_power(thrust, math.pi / 4 * diameter**2, density) / merit / per


ROTORS: dict[str, Callable[..., float]] = {
    "air density": _density,
    "ideal power": _power,
    "induced velocity": _induced,
    "sound speed": _sound_speed,
}
