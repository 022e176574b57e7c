"""Smooth curves replaced by pairs of arcs with common tangents, within a tolerance [mm].

Each piece of a curve between two parameters is replaced by the two arcs that leave and arrive with the curve's own
tangents and meet with a common one; control arms are of equal length. Where they stray from the curve the piece is
halved. Formulas: plane geometry of the condition |q2 - q1| = 2 d with q1 = p0 + d t0 and q2 = p1 - d t1.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from platewright.geometry.curves import Curves, Floats, Points, arcs_between

__all__ = ["ArcRun", "arcs_of_curve"]

_PROBES = 11  # points of each piece at which the distance is measured
_MOST_HALVINGS = 14
_NEAR = 1e-7  # share of a piece by which tangents are taken inside it, so that corners at its ends do no harm [-]
_FLAT = 1e-9  # height of an arc over its chord below which it is written as a line [mm]


@dataclass(frozen=True)
class ArcRun:
    """A run of arcs.

    Parameters
    ----------
    points : tuple of (float, float)
        From start to end [mm].
    bulges : tuple of float
        One for each edge, one less than there are points [-].
    error : float
        Largest distance of the curve from its arcs, of all that were measured [mm].
    """

    points: tuple[tuple[float, float], ...]
    bulges: tuple[float, ...]
    error: float


def arcs_of_curve(at: Callable[[Floats], Points], breaks: Sequence[float], tolerance: float) -> ArcRun:
    """Return arcs along a curve.

    Parameters
    ----------
    at : callable
        Gives the points of the curve, complex [mm], at parameters.
    breaks : sequence of float
        Ascending parameters: start, every place where the curve is less smooth, end.
    tolerance : float
        Largest distance of the curve from the arcs [mm].

    Examples
    --------
    >>> quarter = arcs_of_curve(lambda t: np.exp(1j * t), [0.0, np.pi / 2], 1e-3)
    >>> len(quarter.bulges), round(quarter.bulges[0], 6)
    (2, 0.198912)
    """
    ends = np.asarray(breaks, dtype=float)
    spans = np.column_stack([ends[:-1], ends[1:]])
    done: list[tuple[Floats, Points, Floats]] = []
    worst = 0.0
    for halving in range(_MOST_HALVINGS + 1):
        middle, bulge, error = _biarcs(at, spans)
        good = (error <= tolerance) | (halving == _MOST_HALVINGS)
        done.append((spans[good], middle[good], bulge[good]))
        worst = max(worst, float(error[good].max(initial=0.0)))
        rest = spans[~good]
        if not len(rest):
            break
        half = rest.mean(axis=1)
        spans = np.concatenate([np.column_stack([rest[:, 0], half]), np.column_stack([half, rest[:, 1]])])
    all_spans = np.concatenate([d[0] for d in done])
    order = np.argsort(all_spans[:, 0], kind="stable")
    middles = np.concatenate([d[1] for d in done])[order]
    bulges = np.concatenate([d[2] for d in done])[order]
    corners = at(np.append(all_spans[order, 0], ends[-1]))
    points = np.append(np.column_stack([corners[:-1], middles]).ravel(), corners[-1])
    return ArcRun(
        tuple((p.real, p.imag) for p in points.tolist()),
        tuple(bulges.ravel().tolist()),
        worst,
    )


def _biarcs(at: Callable[[Floats], Points], spans: Floats) -> tuple[Points, Floats, Floats]:
    """Return, per span, the point where both arcs meet, their two bulges, and the largest distance measured."""
    a, b = spans[:, 0], spans[:, 1]
    p0, p1 = at(a), at(b)
    t0, t1 = _unit(at(a + _NEAR * (b - a)) - p0), _unit(p1 - at(b - _NEAR * (b - a)))
    v, t = p1 - p0, t0 + t1
    quadratic = 2 * (1 - (t0 * t1.conj()).real)
    linear = 2 * (v * t.conj()).real
    square = np.abs(v) ** 2
    root = np.sqrt(linear**2 + 4 * quadratic * square)
    # This form of the root stays exact when the tangents are parallel.
    arm = np.where(root + linear > 0, 2 * square / np.where(root + linear > 0, root + linear, 1.0), np.abs(v) / 2)
    middle = (p0 + arm * t0 + p1 - arm * t1) / 2
    first, second = _half_turn(t0, middle - p0), _half_turn(p1 - middle, t1)
    bulge = np.column_stack([_bulge(first, middle - p0), _bulge(second, p1 - middle)])
    probes = (np.arange(_PROBES) + 1) / (_PROBES + 1)
    z = at((a[:, None] + (b - a)[:, None] * probes).ravel()).reshape(len(a), -1)
    one, two = arcs_between(p0, middle, bulge[:, 0]), arcs_between(middle, p1, bulge[:, 1])
    distance = np.stack([_distance(one, z), _distance(two, z)]).min(axis=0)
    return middle, bulge, np.where(np.isfinite(distance), distance, np.inf).max(axis=1)


def _distance(arcs: Curves, z: Points) -> Floats:
    """Return the distance of each row of points from its own arc [mm]."""
    columns = [np.abs(p - arcs.at(np.clip(arcs.fraction_of(p), 0.0, 1.0))) for p in z.T]
    return np.column_stack(columns)


def _unit(z: Points) -> Points:
    length = np.abs(z)
    result: Points = z / np.where(length > 0, length, 1.0)
    return result


def _half_turn(before: Points, after: Points) -> Floats:
    """Angle from one direction to another [rad]; twice it is the arc between tangent and chord."""
    angle: Floats = np.angle(after * before.conj())
    return angle


def _bulge(angle: Floats, chord: Points) -> Floats:
    bulge = np.tan(angle / 2)
    result: Floats = np.where(np.abs(bulge) * np.abs(chord) / 2 < _FLAT, 0.0, bulge)
    return result
