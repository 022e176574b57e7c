"""Straight ways out: what stands in the way of a thing that is drawn out of a frame along one direction.

Seen from above, an upright solid is its section, one that lies aslant or on edge the box about it, so a thing on edge
counts as its whole side. A thing moved sideways sweeps the convex hull of its plan, one moved up or down its plan.
Things that reach into one another, as tabs do or a camera under a deck that bows over it, stop each other up or down on
their own side only; sideways tabs do, other things that are drawn into one another do not.
Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property, lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Vector
from platewright.fit.solids import Prism, Section
from platewright.geometry.curves import Bools, Floats

__all__ = ["Exits", "directions_of"]

_UPRIGHT = 0.999  # cosine from which a body counts as upright [-]
_DEEP = 0.05  # overlap in height from which things are in each other's way [mm]
_RIM = 0.15  # overlap in plan from which things are in each other's way [mm]
_SKIPPED = ("propeller",)  # a blade is turned out of the way
AXES: tuple[Vector, ...] = (
    (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0),
)  # fmt: skip
_TOGETHER = (AXES[1:5], (AXES[0], AXES[5]))  # ways that are looked at at once: level ones, up and down

Plans = NDArray[np.object_]


class Exits:
    """The solids of a frame, ready to be asked what stands in a thing's way.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    prisms : mapping
        Of all bodies by name.
    """

    def __init__(self, assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> None:
        solids = [
            (b, p)
            for b in assembly.bodies
            if b.role not in _SKIPPED and not (b.role in ("nut", "screw") and not b.line)  # go with their propeller
            for p in prisms[b.name]
        ]
        self.bodies: tuple[Body, ...] = tuple(b for b, _ in solids)
        self._solids = [p for _, p in solids]
        boxes = np.array([p.box for p in self._solids]).reshape(-1, 2, 3)
        self._low, self._high = boxes[:, 0], boxes[:, 1]
        tabs = [(j.plate.name, j.standing.name) for j in assembly.tabs]
        self._tabs = {*tabs, *((standing, plate) for plate, standing in tabs)}
        self._far = float(np.abs(boxes).max(initial=1.0)) * 3
        self._inner: Plans = np.full(len(solids), None, dtype=object)
        self._met: dict[tuple[int, Vector], tuple[int, ...]] = {}

    def in_the_way(self, moved: Sequence[int], toward: Vector, present: Callable[[int], bool]) -> tuple[int, ...]:
        """Return the positions of what a thing meets on its way out.

        Parameters
        ----------
        moved : sequence of int
            Positions of the thing's solids in `bodies`.
        toward : Vector
            Unit vector along which it is drawn, along the vertical or level.
        present : callable
            Whether a solid is still there; the thing's own are not asked about.
        """
        if asked := [k for k in moved if (k, toward) not in self._met]:  # remembered, for it is asked again and again
            self._meet(np.array(asked), next((ways for ways in _TOGETHER if toward in ways), (toward,)))
        own = set(moved)
        met = {k: None for thing in moved for k in self._met[thing, toward]}
        return tuple(k for k in met if k not in own and present(k))

    def _meet(self, things: NDArray[np.intp], ways: Sequence[Vector]) -> None:
        """Find what each solid meets along some ways, all level or none, while everything is there."""
        moved = np.tile(things, len(ways))
        row, other = np.nonzero(self._boxes_meet(moved, np.repeat(np.array(ways), len(things), axis=0)))
        kept = shapely.intersects(self._swept(things, ways)[row], self._plans[other])
        row, other = row[kept], other[kept]
        if not ways[0][2]:
            drawn_into = shapely.intersects(self._inside(things)[row % len(things)], self._plans[other])
            pairs = zip(moved[row].tolist(), other.tolist(), strict=True)
            tabs = [bool(self._tabs) and (self.bodies[n].name, self.bodies[k].name) in self._tabs for n, k in pairs]
            stops = ~drawn_into | np.array(tabs, dtype=bool)
            row, other = row[stops], other[stops]
        met: list[list[int]] = [[] for _ in moved]
        for n, k in zip(row.tolist(), other.tolist(), strict=True):
            met[n].append(k)
        for n, k in enumerate(moved.tolist()):
            self._met[k, ways[n // len(things)]] = tuple(met[n])

    def _boxes_meet(self, things: NDArray[np.intp], toward: Floats) -> Bools:
        """Return which other solids lie where each thing passes on its way, by their boxes, (n_things, n_solids)."""
        step = toward * self._far
        low = (self._low[things] + np.minimum(step, 0.0))[:, None]
        high = (self._high[things] + np.maximum(step, 0.0))[:, None]
        met = ((self._low < high - _DEEP / 2) & (self._high > low + _DEEP / 2)).all(axis=2)
        bottom, top = self._low[:, 2], self._high[:, 2]
        if toward[0, 2]:
            met &= (bottom + top - (bottom + top)[things, None]) * toward[:, 2:] > 0
        else:
            met &= np.minimum(top, top[things, None]) - np.maximum(bottom, bottom[things, None]) >= _DEEP
        met[np.arange(len(things)), things] = False
        return np.asarray(met, dtype=bool)

    def _swept(self, things: NDArray[np.intp], ways: Sequence[Vector]) -> Plans:
        """Return what plans less a rim cover as they move, way after way; their hulls where they move sideways."""
        if ways[0][2]:
            return np.tile(self._inside(things), len(ways))
        points, owner = shapely.get_coordinates(self._seen_from_above(things, _hull_less_rim, _RIM), return_index=True)
        both = [shift for way in ways for shift in (points, points + np.array(way[:2]) * self._far)]
        row = np.concatenate([owner + len(things) * n for n in range(len(ways)) for _ in range(2)])
        order = np.argsort(row, kind="stable")
        swept: Plans = shapely.convex_hull(shapely.linestrings(np.concatenate(both)[order], indices=row[order]))
        shapely.prepare(swept)
        return swept

    @cached_property
    def _plans(self) -> Plans:
        """What each solid covers seen from above."""
        return self._seen_from_above(np.arange(len(self._solids)), _whole)

    def _inside(self, things: NDArray[np.intp]) -> Plans:
        """Return plans less the rim in which things may touch; remembered."""
        new = np.array([k for k in things.tolist() if self._inner[k] is None], dtype=np.intp)
        if len(new):
            self._inner[new] = self._seen_from_above(new, _less_rim, _RIM)
            shapely.prepare(self._inner[new])
        return np.asarray(self._inner[things])

    def _seen_from_above(
        self, things: NDArray[np.intp], shown: Callable[[Section], shapely.Geometry], rim: float = 0.0
    ) -> Plans:
        solids = [self._solids[k] for k in things.tolist()]
        plans: Plans = np.array([shown(p.section) for p in solids], dtype=object)
        if not len(plans):
            return plans
        points, owner = shapely.get_coordinates(plans, return_index=True)
        axes, origin = np.array([p.axes for p in solids]), np.array([p.origin for p in solids])[owner, :2]
        u, v = axes[owner, 0, :2], axes[owner, 1, :2]
        plans = shapely.set_coordinates(plans, points[:, :1] * u + points[:, 1:] * v + origin)
        aslant = np.abs(axes[:, 2, 2]) <= _UPRIGHT
        low, high = self._low[things[aslant], :2] + rim, self._high[things[aslant], :2] - rim
        plans[aslant] = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
        return plans


def directions_of(assembly: Assembly, name: str) -> tuple[Vector, ...]:
    """Return the directions in which a thing may be drawn out: along the axes, an arm also outwards along itself."""
    instance = assembly.instances.get(name)
    if instance is None or instance.arm is None:
        return AXES
    return ((math.cos(instance.arm.bearing), math.sin(instance.arm.bearing), 0.0), *AXES)


def _whole(section: Section) -> shapely.Geometry:
    return section.polygon


@lru_cache(maxsize=1024)
def _less_rim(section: Section) -> shapely.Geometry:
    return shapely.buffer(section.polygon, -_RIM, join_style="mitre")


@lru_cache(maxsize=1024)
def _hull_less_rim(section: Section) -> shapely.Geometry:
    hull = shapely.convex_hull(section.polygon)
    inside = shapely.buffer(hull, -_RIM, join_style="mitre")
    return hull if inside.is_empty else inside
