"""Two outlines laid on one another as well as they go, and what is left of difference: holes and edges.

Motions are tried that keep the axes, that lay centroid and principal axes on one another, and that lay two holes (or
two corners) of the first on two equally far apart of the second; each as drawn and turned over. Of those that leave
little more area in one outline alone than the best does, the one is taken that lays most holes and corners exactly on
others: a longer arm is compared from a pattern of holes, not from its middle. Lengths in mm, all places in the axes of
the second outline.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import (
    Circle,
    Outline,
    bounding_box,
    loop_area,
    outline_properties,
    to_shapely,
    transform_outline,
)

__all__ = ["EdgeDifference", "HoleDifference", "NearMatch", "OpeningDifference", "near_match"]

_SAME = 1e-3  # what differs by less is the same [mm]
_COARSE, _FINE = 8, 64  # chords in a quarter circle, to choose a motion and to measure [-]
_FEW = 8  # holes or corners of the first that pairs are made of [-]
_MOST = 200  # motions from pairs [-]
_KEPT = 4  # of them compared by area [-]
_SLIVER = 0.02  # areas below it are noise of chords [mm^2]
_SLACK = 1.25  # area that another motion may leave, over the least [-]
Points = NDArray[np.complex128]


@dataclass(frozen=True)
class HoleDifference:
    """A round hole that differs.

    Parameters
    ----------
    kind : str
        moved, resized (and perhaps moved), first (only there) or second.
    x, y : float
        In the second outline, or where it would be [mm].
    first_diameter, second_diameter : float
        0 where there is none [mm].
    distance : float
        How far the first's is from the second's [mm].
    """

    kind: str
    x: float
    y: float
    first_diameter: float
    second_diameter: float
    distance: float


@dataclass(frozen=True)
class OpeningDifference:
    """A slot or other opening that both outlines have, elsewhere: its middle, its size and how far it is off [mm]."""

    x: float
    y: float
    length: float
    width: float
    distance: float


@dataclass(frozen=True)
class EdgeDifference:
    """A piece that only the `more` outline (first or second) has at an edge.

    Where it is deepest, the distance between the edges there [mm], and its area [mm^2].
    """

    more: str
    x: float
    y: float
    depth: float
    area: float


@dataclass(frozen=True)
class NearMatch:
    """The motion that lays the first outline on the second, and what differs then."""

    motion: Isometry
    holes: tuple[HoleDifference, ...]
    openings: tuple[OpeningDifference, ...]
    edges: tuple[EdgeDifference, ...]

    @property
    def largest(self) -> float:
        """Greatest distance that a hole or an edge must move; holes that are missing do not count [mm]."""
        moves = [h.distance for h in self.holes] + [abs(h.first_diameter - h.second_diameter) / 2 for h in self._both]
        moves += [o.distance for o in self.openings]
        return max([*moves, *(e.depth for e in self.edges)], default=0.0)

    @property
    def missing(self) -> int:
        """Holes that only one outline has [-]."""
        return len(self.holes) - len(self._both)

    @property
    def _both(self) -> list[HoleDifference]:
        return [h for h in self.holes if h.first_diameter and h.second_diameter]


def near_match(one: Outline, other: Outline, within: float) -> NearMatch | None:
    """Lay one outline on another; None when they are plainly two shapes.

    Parameters
    ----------
    one, other : Outline
        Each in its own axes [mm].
    within : float
        Farthest that a hole or edge may be off [mm].

    Returns
    -------
    NearMatch or None
        Differences; both lists empty when the outlines are the same.

    Examples
    --------
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> plate = Outline(rectangle_loop(0, 0, 20, 10), (), (Circle(5, 0, 1.6),))
    >>> found = near_match(plate, Outline(rectangle_loop(0, 0, 10, 20), (), (Circle(0, 5.4, 1.6),)), 1.0)
    >>> [(h.kind, round(h.distance, 6)) for h in found.holes], found.edges
    ([('moved', 0.4)], ())
    """
    if not _alike(one, other, within):
        return None
    motion = _best_motion(one, other)
    moved = transform_outline(one, motion)
    openings, pair = _openings(moved, other, within)
    edges = []
    for edge in _edges(*pair):
        if edge.depth > within:
            return None
        edges.append(edge)
    edges.sort(key=lambda e: (-e.depth, e.x, e.y))
    return NearMatch(motion, tuple(_holes(moved, other, within)), tuple(openings), tuple(edges))


def _alike(one: Outline, other: Outline, within: float) -> bool:
    """Compare areas inside the outer loops and radii of gyration, which differ little if edges do."""
    shells = [Outline(outline.outer) for outline in (one, other)]
    a, b = (outline_properties(shell) for shell in shells)
    edge = max(shapely.length(to_shapely(shell, _COARSE).exterior) for shell in shells)
    if abs(a.area - b.area) > within * edge:
        return False
    radii = [math.sqrt((p.ixx + p.iyy) / p.area) for p in (a, b)]
    return abs(radii[0] - radii[1]) <= 2 * within


def _best_motion(one: Outline, other: Outline) -> Isometry:
    marks = [_marks(outline) for outline in (one, other)]
    tried = [
        motion for round_ones in (True, False) for motion in _tried([m[(m[:, 2] > 0) == round_ones] for m in marks])
    ]
    target = to_shapely(other, _COARSE)
    rows = []
    for motion in (*_plain(one, other), *tried):
        alone = shapely.area(shapely.symmetric_difference(to_shapely(transform_outline(one, motion), _COARSE), target))
        rows.append((float(alone), motion))
    least = min(area for area, _ in rows)
    near = [(area, motion) for area, motion in rows if area <= _SLACK * least + 1.0]
    return min(near, key=lambda row: (-_exact(row[1], *marks), round(row[0], 3), row[1].flip))[1]


def _tried(marks: list[NDArray[np.float64]]) -> list[Isometry]:
    """Return the motions that lay two marks on two, those first that lay most marks on marks."""
    pairs = itertools.islice(_pairs(*(m[:, 0] + 1j * m[:, 1] for m in marks)), _MOST)
    return sorted({_rounded(m): m for m in pairs}.values(), key=lambda m: -_exact(m, *marks))[:_KEPT]


def _plain(one: Outline, other: Outline) -> Iterator[Isometry]:
    """Yield the motions that keep the axes, and that lay principal axes on one another."""
    yield Isometry()
    yield Isometry(flip=True)
    a, b = outline_properties(one), outline_properties(other)
    angles = [0.5 * math.atan2(2 * p.ixy, p.iyy - p.ixx) for p in (a, b)]
    for flip, half in itertools.product((False, True), (0.0, math.pi)):
        turn = angles[1] + half - (-angles[0] if flip else angles[0])
        x, y = Isometry.from_turn(turn, 0.0, 0.0, flip).apply(a.cx, a.cy)
        yield Isometry.from_turn(turn, b.cx - x, b.cy - y, flip)


def _pairs(one: Points, other: Points) -> Iterator[Isometry]:
    """Yield the motions that lay two points on two equally far apart; pairs far apart first."""
    if not (len(one) and len(other)):
        return
    few = one[np.argsort(-np.abs(one - one.mean()))][:_FEW]
    far = np.abs(other[:, None] - other[None, :])
    for p, q in itertools.combinations(few.tolist(), 2):
        length = abs(q - p)
        for i, j in np.argwhere((np.abs(far - length) < _SAME) & (far > 1.0)).tolist():
            for flip in (False, True):
                start, end = (p.conjugate(), q.conjugate()) if flip else (p, q)
                turn = (other[j] - other[i]) / (end - start)
                turn /= abs(turn)
                shift = other[i] - turn * start
                yield Isometry.from_turn(math.atan2(turn.imag, turn.real), shift.real, shift.imag, flip)


def _rounded(m: Isometry) -> tuple[float, ...]:
    return (round(m.cos, 4), round(m.sin, 4), float(m.flip), round(m.tx, 2), round(m.ty, 2))


def _marks(outline: Outline) -> NDArray[np.float64]:
    """Return round holes with their radius, and corners of all loops with radius 0."""
    rows = [(c.x, c.y, c.radius) for c in outline.circles]
    rows += [(x, y, 0.0) for loop in (outline.outer, *outline.inner) for x, y, _ in loop.vertices]
    return np.array(rows)


def _exact(motion: Isometry, one: NDArray[np.float64], other: NDArray[np.float64]) -> int:
    """Return how many marks fall on marks."""
    y = -one[:, 1] if motion.flip else one[:, 1]
    x = motion.cos * one[:, 0] - motion.sin * y + motion.tx
    y = motion.sin * one[:, 0] + motion.cos * y + motion.ty
    moved = np.column_stack([x, y, one[:, 2]])
    return int((np.abs(moved[:, None, :] - other[None, :, :]).max(axis=2).min(axis=1) < _SAME).sum())


def _holes(moved: Outline, other: Outline, within: float) -> Iterator[HoleDifference]:
    left: dict[int, Circle] = dict(enumerate(moved.circles))
    right: dict[int, Circle] = dict(enumerate(other.circles))
    apart = [
        (math.hypot(a.x - b.x, a.y - b.y) + abs(a.radius - b.radius), i, j)
        for (i, a), (j, b) in itertools.product(left.items(), right.items())
    ]
    for _, i, j in sorted(apart):
        if i not in left or j not in right:
            continue
        a, b = left[i], right[j]
        distance = math.hypot(a.x - b.x, a.y - b.y)
        if max(distance, abs(a.radius - b.radius)) > within:
            continue
        del left[i], right[j]
        resized = abs(a.radius - b.radius) > _SAME / 2
        if resized or distance > _SAME:
            yield HoleDifference("resized" if resized else "moved", b.x, b.y, 2 * a.radius, 2 * b.radius, distance)
    for a in left.values():
        yield HoleDifference("first", a.x, a.y, 2 * a.radius, 0.0, 0.0)
    for b in right.values():
        yield HoleDifference("second", b.x, b.y, 0.0, 2 * b.radius, 0.0)


def _openings(moved: Outline, other: Outline, within: float) -> tuple[list[OpeningDifference], tuple[Outline, Outline]]:
    """Return openings of one size that stand elsewhere, and the outlines without them."""
    left, right = list(moved.inner), list(other.inner)
    found = []
    for loop in moved.inner:
        x0, y0, x1, y1 = bounding_box(loop)
        for twin in right:
            u0, v0, u1, v1 = bounding_box(twin)
            size = max(abs(x1 - x0 - u1 + u0), abs(y1 - y0 - v1 + v0), abs(loop_area(loop) - loop_area(twin)))
            distance = math.hypot(x0 - u0, y0 - v0)
            if size < _SAME < distance <= within:
                found.append(OpeningDifference((u0 + u1) / 2, (v0 + v1) / 2, u1 - u0, v1 - v0, distance))
                left.remove(loop)
                right.remove(twin)
                break
    return found, (Outline(moved.outer, tuple(left)), Outline(other.outer, tuple(right)))


def _edges(moved: Outline, other: Outline) -> Iterator[EdgeDifference]:
    """Yield what either outline, without round holes, has alone at its edges, the largest piece first."""
    a, b = to_shapely(moved, _FINE), to_shapely(other, _FINE)
    pieces = [
        (float(shapely.area(piece)), more, piece)
        for more, shape in (("first", shapely.difference(a, b)), ("second", shapely.difference(b, a)))
        for piece in shapely.get_parts(shape).tolist()
    ]
    for area, more, piece in sorted(pieces, key=lambda row: -row[0]):
        if area < _SLIVER:
            return
        places = shapely.get_coordinates(piece)
        depths = np.max([shapely.distance(shapely.points(places), o.boundary) for o in (a, b)], axis=0)
        depth, x, y = max(zip(np.round(depths, 4).tolist(), *places.T.tolist(), strict=True))
        if depth > 10 * _SAME:
            yield EdgeDifference(more, x, y, depth, area)
