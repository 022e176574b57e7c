"""A whole frame: reduced plates in space, joined by links, with masses; static answers of the free body and its modes.

Each plate keeps its own freedoms in its own axes; a *point* says how six motions in the frame's axes follow from some
freedoms. A link holds two points together by springs at a place that both carry rigidly. Nothing holds the frame: under
a load it accelerates, and its own inertia balances the load. Units mm, N, MPa, t, s, rad.

References: R. R. Craig, M. C. C. Bampton 1968 (the plates); inertia relief, e.g. R. R. Craig, A. J. Kurdila,
Fundamentals of Structural Dynamics, 2nd ed., chapter 17 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_factor, cho_solve, eigh

from platewright.foundation.errors import StructureError
from platewright.structure.factor import LARGEST_ERROR, backward_error
from platewright.structure.links import rigid_arm, transfer
from platewright.structure.points import Lump, PlacedPlate, Point, Spring
from platewright.structure.supports import tie_weights

__all__ = ["Frame", "FrameModes", "FrameStatic"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_PIN = (2 * math.pi * 200.0) ** 2  # what the rigid motions are given while solving; any value gives the same answer
_RESIDUAL = 1e-8  # largest force that a rigid motion may cause, by the largest stiffness [-]


@dataclass(frozen=True)
class FrameStatic:
    """The free frame under loads, its inertia in balance with them.

    Parameters
    ----------
    freedoms : (n_cases, n) float
        Deformation; free of rigid motion.
    acceleration : (n_cases, 6) float
        Of the point at the origin [mm/s^2], [rad/s^2].
    energy : (n_cases,) float
        Strain energy [N mm].
    """

    freedoms: Floats
    acceleration: Floats
    energy: Floats


@dataclass(frozen=True)
class FrameModes:
    """Free vibration, rigid motions left out; shapes have a modal mass of 1 t."""

    frequencies: Floats
    shapes: Floats


class Frame:
    """Plates, bodies and what joins them.

    Parameters
    ----------
    plates : sequence of PlacedPlate
        Each a place of a part.
    bodies : sequence of (3,) float
        Positions of rigid bodies with six freedoms of their own [mm].

    Attributes
    ----------
    stiffness, mass : (n, n) float
        Of all freedoms.
    rigid : (n, 6) float
        The six rigid motions about the origin on the freedoms.
    rigid_mass : (6, 6) float
        What they move, R^t M R.
    """

    def __init__(self, plates: Sequence[PlacedPlate], bodies: Sequence[Floats] = ()) -> None:
        sizes = [len(p.reduced.stiffness) for p in plates]
        self.plates = tuple(plates)
        self.starts = np.concatenate([[0], np.cumsum(sizes)]).astype(int)
        n = int(self.starts[-1]) + 6 * len(bodies)
        self.bodies = tuple(bodies)
        self.stiffness, self.mass, self.rigid = np.zeros((n, n)), np.zeros((n, n)), np.zeros((n, 6))
        self.rigid_mass = np.zeros((6, 6))
        for plate, start in zip(plates, self.starts[:-1], strict=True):
            own = slice(start, start + len(plate.reduced.stiffness))
            self.stiffness[own, own], self.mass[own, own] = plate.reduced.stiffness, plate.reduced.mass
            rigid = plate.reduced.rigid() @ rigid_arm(plate.axes).T @ transfer(plate.origin)
            self.rigid[own] = rigid
            self.rigid_mass += rigid.T @ plate.reduced.mass @ rigid
        for k, position in enumerate(bodies):
            own = slice(int(self.starts[-1]) + 6 * k, int(self.starts[-1]) + 6 * k + 6)
            self.rigid[own] = transfer(position)
        self.springs: list[Spring] = []

    def twin(self) -> Frame:
        """Return a frame of the same plates, bodies, masses and links, to be joined further on its own."""
        twin = copy(self)
        twin.stiffness, twin.springs = self.stiffness.copy(), list(self.springs)
        return twin

    def point(self, plate: int, number: int) -> Point:
        """Return a bolted point of a plate."""
        placed = self.plates[plate]
        columns = self.starts[plate] + 6 * number + np.arange(6)
        return Point(placed.place(*placed.reduced.points[number]), columns, rigid_arm(placed.axes))

    def patch(self, plate: int, nodes: Ints) -> Point:
        """Return the mean motion of some nodes of a plate, which stay free to bend among themselves."""
        placed = self.plates[plate]
        reduced = placed.reduced
        x, y = reduced.mesh.nodes[nodes].mean(axis=0)
        share = tie_weights(reduced.mesh.nodes[nodes], (float(x), float(y)))
        matrix = np.einsum("ink,nkf->if", share, reduced.basis[nodes, :3])
        columns = self.starts[plate] + np.arange(len(reduced.stiffness))
        return Point(placed.place(float(x), float(y)), columns, rigid_arm(placed.axes) @ matrix)

    def body(self, number: int) -> Point:
        """Return the point of a rigid body."""
        return Point(self.bodies[number], int(self.starts[-1]) + 6 * number + np.arange(6), np.eye(6))

    def join(self, spring: Spring) -> None:
        """Add a link."""
        near, far = spring.near.at(spring.position), spring.far.at(spring.position)
        columns = np.concatenate([near.columns, far.columns])
        apart = np.concatenate([-near.matrix, far.matrix], axis=1)
        np.add.at(self.stiffness, np.ix_(columns, columns), apart.T @ spring.stiffness @ apart)
        self.springs.append(spring)

    def carry(self, lump: Lump) -> None:
        """Add a mass."""
        moved = lump.point.at(lump.centre)
        own = np.zeros((6, 6))
        own[:3, :3], own[3:, 3:] = lump.mass * np.eye(3), lump.inertia
        np.add.at(self.mass, np.ix_(moved.columns, moved.columns), moved.matrix.T @ own @ moved.matrix)
        rigid = moved.matrix @ self.rigid[moved.columns]
        self.rigid_mass += rigid.T @ own @ rigid

    def load(self, point: Point, force: Floats, at: Floats | None = None) -> Floats:
        """Return what six forces at a point, or at a place that it carries, do to the freedoms, (n,)."""
        own = point if at is None else point.at(at)
        found = np.zeros(len(self.stiffness))
        np.add.at(found, own.columns, own.matrix.T @ force)
        return found

    def weight(self, acceleration: Floats) -> Floats:
        """Return the forces of a uniform acceleration [mm/s^2] on all masses, (n,)."""
        found: Floats = self.mass @ (self.rigid[:, :3] @ acceleration)
        return found

    def check(self) -> None:
        """Refuse a frame in parts that hang together by nothing, or whose rigid motions meet a force.

        Raises
        ------
        StructureError
            If it hangs together by nothing somewhere.
        """
        scale = float(np.abs(self.stiffness).max())
        lengths = np.array([1.0, 1.0, 1.0, 100.0, 100.0, 100.0])
        if float(np.abs(self.stiffness @ (self.rigid / lengths)).max()) > _RESIDUAL * scale:
            msg = "a rigid motion of the frame meets a force; a link is wrong."
            raise StructureError(msg)
        if self._loose():
            msg = "the frame hangs together by nothing somewhere; every plate needs fitted columns that hold it."
            raise StructureError(msg)

    def _loose(self) -> bool:
        """Whether some plate or body is joined to the rest by no chain of links; every link resists all six motions."""
        group = list(range(len(self.plates) + len(self.bodies)))
        for spring in self.springs:
            near, far = (group[self._owner(p)] for p in (spring.near, spring.far))
            group = [near if g == far else g for g in group]
        return len(set(group)) > 1

    def _owner(self, point: Point) -> int:
        """Return the number of the plate a point is on, or of the body after them."""
        first, plates = int(point.columns[0]), int(self.starts[-1])
        if first < plates:
            return int(np.searchsorted(self.starts, first, side="right")) - 1
        return len(self.plates) + (first - plates) // 6

    def solve(self, loads: Floats) -> FrameStatic:
        """Return deformation and accelerations of the free frame.

        Parameters
        ----------
        loads : (n_cases, n) float
            As `load` gives them.

        Raises
        ------
        StructureError
            If something is not held, or the answer does not satisfy the equations.
        """
        heavy = self.mass @ self.rigid
        acceleration: Floats = np.asarray(np.linalg.solve(self.rigid_mass, self.rigid.T @ loads.T), dtype=np.float64)
        balanced = loads.T - heavy @ acceleration
        pinned = self.stiffness + _PIN * heavy @ np.linalg.solve(self.rigid_mass, heavy.T)
        try:
            found = cho_solve(cho_factor(pinned), balanced)
        except np.linalg.LinAlgError as error:
            msg = "the frame hangs together by nothing somewhere; every plate needs fitted columns that hold it."
            raise StructureError(msg) from error
        worst = backward_error(float(np.abs(pinned).sum(axis=1).max()), balanced - pinned @ found, balanced, found)
        if not worst <= LARGEST_ERROR:
            msg = f"the equations of the frame could not be solved well enough (residual {worst:.1e})."
            raise StructureError(msg)
        energy = 0.5 * np.einsum("fc,fc->c", found, balanced)
        return FrameStatic(found.T, acceleration.T, energy)

    def modes(self, count: int) -> FrameModes:
        """Return the lowest modes that bend something.

        Parameters
        ----------
        count : int
            How many.
        """
        last = min(6 + count, len(self.stiffness)) - 1
        squares, shapes = eigh(self.stiffness, self.mass, subset_by_index=[6, last])
        return FrameModes(np.sqrt(np.maximum(squares, 0.0)) / (2 * math.pi), shapes.T)

    def effective_mass(self, load: Floats) -> float:
        """Return the mass that a blow meets: 1 / (f^t R M^-1 R^t f) of the rigid frame, for a load of size 1 [t].

        Parameters
        ----------
        load : (n,) float
            On the freedoms, of unit size: a force of 1 N, a unit vector, as `load` gives it.

        Notes
        -----
        For one force it is 1 / (1 / m + d^t I^-1 d), d its moment about the centre of gravity per newton.
        """
        arm = self.rigid.T @ load
        return float(1 / (arm @ np.linalg.solve(self.rigid_mass, arm)))
