"""Straight ways out: what stands in the way of a thing that is drawn out of a frame along one direction.

Every body is a set of upright prisms, or the upright box about it where it lies aslant or on edge, so a thing on edge
counts as its whole side. A thing moved sideways sweeps the convex hull of its plan, one moved up or down its plan.
Things that reach into one another, as tabs do or a camera under a deck that bows over it, stop each other up or down on
their own side only; sideways tabs do, other things that are drawn into one another do not.
Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Box, Cylinder, Hexagon, Plate, Shape, Solid, Vector
from platewright.geometry.loops import bounding_box, to_shapely

__all__ = ["Exits", "Prism", "directions_of"]

_UPRIGHT = 0.999  # cosine from which a body counts as upright [-]
_DEEP = 0.05  # overlap in height from which things are in each other's way [mm]
_RIM = 0.15  # overlap in plan from which things are in each other's way [mm]
_QUADRANT = 4  # chords in a quarter circle [-]
_SKIPPED = ("propeller",)  # a blade is turned out of the way
AXES: tuple[Vector, ...] = (
    (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0),
)  # fmt: skip


@dataclass(frozen=True)
class Prism:
    """One solid of a body and its bounds [mm]; `upright` if its plan is its own outline."""

    body: Body
    solid: Solid
    low: Vector
    high: Vector
    upright: bool


class Exits:
    """The bodies of a frame, ready to be asked what stands in a thing's way.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    """

    def __init__(self, assembly: Assembly) -> None:
        self.prisms = tuple(
            _prism(b, s)
            for b in assembly.bodies
            if b.role not in _SKIPPED and not (b.role in ("nut", "screw") and not b.line)  # go with their propeller
            for s in b.solids
        )
        self._bounds = np.array([(*p.low, *p.high) for p in self.prisms]).reshape(-1, 6)
        tabs = [(j.plate.name, j.standing.name) for j in assembly.tabs]
        self._tabs = {*tabs, *((standing, plate) for plate, standing in tabs)}
        self._plans: NDArray[np.object_] = np.full(len(self.prisms), None, dtype=object)
        self._flat: dict[int, shapely.Polygon] = {}
        self._shrunk: dict[int, shapely.Geometry] = {}
        self._far = float(np.abs(self._bounds).max(initial=1.0)) * 3
        self._met: dict[tuple[int, Vector], tuple[int, ...]] = {}

    def in_the_way(self, moved: Sequence[int], toward: Vector, present: Callable[[int], bool]) -> tuple[int, ...]:
        """Return the positions of what a thing meets on its way out.

        Parameters
        ----------
        moved : sequence of int
            Positions of the thing's prisms.
        toward : Vector
            Unit vector along which it is drawn, along the vertical or level.
        present : callable
            Whether a prism is still there; the thing's own are not asked about.
        """
        own = set(moved)
        met = {k: None for thing in moved for k in self._all_met(thing, toward)}
        return tuple(k for k in met if k not in own and present(k))

    def _all_met(self, k: int, toward: Vector) -> tuple[int, ...]:
        """Return what a prism meets while everything is there; remembered, for it is asked again and again."""
        if (k, toward) not in self._met:
            thing, step = self.prisms[k], np.array(toward) * self._far
            low = np.minimum(thing.low, np.array(thing.low) + step)
            high = np.maximum(thing.high, np.array(thing.high) + step)
            near = ((self._bounds[:, :3] < high - _DEEP / 2) & (self._bounds[:, 3:] > low + _DEEP / 2)).all(axis=1)
            beside = [n for n in np.flatnonzero(near).tolist() if n != k]
            others = np.array([n for n in beside if _may_meet(thing, self.prisms[n], toward)], dtype=np.intp)
            others = others[self._overlap(self._swept(k, toward), others)]
            if not toward[2]:
                drawn_into = self._overlap(self._inside(k), others)
                tabbed = np.array([(thing.body.name, self.prisms[n].body.name) in self._tabs for n in others.tolist()])
                others = others[~drawn_into | tabbed.astype(bool)]
            self._met[k, toward] = tuple(others.tolist())
        return self._met[k, toward]

    def _overlap(self, area: shapely.Geometry, others: NDArray[np.intp]) -> NDArray[np.bool_]:
        for k in others.tolist():
            self._plan(k)
        shared: NDArray[np.bool_] = shapely.intersects(area, self._plans[others])
        return shared

    def _plan(self, k: int) -> shapely.Geometry:
        """Return what a prism covers seen from above; made when it is asked for, copies of one part converted once."""
        if self._plans[k] is None:
            prism = self.prisms[k]
            shape, frame = prism.solid.shape, prism.body.frame
            spread, origin = np.array([frame.u[:2], frame.v[:2]]), np.array(frame.origin[:2])
            if not prism.upright:
                self._plans[k] = shapely.box(prism.low[0], prism.low[1], prism.high[0], prism.high[1])
            elif isinstance(shape, Plate):
                if id(shape.outline) not in self._flat:
                    self._flat[id(shape.outline)] = to_shapely(shape.outline, _QUADRANT)
                self._plans[k] = shapely.transform(self._flat[id(shape.outline)], lambda c: c @ spread + origin)
            else:
                self._plans[k] = shapely.Polygon(np.array(_corners(shape)) @ spread + origin)
        return self._plans[k]

    def _inside(self, k: int) -> shapely.Geometry:
        """Return a plan less the rim in which things may touch."""
        if k not in self._shrunk:
            self._shrunk[k] = shapely.buffer(self._plan(k), -_RIM, join_style="mitre")
            shapely.prepare(self._shrunk[k])
        return self._shrunk[k]

    def _swept(self, k: int, toward: Vector) -> shapely.Geometry:
        """Return what a plan covers as it moves, its hull where it moves sideways, less a rim."""
        if toward[2]:
            return self._inside(k)
        points = shapely.get_coordinates(shapely.convex_hull(self._plan(k)))
        moved = points + np.array(toward[:2]) * self._far
        hull = shapely.convex_hull(shapely.multipoints(np.vstack([points, moved])))
        swept = shapely.buffer(hull, -_RIM, join_style="mitre")
        shapely.prepare(swept)
        return swept


