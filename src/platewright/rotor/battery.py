"""A battery pack: open-circuit voltage by charge, sag, and the current it can give.

The curve of a LiPo cell and the usable fraction are from memory, common practice; a cell's own curve
differs by +-0.03 V.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from platewright.foundation.errors import RotorError

__all__ = ["USABLE_FRACTION", "Pack", "current_for_power"]

USABLE_FRACTION = 0.8  # common practice: land with a fifth left
_CHARGE = (0.0, 0.1, 0.2, 0.3, 0.5, 0.7, 0.8, 0.9, 1.0)
_CELL_VOLTAGE = (3.30, 3.69, 3.73, 3.77, 3.84, 3.95, 4.02, 4.10, 4.20)


@dataclass(frozen=True)
class Pack:
    """Cells in series.

    Parameters
    ----------
    cells : int
        In series.
    capacity : float
        Charge when full [A h].
    cell_resistance : float
        Of one cell [ohm].
    c_rating : float
        Current it bears for long, over capacity, per hour; the realistic one, not the label's.
    lead_resistance : float
        Leads and connector [ohm].
    """

    cells: int
    capacity: float
    cell_resistance: float
    c_rating: float
    lead_resistance: float = 0.002

    @property
    def resistance(self) -> float:
        """Of the whole pack with its leads [ohm]."""
        return self.cells * self.cell_resistance + self.lead_resistance

    @property
    def current_limit(self) -> float:
        """Current it bears for long [A]."""
        return self.c_rating * self.capacity

    def open_voltage(self, charge: float) -> float:
        """Return the voltage without load at a charge from 0 to 1 [-]."""
        return self.cells * float(np.interp(charge, _CHARGE, _CELL_VOLTAGE))


def current_for_power(pack: Pack, power: float, charge: float = 0.5) -> float:
    """Return the current that carries a power, with sag.

    Parameters
    ----------
    pack : Pack
        The battery.
    power : float
        At the end of its leads [W].
    charge : float
        From 0, empty, to 1, full [-].

    Returns
    -------
    float
        Current [A].

    Raises
    ------
    RotorError
        If no current carries it: more is lost in the pack than is gained.

    Examples
    --------
    >>> pack = Pack(6, 1.3, 0.004, 35)
    >>> round(current_for_power(pack, 200.0), 2)
    8.77
    """
    open_voltage, resistance = pack.open_voltage(charge), pack.resistance
    root = open_voltage**2 - 4 * resistance * power
    if root < 0:
        most = open_voltage**2 / 4 / resistance
        message = (
            f"the battery must give {power:.0f} W but can never give more than {most:.0f} W at {charge:.0%} charge; "
            "take one of lower resistance or more cells."
        )
        raise RotorError(message)
    return 2 * power / (open_voltage + math.sqrt(root))
