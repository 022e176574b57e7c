"""A free body that runs into something: modes with a spring that only pushes, stepped in time, energy conserved.

The body comes with a speed along the blow and meets an obstacle that does not move through a contact spring. All is in
proportion to the speed, because a spring that only pushes and starts without a gap is: one run says everything. The
force of the contact is internal: it depends on the spring, which is hardly known, and is no result.

Units mm, N, t, s. References: N. M. Newmark 1959, average acceleration (unconditionally stable, conserves the energy of
linear motion); residual compliance of modes left out, R. H. MacNeal 1971 (both from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import eigh

from platewright.structure.frame import Frame

__all__ = ["ModalBody", "Strike", "crash_index", "modal_body", "strike"]

Floats = NDArray[np.float64]

_RIGID = 6
_STEPS = 60  # to a period of the fastest motion, contact included [-]
_LONGEST = 6.0  # contact durations of the rigid body after which a run ends [-]
_SWINGS = (
    2.0  # and half periods of the rigid body on contact and structure: a struck motor bounces, its arm bends later
)


@dataclass(frozen=True)
class ModalBody:
    """A body by its modes, each of modal mass 1 t; rigid motions first, with squares of 0.

    Parameters
    ----------
    squares : (n,) float
        Angular frequencies squared, in rad^2/s^2.
    shapes : (n, n_freedoms) float
        On the freedoms.
    """

    squares: Floats
    shapes: Floats


@dataclass(frozen=True)
class Strike:
    """One blow at one speed.

    Parameters
    ----------
    times : (n,) float
        From the first touch [s].
    motion : (n, n_modes) float
        Of each mode.
    push : (n,) float
        Of the contact; internal [N].
    drift : float
        Largest change of total energy by the energy at first touch; how exact the steps are [-].
    contact_time : float
        From first touch to last [s].
    """

    times: Floats
    motion: Floats
    push: Floats
    drift: float
    contact_time: float


def modal_body(frame: Frame, count: int) -> ModalBody:
    """Return a frame by its rigid motions and its lowest modes.

    Parameters
    ----------
    frame : Frame
        Free.
    count : int
        How many modes beside the rigid ones.
    """
    last = min(_RIGID + count, len(frame.stiffness)) - 1
    squares, shapes = eigh(frame.stiffness, frame.mass, subset_by_index=[0, last])
    squares[:_RIGID] = 0.0
    return ModalBody(np.maximum(squares, 0.0), np.ascontiguousarray(shapes.T))


def strike(body: ModalBody, share: Floats, velocity: Floats, stiffness: float, compliance: float = 0.0) -> Strike:
    """Return what a body does that runs into an obstacle.

    Parameters
    ----------
    body : ModalBody
        As it comes.
    share : (n_modes,) float
        How far each mode moves the struck place along the force that the obstacle puts on it.
    velocity : (n_modes,) float
        Of each mode at first touch; the struck place must move against that force [mm/s].
    stiffness : float
        Of the contact [N/mm].
    compliance : float
        Of the struck place by the modes that are left out [mm/N].

    Raises
    ------
    ValueError
        If the struck place does not move towards the obstacle.

    Examples
    --------
    A mass on a spring turns round after half a period: pi sqrt(m / k).

    >>> body = ModalBody(np.array([0.0]), np.array([[1.0]]))
    >>> found = strike(body, np.array([1.0]), np.array([-100.0]), 400.0)
    >>> abs(found.contact_time * 20 / math.pi - 1) < 0.03
    True
    """
    if float(share @ velocity) >= 0:
        msg = "the struck place must move towards the obstacle."
        raise ValueError(msg)
    spring = 1 / (1 / stiffness + compliance)
    nothing = float(share @ share)
    fastest = math.sqrt(float(body.squares.max()) + spring * nothing)
    step = 2 * math.pi / fastest / _STEPS
    rigid = body.squares == 0.0
    slow = math.pi / math.sqrt(spring * float(share[rigid] @ share[rigid]) or spring * nothing)
    gives_way = 1 / spring + float((share[~rigid] ** 2 / body.squares[~rigid]).sum())
    swing = math.pi * math.sqrt(gives_way / (float(share[rigid] @ share[rigid]) or nothing))
    count = math.ceil(max(_LONGEST * slow, _SWINGS * swing) / step)
    soft = 1 + body.squares * step**2 / 4
    gives = float((share**2 / soft).sum()) * step**2 / 4
    q, v, a = np.zeros(len(share)), velocity.astype(float), np.zeros(len(share))
    motion, push, energy = np.zeros((count + 1, len(q))), np.zeros(count + 1), np.zeros(count + 1)
    energy[0] = 0.5 * float(v @ v)
    for n in range(1, count + 1):
        ahead = q + step * v + step**2 / 4 * a
        free = float(share @ (ahead / soft))
        force = -spring * free / (1 + gives * spring) if free < 0 else 0.0
        q_new = (ahead + step**2 / 4 * share * force) / soft
        a_new = share * force - body.squares * q_new
        q, v, a = q_new, v + step / 2 * (a + a_new), a_new
        motion[n], push[n] = q, force
        energy[n] = 0.5 * float(v @ v) + 0.5 * float(body.squares @ q**2) + 0.5 * force**2 / spring
    touching = np.flatnonzero(push)
    drift = float(np.abs(energy - energy[0]).max() / energy[0])
    times: Floats = np.arange(count + 1, dtype=np.float64) * step
    return Strike(times, motion, push, drift, float((touching[-1] + 0.5) * step))


def crash_index(energies: Sequence[float], mass: float) -> float:
    """Return an index of our own that ranks designs: 100 times the geometric mean of energies by mass, per 1 J/kg.

    Parameters
    ----------
    energies : sequence of float
        To first failure, one for each kind of hit [J].
    mass : float
        Of the flying craft [kg].

    Notes
    -----
    A geometric mean counts twice the energy in one kind of hit as much as in any other. The index has no physical
    meaning beyond that; no speed and no height follows from it.

    Examples
    --------
    >>> round(crash_index([1.0, 4.0], 0.5))
    400
    """
    return 100 * math.exp(sum(math.log(e / mass) for e in energies) / len(energies))