def directions_of(assembly: Assembly, name: str) -> tuple[Vector, ...]:
    """Return the directions in which a thing may be drawn out: along the axes, an arm also outwards along itself."""
    instance = assembly.instances.get(name)
    if instance is None or instance.arm is None:
        return AXES
    return ((math.cos(instance.arm.bearing), math.sin(instance.arm.bearing), 0.0), *AXES)


def _may_meet(thing: Prism, other: Prism, toward: Vector) -> bool:
    """Whether two things lie at heights at which one meets the other."""
    if toward[2]:
        return (other.low[2] + other.high[2] - thing.low[2] - thing.high[2]) * toward[2] > 0
    return min(thing.high[2], other.high[2]) - max(thing.low[2], other.low[2]) >= _DEEP


def _prism(body: Body, solid: Solid) -> Prism:
    """Return a prism with the box about it; that of a plate turned in its plane is about its own box."""
    frame, n, shape = body.frame, body.frame.n, solid.shape
    a, b, x, y = _half_extents(shape)
    middle = frame.point(x, y, solid.offset + shape.height / 2)
    round_ = isinstance(shape, Cylinder | Hexagon)
    low, high = [], []
    for k in range(3):
        u, v = abs(frame.u[k]), abs(frame.v[k])
        half = (math.hypot(u, v) * a if round_ else a * u + b * v) + abs(n[k]) * shape.height / 2
        low.append(middle[k] - half)
        high.append(middle[k] + half)
    return Prism(body, solid, (low[0], low[1], low[2]), (high[0], high[1], high[2]), abs(n[2]) > _UPRIGHT)


def _half_extents(shape: Shape) -> tuple[float, float, float, float]:
    """Return half the length and width of a prism's base, and its middle in the prism's own axes [mm]."""
    if isinstance(shape, Plate):
        x0, y0, x1, y1 = bounding_box(shape.outline)
        return (x1 - x0) / 2, (y1 - y0) / 2, (x0 + x1) / 2, (y0 + y1) / 2
    if isinstance(shape, Box):
        return shape.length / 2, shape.width / 2, 0.0, 0.0
    radius = shape.radius if isinstance(shape, Cylinder) else shape.across_flats / math.sqrt(3)
    return radius, radius, 0.0, 0.0


def _corners(shape: Box | Cylinder | Hexagon) -> list[tuple[float, float]]:
    """Return the corners of a prism's base about the frame's axis, round ones as polygons about their circle."""
    if isinstance(shape, Box):
        a, b = shape.length / 2, shape.width / 2
        return [(a, -b), (a, b), (-a, b), (-a, -b)]
    if isinstance(shape, Hexagon):
        return _ring(shape.across_flats / math.sqrt(3), 6)
    return _ring(shape.radius, 4 * _QUADRANT)


def _ring(radius: float, count: int) -> list[tuple[float, float]]:
    turns: Iterable[float] = (2 * math.pi * k / count for k in range(count))
    return [(radius * math.cos(t), radius * math.sin(t)) for t in turns]
