"""How rotors share thrust and moments: effectiveness of each, shares of least norm, and the most that can be had.

A wrench is (thrust along z, moment about x, y and z) about the centre of gravity; x forward, y left, z up, so that
roll is positive with the left side up, pitch with the nose down, yaw with the nose to the left. A rotor that turns
counter-clockwise seen from above has spin +1 and pushes the frame round clockwise. Any number of rotors.
Sources: statics; minimum-norm shares: Moore-Penrose inverse; the most: a linear programme over the box of thrusts.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import linprog, lsq_linear
from scipy.sparse import block_diag

__all__ = ["WRENCH", "Query", "allocate", "effectiveness", "is_controllable", "mixer", "most_along", "most_of_each"]

Array = NDArray[np.float64]
WRENCH = ("thrust", "roll", "pitch", "yaw")
_RANK = 1e-6  # singular values below this share of the largest count as none
_FIRM = 1e3  # weight of the wrench against that of equal thrusts


@dataclass(frozen=True)
class Query:
    """What `most_along` is asked: effectiveness, direction, what is held, and whether thrust is free."""

    matrix: Array
    direction: ArrayLike
    held: ArrayLike
    thrust_free: bool = False


def effectiveness(places: ArrayLike, axes: ArrayLike, spins: ArrayLike, torque_per_thrust: ArrayLike) -> Array:
    """Return the wrench of each rotor for a thrust of 1 N.

    Parameters
    ----------
    places : (n, 3) array
        Discs from the centre of gravity [m].
    axes : (n, 3) array
        Directions of their thrust, of length 1 [-].
    spins : (n,) array
        +1 counter-clockwise seen from above, -1 clockwise [-].
    torque_per_thrust : float or (n,) array
        Shaft torque over thrust [m].

    Returns
    -------
    (4, n) array
        Rows as in `WRENCH`; moments in N m for 1 N.

    Examples
    --------
    >>> effectiveness([[0.1, 0.1, 0.0]], [[0, 0, 1]], [1], 0.01)[:, 0].round(3).tolist()
    [1.0, 0.1, -0.1, -0.01]
    """
    r, a = np.asarray(places, dtype=np.float64), np.asarray(axes, dtype=np.float64)
    reaction = (np.asarray(spins, dtype=np.float64) * np.asarray(torque_per_thrust, dtype=np.float64))[:, None] * a
    return np.vstack([a[:, 2], (np.cross(r, a) - reaction).T])


def is_controllable(matrix: Array) -> bool:
    """Return whether thrust and all three moments can be had independently of one another.

    Parameters
    ----------
    matrix : (4, n) array
        From `effectiveness`.
    """
    scaled = matrix / np.maximum(np.abs(matrix).max(axis=1, keepdims=True), 1e-12)
    return bool(np.linalg.matrix_rank(scaled, tol=_RANK * np.linalg.norm(scaled, 2)) == len(WRENCH))


def allocate(matrix: Array, wrench: ArrayLike, low: float, high: float) -> Array:
    """Return thrusts within limits that give a wrench, or come nearest to it, as equal to one another as may be.

    Parameters
    ----------
    matrix : (4, n) array
        From `effectiveness`.
    wrench : (4,) array
        What is asked for [N] and [N m].
    low, high : float
        Limits of each rotor's thrust [N].

    Returns
    -------
    (n,) array
        Thrusts [N]: those of least norm where these lie within the limits, else by bounded least squares.

    Notes
    -----
    Each row is scaled by its largest entry, so that a moment weighs as the thrust that makes it.
    """
    scale = np.maximum(np.abs(matrix).max(axis=1), 1e-12)
    rows, wanted = matrix / scale[:, None], np.asarray(wrench, dtype=np.float64) / scale
    free = np.linalg.pinv(rows) @ wanted
    if np.all((free >= low) & (free <= high)):
        return np.asarray(free)
    n = rows.shape[1]
    even = np.full(n, wanted[0] / n)
    found = lsq_linear(np.vstack([_FIRM * rows, np.eye(n)]), np.concatenate([_FIRM * wanted, even]), (low, high))
    return np.asarray(found.x)


def most_along(
    matrix: Array, direction: ArrayLike, low: float, high: float, held: ArrayLike, *, thrust_free: bool = False
) -> float:
    """Return how far a wrench can go in a direction of moment before a rotor is at a limit.

    Parameters
    ----------
    matrix : (4, n) array
        From `effectiveness`.
    direction : (3,) array
        Moments about x, y, z that grow together; the answer is in its length.
    low, high : float
        Limits of each rotor's thrust [N].
    held : (4,) array
        The wrench to start from [N] and [N m].
    thrust_free : bool
        Let thrust go where it must.

    Returns
    -------
    float
        The most s of held + s direction [-]; nan where not even `held` can be given.

    Notes
    -----
    Linear programme: max s with B T = held + s d, low <= T <= high.

    Examples
    --------
    >>> places = [[0.1, 0.1, 0], [-0.1, 0.1, 0], [-0.1, -0.1, 0], [0.1, -0.1, 0]]
    >>> b = effectiveness(places, [[0, 0, 1]] * 4, [-1, 1, -1, 1], 0.01)
    >>> round(most_along(b, [1, 0, 0], 0.0, 10.0, [10.0, 0, 0, 0]), 6)
    1.0
    """
    return float(most_of_each([Query(matrix, direction, held, thrust_free)], low, high)[0])


def most_of_each(queries: Sequence[Query], low: float, high: float) -> Array:
    """Return the answers of `most_along` to several queries, by one linear programme of independent blocks.

    Parameters
    ----------
    queries : sequence of Query
        What is asked.
    low, high : float
        Limits of each rotor's thrust [N].
    """
    found = _programme(queries, low, high)
    if found is not None or len(queries) == 1:
        return np.full(len(queries), np.nan) if found is None else found
    return np.concatenate([most_of_each([q], low, high) for q in queries])  # some of them cannot be held


def mixer(matrix: Array, low: float, high: float) -> Callable[[Array], Array]:
    """Return a plain mixer: shares of least norm, and what to give up when rotors are at their limits.

    Parameters
    ----------
    matrix : (4, n) array
        From `effectiveness`.
    low, high : float
        Limits of each rotor's thrust [N].

    Returns
    -------
    callable
        From wrenches (..., 4) to thrusts (..., n) within the limits.

    Notes
    -----
    First roll and pitch are shrunk together until their differences between rotors fit, then yaw takes what is left of
    the range, and thrust is moved up or down to make room for both (common practice, no source).
    """
    shares = np.linalg.pinv(matrix)
    room = high - low

    def mix(wrench: Array) -> Array:
        tilting = wrench[..., 1:3] @ shares[:, 1:3].T
        turning = wrench[..., 3:] @ shares[:, 3:].T
        tilting = tilting * _shrink(np.ptp(tilting, axis=-1), room)
        turning = turning * _largest(tilting, turning, room)
        moments = tilting + turning
        base = wrench[..., :1] @ shares[:, :1].T
        total = base + moments
        up = np.maximum(low - total.min(axis=-1, keepdims=True), 0.0)
        down = np.maximum(total.max(axis=-1, keepdims=True) - high, 0.0)
        return np.asarray(np.clip(total + up - down, low, high))

    return mix


def _programme(queries: Sequence[Query], low: float, high: float) -> Array | None:
    blocks, right, cost, bounds, last = [], [], [], [], []
    for q in queries:
        rows = slice(1, None) if q.thrust_free else slice(None)
        along = np.concatenate([[0.0], np.asarray(q.direction, dtype=np.float64)])
        n = q.matrix.shape[1]
        scale = np.maximum(np.abs(q.matrix[rows]).max(axis=1, keepdims=True), 1e-12)
        blocks.append(np.hstack([q.matrix, -along[:, None]])[rows] / scale)
        right.append(np.asarray(q.held, dtype=np.float64)[rows] / scale[:, 0])
        cost += [*np.zeros(n), -1.0]
        bounds += [*[(low, high)] * n, (0.0, None)]
        last.append(len(cost) - 1)
    found = linprog(cost, A_eq=block_diag(blocks), b_eq=np.concatenate(right), bounds=bounds, method="highs")
    return np.asarray(found.x[last], dtype=np.float64) if found.status == 0 else None


def _shrink(spread: Array, room: float) -> Array:
    return np.asarray(np.minimum(1.0, room / np.maximum(spread, 1e-12)))[..., None]


def _largest(first: Array, second: Array, room: float) -> Array:
    """Return the largest share up to 1 of `second` that keeps all differences of first + share second within room."""
    a = first[..., :, None] - first[..., None, :]
    b = second[..., :, None] - second[..., None, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        each = np.where(b > 1e-12, (room - a) / b, np.inf)
    return np.asarray(np.clip(each.min(axis=(-2, -1)), 0.0, 1.0))[..., None]
