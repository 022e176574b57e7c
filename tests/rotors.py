"""A propeller, motor and battery of our own for tests of flight: in closed form, from no catalogue."""

from __future__ import annotations

import math

import numpy as np

from platewright.rotor.battery import Pack
from platewright.rotor.motor import Motor
from platewright.rotor.predict import Coefficients
from platewright.rotor.working import tabulate_propeller

__all__ = ["MOTOR", "PACK", "PROPELLER"]


def _coefficients(speed: np.ndarray, advance: np.ndarray) -> Coefficients:
    """Return thrust and power of a propeller without thrust at J 0.95, whatever the speed."""
    share, still = advance / 0.95, np.ones_like(speed)
    ct, cp = 0.2 * (1 - 0.45 * share - 0.55 * share**2), 0.13 * (1 + 0.1 * share - 0.85 * share**3)
    return Coefficients("a", ct, cp, 0.2 * still, 0.13 * still, 0.95 * still)


PROPELLER = tabulate_propeller(_coefficients, 0.1295, 3, "made up", {})
MOTOR = Motor(1950 * math.pi / 30, 0.09, 1.3)
PACK = Pack(6, 1.1, 0.004, 35)
