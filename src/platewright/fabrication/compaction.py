"""Moving all pieces of a sheet a little at once so that it is used less far along: linear programs. Lengths in mm.

For a corner of one piece and its nearest point on another, the distance along the line between them is linear in both
shifts and never more than the true one. Least length under these distances, within a small step, is a linear program;
the step is shortened until every pair keeps its spacing, and the next begins where it ends.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.optimize import linprog
from scipy.sparse import coo_array

from platewright.fabrication.nest import Stock

__all__ = ["compacted"]

_STEP = 1.5  # of one program, in x and y [mm]
_REACH = 1.5 * _STEP  # a little more than a piece moves in one program [mm]
_FINE = 0.004  # pieces are simplified outwards by as much [mm]
_PROGRAMS = 40  # at most
_HALVINGS = 4  # of a step that comes too near
_LEAST = 0.02  # what a program must gain [mm]

Floats = NDArray[np.float64]


def compacted(polygons: Sequence[shapely.Polygon], stock: Stock, spacing: float) -> Floats:
    """Return the shift of each piece.

    Parameters
    ----------
    polygons : sequence of shapely.Polygon
        Pieces that keep the spacing.
    stock : Stock
        The sheet.
    spacing : float
        Least distance between two pieces, and to clamps [mm].

    Returns
    -------
    ndarray, shape (n, 2)
        [mm]
    """
    shapes, coarse = np.array(polygons, dtype=object), _coarse(polygons)
    total = np.zeros((len(shapes), 2))
    for _ in range(_PROGRAMS):
        before = float(shapely.bounds(shapes)[:, 2].max())
        step = _program(coarse, stock, spacing)
        kept = None if step is None else _kept(shapes, step, stock, spacing)
        if kept is None:
            break
        total += kept
        shapes, coarse = _shifted(shapes, kept), _shifted(coarse, kept)
        if float(shapely.bounds(shapes)[:, 2].max()) > before - _LEAST:
            break
    return total


def _coarse(polygons: Sequence[shapely.Polygon]) -> NDArray[np.object_]:
    """Return polygons of fewer corners that hold the pieces."""
    outer = shapely.buffer(np.array(polygons, dtype=object), _FINE, join_style="mitre")
    return np.asarray(shapely.simplify(outer, _FINE), dtype=object)


def _program(shapes: NDArray[np.object_], stock: Stock, spacing: float) -> Floats | None:
    """Return the shifts that shorten the sheet most as far as nearest points tell."""
    n = len(shapes)
    one, other, normal, distance = _contacts(shapes, spacing + 2 * _REACH)
    held = _clamp_contacts(shapes, stock, spacing + _REACH)
    one = np.concatenate([one, held[0]])
    normal, distance = np.concatenate([normal, held[1]]), np.concatenate([distance, held[2]])
    row = np.arange(len(one))
    free = row[: len(other)]
    entries = [(row, 2 * one, normal[:, 0]), (row, 2 * one + 1, normal[:, 1])]
    entries += [(free, 2 * other, -normal[free, 0]), (free, 2 * other + 1, -normal[free, 1])]
    bounds = shapely.bounds(shapes)
    pieces = np.arange(n)
    last = len(one) + pieces  # x1 + dx <= length
    entries += [(last, 2 * pieces, -np.ones(n)), (last, np.full(n, 2 * n), np.ones(n))]
    rows, columns, values = (np.concatenate(parts) for parts in zip(*entries, strict=True))
    matrix = coo_array((-values, (rows, columns)), shape=(len(one) + n, 2 * n + 1)).tocsr()
    least = np.concatenate([np.minimum(spacing - distance, 0.0), bounds[:, 2]])
    m = stock.margin
    low = np.maximum(-_STEP, np.column_stack([m - bounds[:, 0], m - bounds[:, 1]]))
    high = np.column_stack([np.full(n, _STEP), np.minimum(_STEP, stock.width - m - bounds[:, 3])])
    limits = [*zip(np.minimum(low, 0).ravel(), np.maximum(high, 0).ravel(), strict=True), (0.0, None)]
    cost = np.zeros(2 * n + 1)
    cost[0 : 2 * n : 2] = 1e-3 / n  # all to the left, beside the length
    cost[-1] = 1.0
    found = linprog(cost, A_ub=matrix, b_ub=-least, bounds=limits, method="highs")
    return found.x[: 2 * n].reshape(n, 2) if found.status == 0 else None


def _contacts(shapes: NDArray[np.object_], reach: float) -> tuple[NDArray[np.intp], NDArray[np.intp], Floats, Floats]:
    """Return corners near other pieces: whose, near which, the direction away from it, and the distance."""
    tree = shapely.STRtree(shapes)
    corners, owner = shapely.get_coordinates(shapes, return_index=True)
    points = shapely.points(corners)
    index, other = tree.query(points, predicate="dwithin", distance=reach)
    apart = owner[index] != other
    index, other = index[apart], other[apart]
    return owner[index], other, *_apart(shapes[other], points[index])


def _clamp_contacts(shapes: NDArray[np.object_], stock: Stock, reach: float) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Return pieces near a clamp, the direction away from it, and the distance."""
    boxes = np.array([shapely.box(x, y, x + a, y + b) for x, y, a, b in stock.clamps], dtype=object)
    if not len(boxes):
        return np.zeros(0, dtype=np.intp), np.zeros((0, 2)), np.zeros(0)
    near, piece = shapely.STRtree(shapes).query(boxes, predicate="dwithin", distance=reach)
    return piece, *_apart(boxes[near], shapes[piece])


def _apart(lying: NDArray[np.object_], near: NDArray[np.object_]) -> tuple[Floats, Floats]:
    """Return the direction and the distance from each of some shapes to its partner, between nearest points."""
    lines = shapely.get_coordinates(shapely.shortest_line(lying, near)).reshape(-1, 2, 2)
    away = lines[:, 1] - lines[:, 0]
    distance = np.hypot(away[:, 0], away[:, 1])
    return away / distance[:, None], distance


def _kept(shapes: NDArray[np.object_], step: Floats, stock: Stock, spacing: float) -> Floats | None:
    """Return a step, shortened until pieces keep their spacing; None if they never do."""
    for _ in range(_HALVINGS + 1):
        moved = _shifted(shapes, step)
        near = shapely.STRtree(moved).query(moved, predicate="dwithin", distance=spacing)
        held = bool(stock.clamps) and bool(shapely.dwithin(moved, stock.clamped, spacing).any())
        if near.shape[1] == len(moved) and not held:  # each is near itself alone
            return step
        step = step / 2
    return None


def _shifted(shapes: NDArray[np.object_], step: Floats) -> NDArray[np.object_]:
    coordinates, index = shapely.get_coordinates(shapes, return_index=True)
    return np.asarray(shapely.set_coordinates(shapes.copy(), coordinates + step[index]), dtype=object)
