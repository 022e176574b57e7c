"""Plain regressions and blade elements alone: what the predictions of propellers are compared with."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.tables import PropellerTable, reynolds_number, zero_thrust_advance_ratio

__all__ = ["plain_fall", "plain_static"]

Array = NDArray[np.float64]


def plain_static(table: PropellerTable, others: Sequence[PropellerTable]) -> tuple[Array, Array]:
    """Predict one propeller at rest, at the speed of each of its rows, by least squares.

    ln C goes with ln D, ln p/D, ln blades and ln Re.

    Parameters
    ----------
    table : PropellerTable
        The one predicted.
    others : sequence of PropellerTable
        Those it is fitted to.

    Returns
    -------
    (n_rows,) array, (n_rows,) array
        CT and CP [-].
    """

    def terms(t: PropellerTable, speed: Array) -> Array:
        constant = np.ones_like(speed)
        own = [np.log(t.size.diameter), np.log(t.size.pitch / t.size.diameter), np.log(t.size.blades)]
        return np.column_stack(
            [constant, *(f * constant for f in own), np.log(reynolds_number(speed, t.size.diameter))]
        )

    still = [t for t in others if t.has_static]
    matrix = np.vstack([terms(t, t.speed[t.at_rest]) for t in still])
    made = []
    for name in ("thrust_coefficient", "power_coefficient"):
        values = np.log(np.concatenate([getattr(t, name)[t.at_rest] for t in still]))
        made.append(np.exp(terms(table, table.speed) @ np.linalg.lstsq(matrix, values, rcond=None)[0]))
    return made[0], made[1]


def plain_fall(table: PropellerTable, others: Sequence[PropellerTable]) -> tuple[Array, Array]:
    """Return how all rows of one propeller fall with J: C over C at rest a quadratic in J, terms times ln p/D.

    Parameters
    ----------
    table : PropellerTable
        The one predicted.
    others : sequence of PropellerTable
        Those it is fitted to.

    Returns
    -------
    (n_rows,) array, (n_rows,) array
        CT and CP over those at rest [-].
    """

    def terms(t: PropellerTable, rows: NDArray[np.bool_]) -> Array:
        j, pitch = t.advance_ratio[rows], np.log(t.size.pitch / t.size.diameter)
        return np.column_stack([j, j**2, pitch * j, pitch * j**2])

    moving = [(t, ~t.at_rest & (t.advance_ratio < zero_thrust_advance_ratio(t))) for t in others if t.has_static]
    used = [(t, rows) for t, rows in moving if np.any(rows)]
    matrix = np.vstack([terms(t, rows) for t, rows in used])
    every = np.ones(table.speed.size, dtype=np.bool_)
    made = []
    for k, name in enumerate(("thrust_coefficient", "power_coefficient")):
        values = np.concatenate([getattr(t, name)[rows] / t.static(t.speed[rows])[k] - 1 for t, rows in used])
        factors = np.linalg.lstsq(matrix, values, rcond=None)[0]
        made.append(1 + terms(table, every) @ factors)
    return made[0], made[1]
