"""What a frame is put together from: plates in space, points that follow freedoms, springs between points, masses.

A *point* says how six motions in the frame's axes follow from some freedoms. Units mm, N, MPa, t, s, rad.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.structure.links import transfer
from platewright.structure.reduce import ReducedPlate

__all__ = ["Lump", "PlacedPlate", "Point", "Spring"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]


@dataclass(frozen=True)
class PlacedPlate:
    """A reduced plate in space.

    Parameters
    ----------
    name : str
        Of the place.
    reduced : ReducedPlate
        The part.
    origin : (3,) float
        Of the part's axes, in its mid-plane [mm].
    axes : (3, 3) float
        Columns: the part's x, y and z in the frame's axes.
    """

    name: str
    reduced: ReducedPlate
    origin: Floats
    axes: Floats

    def place(self, x: float, y: float) -> Floats:
        """Return a point of the mid-plane in the frame's axes [mm]."""
        found: Floats = self.origin + self.axes @ np.array([x, y, 0.0])
        return found


@dataclass(frozen=True)
class Point:
    """Where motions are taken: (6, n) matrix on some freedoms, at a position [mm]."""

    position: Floats
    columns: Ints
    matrix: Floats

    def motion(self, freedoms: Floats) -> Floats:
        """Return six motions in the frame's axes, (..., 6)."""
        found: Floats = freedoms[..., self.columns] @ self.matrix.T
        return found

    def at(self, position: Floats) -> Point:
        """Return a point elsewhere that is carried rigidly by this one."""
        return Point(position, self.columns, transfer(position - self.position) @ self.matrix)


@dataclass(frozen=True)
class Spring:
    """Two points held together.

    Parameters
    ----------
    name : str
        What it is.
    near, far : Point
        What it joins.
    position : (3,) float
        Where its springs are [mm].
    stiffness : (6, 6) float
        In the frame's axes.
    """

    name: str
    near: Point
    far: Point
    position: Floats
    stiffness: Floats

    def stretch(self, freedoms: Floats) -> Floats:
        """Return the motion of the far side against the near one, (..., 6)."""
        found: Floats = self.far.at(self.position).motion(freedoms) - self.near.at(self.position).motion(freedoms)
        return found

    def force(self, freedoms: Floats) -> Floats:
        """Return force and moment that the link puts on the near side, (..., 6) [N], [N mm]."""
        found: Floats = self.stretch(freedoms) @ self.stiffness
        return found


@dataclass(frozen=True)
class Lump:
    """A mass carried by a point.

    Parameters
    ----------
    point : Point
        What carries it.
    mass : float
        Its mass [t].
    centre : (3,) float
        Its centre of gravity [mm].
    inertia : (3, 3) float
        About its own centre [t mm^2].
    """

    point: Point
    mass: float
    centre: Floats
    inertia: Floats
