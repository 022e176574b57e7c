"""Points on the boundary of a plate: fine where curves are tight or boundaries are near, graded between.

Points lie exactly on the lines and arcs of the outline, but for steps that are too short for any cutter: those are left
out. Lengths in mm, angles in rad. Points of the plane are complex
numbers x + iy, as in `geometry.curves`.

Method: a wanted edge length is found on samples along all curves (at most the mesh size, a given turn of an arc,
four fifths of the distance to another boundary), limited in growth by distance, and integrated along each curve. Edges
within whose circle another point lies are halved until none is left (J. Ruppert 1995), so that a Delaunay
triangulation holds every edge.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.errors import StructureError
from platewright.geometry.curves import Curves, Points, curves_of
from platewright.geometry.loops import Outline, Vertex, circle_loop

__all__ = ["GROWTH", "TURN", "BoundaryMesh", "boundary_mesh", "halve", "loop_curves"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

GROWTH = 0.35  # growth of the edge length per length of distance unless told otherwise [-]
TURN = math.pi / 6  # most turning of one curved edge unless told otherwise [rad]
_ACROSS = 0.8  # edge length per width of a web between two boundaries [-]
_ROUND = (
    2.0  # a boundary point belongs to another stretch where the way along is this much longer than the distance [-]
)
_ROUNDS = 14  # halvings after which an edge is too short to be meant [-]
_STEP = 0.01  # edges shorter than this are left out: they come of arcs that nearly touch a line [mm]
_LEAST = 1e-3  # shortest edge that a plate can want, 1 um [mm]


@dataclass(frozen=True)
class BoundaryMesh:
    """Edges of a mesh along closed boundaries, one per item; each begins where its point lies.

    Parameters
    ----------
    curves : Curves
        Lines and arcs of all loops: the outer one, inner ones, then round holes.
    loop : (n_edges,) int
        Number of the loop, 0 for the outer one.
    curve : (n_edges,) int
        Which curve the edge lies on.
    first, last : (n_edges,) float
        Where on the curve it begins and ends, as a fraction of its length [-].
    following : (n_edges,) int
        The edge that goes on from its end.
    size : (n_edges,) float
        Length wanted at its point [mm].
    growth : float
        Growth of the wanted length per length of distance [-].
    """

    curves: Curves
    loop: Ints
    curve: Ints
    first: Floats
    last: Floats
    following: Ints
    size: Floats
    growth: float

    @property
    def points(self) -> Points:
        """Where the edges begin."""
        return self.curves.take(self.curve).at(self.first)

    @property
    def middles(self) -> Points:
        """Points of the curve halfway along each edge."""
        return self.curves.take(self.curve).at((self.first + self.last) / 2)


def boundary_mesh(outline: Outline, size: float, turn: float = TURN, growth: float = GROWTH) -> BoundaryMesh:
    """Return edges along the boundary of a plate.

    Parameters
    ----------
    outline : Outline
        The plate.
    size : float
        Longest edge wanted [mm].
    turn : float
        Most turning of one curved edge [rad].
    growth : float
        Growth of the edge length per length of distance [-].

    Raises
    ------
    StructureError
        If boundaries touch or cross, so that edges would shrink without end.
    """
    parts = loop_curves(outline)
    curves = Curves.joined(parts)
    loop_of = np.repeat(np.arange(len(parts)), [len(p) for p in parts])
    wanted = _Sizes(curves, loop_of, size, turn, growth)
    curve, first, last, lengths = [], [], [], []
    for n in range(len(curves)):
        steps, sizes = wanted.divide(n)
        curve.append(np.full(len(steps) - 1, n))
        first.append(steps[:-1])
        last.append(steps[1:])
        lengths.append(sizes[:-1])
    curve_of = np.concatenate(curve)
    loop = loop_of[curve_of]
    edges = BoundaryMesh(
        curves,
        loop,
        curve_of,
        np.concatenate(first),
        np.concatenate(last),
        _following(loop),
        np.concatenate(lengths),
        growth,
    )
    for _ in range(_ROUNDS):
        crowded = _crowded(edges)
        if not crowded.any():
            return edges
        edges = halve(edges, crowded)
    z = edges.points[np.argmax(crowded)]
    msg = (
        f"a mesh cannot be made: boundaries touch or cross near ({z.real:.2f}, {z.imag:.2f}) mm; "
        "keep every hole and opening clear of the others and of the edge."
    )
    raise StructureError(msg)


def loop_curves(outline: Outline) -> list[Curves]:
    """Return the lines and arcs of each loop that points are put on: the outer one, inner ones, then round holes."""
    loops = [outline.outer, *outline.inner, *(circle_loop(c) for c in outline.circles)]
    return [curves_of([_without_steps(loop.vertices)]) for loop in loops]


def halve(edges: BoundaryMesh, chosen: Bools) -> BoundaryMesh:
    """Return the boundary with the chosen edges halved.

    Parameters
    ----------
    edges : BoundaryMesh
        The edges.
    chosen : (n_edges,) bool
        Which to halve.

    Raises
    ------
    StructureError
        If one is already too short to be meant.
    """
    span = edges.curves.length[edges.curve] * (edges.last - edges.first)
    if (span[chosen] < _LEAST).any():
        z = edges.points[np.argmax(chosen & (span < _LEAST))]
        msg = (
            f"a mesh cannot be made: edges shrink without end near ({z.real:.2f}, {z.imag:.2f}) mm; "
            "look there for boundaries that touch, or a corner that is sharper than 10 degrees."
        )
        raise StructureError(msg)
    index = np.repeat(np.arange(len(chosen)), np.where(chosen, 2, 1))
    second = np.concatenate([[False], index[1:] == index[:-1]])
    has_second = np.concatenate([second[1:], [False]])
    middle = (edges.first + edges.last)[index] / 2
    loop = edges.loop[index]
    return BoundaryMesh(
        edges.curves,
        loop,
        edges.curve[index],
        np.where(second, middle, edges.first[index]),
        np.where(has_second, middle, edges.last[index]),
        _following(loop),
        np.where(chosen, edges.size / 2, edges.size)[index],
        edges.growth,
    )


class _Sizes:
    """Wanted edge lengths on samples of all curves."""

    def __init__(self, curves: Curves, loop: Ints, size: float, turn: float, growth: float) -> None:
        length = curves.length
        cap = np.where(curves.is_arc, np.minimum(size, curves.radius * turn), size)
        counts = np.maximum(np.ceil(length / (cap / 2)), 1).astype(np.intp)
        self.curve = np.repeat(np.arange(len(curves)), counts)
        ordinal = np.arange(len(self.curve)) - np.repeat(np.cumsum(counts) - counts, counts)
        self.fraction = (ordinal + 0.5) / counts[self.curve]
        z = curves.take(self.curve).at(self.fraction)
        apart = np.abs(z[:, None] - z[None, :])
        path = self._paths(length, loop)
        gap = np.where(path > _ROUND * apart, apart, np.inf).min(axis=1)
        limit = np.minimum(np.minimum(cap, length)[self.curve], _ACROSS * gap)
        self.size: Floats = (limit[None, :] + growth * apart).min(axis=1)
        self.length = length
        self.start = np.cumsum(counts) - counts
        self.counts = counts

    def _paths(self, length: Floats, loop: Ints) -> Floats:
        """Return the shorter way along the boundary between samples, infinite between loops [mm]."""
        before = np.cumsum(length) - length
        where = before[self.curve] + self.fraction * length[self.curve]
        own = loop[self.curve]
        total = np.bincount(loop, weights=length)[own]
        way = np.abs(where[:, None] - where[None, :])
        way = np.minimum(way, total[:, None] - way)
        return np.where(own[:, None] == own[None, :], way, np.inf)

    def divide(self, n: int) -> tuple[Floats, Floats]:
        """Return fractions at which one curve is divided, ends included, and the sizes there [-], [mm]."""
        own = slice(self.start[n], self.start[n] + self.counts[n])
        size, length = self.size[own], self.length[n]
        share = length / self.counts[n] / size
        total = np.concatenate([[0.0], np.cumsum(share)])
        count = max(1, math.ceil(total[-1] - 0.15))
        grid = np.linspace(0.0, 1.0, self.counts[n] + 1)
        steps = np.interp(np.linspace(0.0, total[-1], count + 1), total, grid)
        steps[0], steps[-1] = 0.0, 1.0
        return steps, np.interp(steps, self.fraction[own], size)


def _without_steps(vertices: Sequence[Vertex]) -> Sequence[Vertex]:
    """Leave out edges that are too short to be meant; of their ends the one goes that has a straight edge beside it."""
    kept = list(vertices)
    while len(kept) > 3:
        lengths = curves_of([tuple(kept)]).length
        k = int(np.argmin(lengths))
        if lengths[k] >= _STEP:
            break
        after = (k + 1) % len(kept)
        if kept[k - 1][2] == 0:
            del kept[k]
        else:
            kept[k] = (*kept[k][:2], kept[after][2])
            del kept[after]
    return tuple(kept)


def _following(loop: Ints) -> Ints:
    """Return the edge after each one, edges of a loop being in order."""
    after = np.arange(1, len(loop) + 1)
    starts = np.flatnonzero(np.concatenate([[True], loop[1:] != loop[:-1]]))
    ends = np.concatenate([starts[1:] - 1, [len(loop) - 1]])
    after[ends] = starts
    return after


def _crowded(edges: BoundaryMesh) -> Bools:
    """Return the edges within whose circle lies a point of an edge that is no neighbour."""
    z = edges.points
    end = z[edges.following]
    centre, radius = (z + end) / 2, np.abs(end - z) / 2
    within = np.abs(z[None, :] - centre[:, None]) < radius[:, None] * (1 + 1e-9)
    rows = np.arange(len(z))
    before = np.empty_like(rows)
    before[edges.following] = rows
    for near in (rows, edges.following, before, edges.following[edges.following]):
        within[rows, near] = False
    return np.asarray(within.any(axis=1), dtype=np.bool_)
