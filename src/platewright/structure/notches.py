"""Where a plate is weakened by a notch: rims that curve inwards, sharp inside corners, bolted holes.

Stress is steepest there, and at a rigid rim or a sharp corner it has no finite value. Plies are judged a characteristic
distance off, by the point-stress criterion of Whitney and Nuismer 1974, which holds for a notch of any size; what lies
nearer is left out. Lengths in mm, in the part's axes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.geometry.curves import curves_of
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.probe import Probe
from platewright.structure.failure import CHARACTERISTIC_DISTANCE, points_round_hole

__all__ = ["LARGEST", "Notches", "notches_of", "on_plate"]

Floats = NDArray[np.float64]

LARGEST = 10.0
"""Radius from which plies are judged at the rim: a characteristic distance off it, stress is a fifth less [mm]."""
_STEP = 0.25  # between points of a rim [mm]
_CLEAR = 0.01  # from any edge: sides of triangles follow arcs more closely than this [mm]


@dataclass(frozen=True)
class Notches:
    """Points of notched rims and points a characteristic distance off them, on the plate, (n, 2) and (m, 2) [mm]."""

    rims: Floats
    off: Floats


def notches_of(outline: Outline, sharp: Sequence[tuple[float, float]] = (), bolted: Sequence[Circle] = ()) -> Notches:
    """Return the notches of a plate.

    Parameters
    ----------
    outline : Outline
        As cut.
    sharp : sequence of (float, float)
        Its sharp inside corners.
    bolted : sequence of Circle
        Those of its round holes that are bolted, whatever their size; others count up to `LARGEST`.
    """
    rims, off = [np.array(sharp, dtype=float).reshape(-1, 2)], [points_round_hole(x, y, 0.0) for x, y in sharp]
    for c in outline.circles:
        if c in bolted or c.radius < LARGEST:
            rims.append(points_round_hole(c.x, c.y, c.radius, 0.0))
            off.append(points_round_hole(c.x, c.y, c.radius))
    for loop, inwards in ((outline.outer, -1.0), *((loop, 1.0) for loop in outline.inner)):
        edges = curves_of([loop.vertices]).arcs
        tight = edges.take((edges.radius < LARGEST) & (edges.sweep * inwards > 0.0))
        for arc, length in enumerate(tight.length.tolist()):
            steps = max(4, math.ceil(length / _STEP))
            points = tight.take(np.full(steps + 1, arc))
            at = np.linspace(0.0, 1.0, steps + 1)
            rim = points.at(at)
            beyond = rim - 1j * inwards * CHARACTERISTIC_DISTANCE * points.tangent(at)
            rims.append(np.column_stack([rim.real, rim.imag]))
            off.append(np.column_stack([beyond.real, beyond.imag]))
    return Notches(np.concatenate(rims), on_plate(outline, np.concatenate([np.zeros((0, 2)), *off])))


def on_plate(outline: Outline, points: Floats) -> Floats:
    """Return those of some points that lie on a plate, clear of what a curved side may miss of an edge.

    Parameters
    ----------
    outline : Outline
        The plate as cut.
    points : (n, 2) float
        Anywhere [mm].
    """
    if not len(points):
        return points
    probe, pairs = Probe(outline), [(float(x), float(y)) for x, y in points]
    return points[probe.contains(pairs) & (probe.distance(pairs) > _CLEAR)]
