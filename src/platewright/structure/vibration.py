"""Steady vibration of a free frame under forces that turn with a rotor. Units mm, N, t, s, rad.

Reference: ISO 21940-11, balance quality G = e omega (from memory): e is how far the centre of gravity of the rotor lies
off its axis.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from platewright.structure.frame import Frame
from platewright.structure.points import Point

__all__ = ["motion_amplitude", "turning_response", "unbalance_force"]

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

    Notes
    -----
    (K (1 + i eta) - omega^2 M) q = f, f = (1, -i, 0) at the seat: the real part of q e^(i omega t) is the motion.
    """
    dynamic = frame.stiffness * (1 + 1j * loss) - speed**2 * frame.mass
    loads = np.array(
        [
            frame.load(point, np.array([1.0, 0, 0, 0, 0, 0]), at)
            - 1j * frame.load(point, np.array([0, 1.0, 0, 0, 0, 0]), at)
            for point, at in seats
        ]
    )
    return np.asarray(np.linalg.solve(dynamic, loads.T).T, dtype=np.complex128)


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
