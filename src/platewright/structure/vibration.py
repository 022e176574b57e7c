"""Vibration of plates held at points, and of a free frame under forces that turn with a rotor. Units mm, N, t, s, rad.

Reference: ISO 21940-11, balance quality G = e omega (from memory): e is how far the centre of gravity of the rotor lies
off its axis.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import eigh
from scipy.sparse import csc_array
from scipy.sparse.linalg import splu

from platewright.foundation.errors import StructureError
from platewright.structure.factor import LARGEST_ERROR, backward_error
from platewright.structure.frame import Frame, FrameModes
from platewright.structure.links import rigid_arm
from platewright.structure.points import Point

__all__ = ["held_modes", "motion_amplitude", "motion_shares", "turn_amplitude", "turning_response", "unbalance_force"]

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]


def unbalance_force(mass: float, quality: float, speed: float) -> float:
    """Return the force of an unbalanced rotor, m e omega^2 [N].

    Parameters
    ----------
    mass : float
        Of what turns [t].
    quality : float
        G = e omega [mm/s].
    speed : float
        Of rotation [rad/s].

    Examples
    --------
    >>> round(unbalance_force(4.2e-6, 6.3, 1000.0), 6)
    0.02646
    """
    return mass * quality * speed


def turning_response(frame: Frame, seats: list[tuple[Point, Floats]], speed: float, loss: float) -> Complex:
    """Return what a force of 1 N that turns about z at each seat does, (n_seats, n) [mm], [rad] per [N].

    Parameters
    ----------
    frame : Frame
        Free.
    seats : list of (Point, (3,) float)
        What carries each rotor, and where its force acts [mm].
    speed : float
        Of rotation [rad/s].
    loss : float
        Loss factor of all stiffness [-].

    Raises
    ------
    StructureError
        If the answer does not satisfy the equations.

    Notes
    -----
    (K (1 + i eta) - omega^2 M) q = f, f = (1, -i, 0) at the seat: the real part of q e^(i omega t) is the motion.
    """
    dynamic = csc_array(frame.stiffness * (1 + 1j * loss) - speed**2 * frame.mass)
    loads = np.array(
        [
            frame.load(point, np.array([1.0, 0, 0, 0, 0, 0]), at)
            - 1j * frame.load(point, np.array([0, 1.0, 0, 0, 0, 0]), at)
            for point, at in seats
        ]
    )
    right = np.ascontiguousarray(loads.T)
    found: Complex = splu(dynamic, permc_spec="MMD_AT_PLUS_A").solve(right)
    worst = backward_error(float(abs(dynamic).sum(axis=1).max()), right - dynamic @ found, right, found)
    if not worst <= LARGEST_ERROR:
        msg = f"the response to the rotors could not be solved well enough (residual {worst:.1e})."
        raise StructureError(msg)
    return found.T


def motion_amplitude(point: Point, response: Complex) -> Floats:
    """Return how far a point moves each way along x, y and z, (n_seats, 3) [mm].

    Parameters
    ----------
    point : Point
        Where.
    response : (n_seats, n) complex
        As `turning_response` gives it.
    """
    found: Floats = np.abs(response[:, point.columns] @ point.matrix[:3].T)
    return found


def turn_amplitude(point: Point, response: Complex) -> Floats:
    """Return how far a point turns each way about x, y and z, (n_seats, 3) [rad].

    Parameters
    ----------
    point : Point
        Where.
    response : (n_seats, n) complex
        As `turning_response` gives it.
    """
    found: Floats = np.abs(response[:, point.columns] @ point.matrix[3:].T)
    return found


def held_modes(frame: Frame, plates: Sequence[int], held: Sequence[int], count: int) -> FrameModes:
    """Return the lowest modes of some plates alone, points of the first one held, with the masses that they carry.

    Parameters
    ----------
    frame : Frame
        Whose masses are carried.
    plates : sequence of int
        Their numbers; all but the first hang on the others by the frame's links.
    held : sequence of int
        Numbers of points of the first plate that do not move or turn.
    count : int
        How many.

    Raises
    ------
    StructureError
        If no point is held.

    Notes
    -----
    Shapes are of all the frame's freedoms, 0 in what is held or left out, with a modal mass of 1 t.
    """
    if not held:
        msg = "a plate alone vibrates only where some point of it is held."
        raise StructureError(msg)
    stiffness = np.zeros_like(frame.stiffness)
    for plate in plates:
        inner = slice(int(frame.starts[plate]), int(frame.starts[plate + 1]))
        stiffness[inner, inner] = frame.plates[plate].reduced.stiffness
    alone = np.concatenate([np.arange(frame.starts[plate], frame.starts[plate + 1]) for plate in plates])
    for spring in frame.springs:
        near, far = spring.near.at(spring.position), spring.far.at(spring.position)
        columns = np.concatenate([near.columns, far.columns])
        if np.isin(columns, alone).all():
            apart = np.concatenate([-near.matrix, far.matrix], axis=1)
            np.add.at(stiffness, np.ix_(columns, columns), apart.T @ spring.stiffness @ apart)
    fixed = int(frame.starts[plates[0]]) + (6 * np.asarray(held)[:, None] + np.arange(6)).ravel()
    free = np.setdiff1d(alone, fixed)
    own = np.ix_(free, free)
    squares, shapes = eigh(stiffness[own], frame.mass[own], subset_by_index=[0, min(count, len(free)) - 1])
    whole = np.zeros((shapes.shape[1], len(stiffness)))
    whole[:, free] = shapes.T
    return FrameModes(np.sqrt(np.maximum(squares, 0.0)) / (2 * math.pi), whole)


def motion_shares(motion: Floats, mass: Floats, axes: Floats) -> Floats:
    """Return how kinetic energy is shared by three ways of moving and three of turning, (6,), sum 1 [-].

    Parameters
    ----------
    motion : (6,) float
        Of a point.
    mass : (6, 6) float
        That it carries, for the same motions.
    axes : (3, 3) float
        Columns: along which it moves and about which it turns.

    Notes
    -----
    Each is taken as if it were alone; what couples them is left out.
    """
    turn = rigid_arm(axes)
    own: Floats = np.diag(turn.T @ mass @ turn) * (turn.T @ motion) ** 2
    return own / (own.sum() or 1.0)
