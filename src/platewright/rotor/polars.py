"""Lift and drag of thin cambered sections against angle and Reynolds number, through stall to a flat plate.

The table is given (see `catalogue/rotor/section_polars.csv`). Beyond its angles a section is a flat plate of finite
span: lift 0.6 sin 2a, drag 1.2 sin^2 a. Source: Viterna & Janetzke, NASA TM-82944 (1982), greatest drag; from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Polars", "section_polars"]

Array = NDArray[np.float64]
_PLATE_DRAG = 1.2
_STEP = np.radians(1.0)
_BEYOND = np.radians([-90.0, -60.0, -45.0, -30.0, -20.0, 30.0, 45.0, 60.0, 90.0])


@dataclass(frozen=True)
class Polars:
    """One section on a regular grid.

    Parameters
    ----------
    log_reynolds : (n_reynolds,) array
        ln Re, rising.
    lift, drag : (n_reynolds, n_angles) array
        Coefficients every degree from -90 to 90 [-].
    no_lift : (n_reynolds,) array
        Angle without lift [rad].
    """

    log_reynolds: Array
    lift: Array
    drag: Array
    no_lift: Array

    def at(self, angle: Array, reynolds: Array) -> tuple[Array, Array, Array]:
        """Return lift, drag and the lift that attached flow would have; held at the ends of the table.

        Parameters
        ----------
        angle : array
            Angle of attack [rad].
        reynolds : array
            By the chord [-]; of the same shape.

        Returns
        -------
        three arrays
            Coefficients [-].
        """
        row = np.interp(np.log(reynolds), self.log_reynolds, np.arange(self.log_reynolds.size))
        low = np.minimum(row.astype(int), self.log_reynolds.size - 2)
        part = row - low
        place = np.clip((angle + np.pi / 2) / _STEP, 0, self.lift.shape[1] - 1.001)
        left = place.astype(int)
        across = place - left
        weights = ((1 - part) * (1 - across), (1 - part) * across, part * (1 - across), part * across)
        spots = ((low, left), (low, left + 1), (low + 1, left), (low + 1, left + 1))
        lift = sum(w * self.lift[spot] for w, spot in zip(weights, spots, strict=True))
        drag = sum(w * self.drag[spot] for w, spot in zip(weights, spots, strict=True))
        no_lift = (1 - part) * self.no_lift[low] + part * self.no_lift[low + 1]
        return np.asarray(lift), np.asarray(drag), 2 * np.pi * np.sin(angle - no_lift)


def section_polars(reynolds: Array, angle: Array, lift: Array, drag: Array) -> Polars:
    """Bring the rows of one section onto a grid.

    Parameters
    ----------
    reynolds, angle, lift, drag : (n_rows,) array
        By the chord [-], angle of attack [rad], coefficients [-]; every angle at every Reynolds number.

    Returns
    -------
    Polars
        From -90 to 90 degrees.
    """
    grid = np.arange(-90, 91) * _STEP
    known = np.unique(reynolds)
    lifts, drags, zeros = [], [], []
    for value in known:
        rows = np.flatnonzero(reynolds == value)
        rows = rows[np.argsort(angle[rows])]
        outside = _BEYOND[(angle[rows[0]] > _BEYOND) | (angle[rows[-1]] < _BEYOND)]
        every = np.concatenate([outside, angle[rows]])
        order = np.argsort(every)
        plate_lift, plate_drag = _PLATE_DRAG / 2 * np.sin(2 * outside), _PLATE_DRAG * np.sin(outside) ** 2
        lifts.append(np.interp(grid, every[order], np.concatenate([plate_lift, lift[rows]])[order]))
        drags.append(np.interp(grid, every[order], np.concatenate([plate_drag, drag[rows]])[order]))
        middle = np.abs(angle[rows]) < np.radians(6.5)
        slope, level = np.polyfit(angle[rows][middle], lift[rows][middle], 1)
        zeros.append(-level / slope)
    return Polars(np.log(known), np.array(lifts), np.array(drags), np.array(zeros))
