"""All that a propeller disc may meet, with distances from discs to it: least ones for all solids at once, then exact.

What stands upright is looked at once for all discs: the place of a disc's axis beside the section, and its middle over
or under the faces, give the distance for every diameter in closed form. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.fit.disc_room import gap_to_level_prism, is_level
from platewright.fit.engaged import rotor_of
from platewright.fit.proximity import distance
from platewright.fit.soft_bodies import NO_SOFT_BODIES, SoftBodies
from platewright.fit.solids import Prism
from platewright.geometry.curves import Floats

__all__ = ["DiscField", "Room"]

_UPRIGHT = 1 - 1e-12  # cosine from which a prism stands upright [-]


class Room(Protocol):
    """What is asked of a disc: its rotor, the place of its middle and the room its blades may pass through [mm]."""

    @property
    def rotor(self) -> int:
        """Number of its rotor."""

    @property
    def middle(self) -> tuple[float, float, float]:
        """Its middle [mm]."""

    @property
    def diameter(self) -> float:
        """Its diameter [mm]."""

    def half_height(self, diameter: float | None = None) -> float:
        """Half of the height of its room, for some diameter or its own [mm]."""

    def prism(self, diameter: float | None = None) -> Prism:
        """Return its room, for some diameter or its own [mm]."""


@dataclass(frozen=True)
class _Aside:
    """Where the middle of a disc stands to an upright prism: from its section, and over or under its faces [mm]."""

    beside: float
    above: float

    def gap(self, diameter: float, half_height: float) -> float:
        """Return the distance of a disc with this middle [mm]."""
        return math.hypot(max(self.above - half_height, 0.0), max(self.beside - diameter / 2, 0.0))


class DiscField:
    """All solids but propellers, and what is soft.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    discs : sequence of Room
        Discs that will be asked about; others with the same middles may be, too.
    soft : SoftBodies
        Straps and leads.
    """

    def __init__(
        self,
        assembly: Assembly,
        prisms: Mapping[str, Sequence[Prism]],
        discs: Sequence[Room],
        soft: SoftBodies = NO_SOFT_BODIES,
    ) -> None:
        pairs = [(b, p) for b in assembly.bodies if b.role != "propeller" for p in prisms[b.name]]
        pairs += [(b, p) for b in soft.bodies for p in soft.prisms[b.name]]
        self.bodies = [body for body, _ in pairs]
        self._solids = [prism for _, prism in pairs]
        self._boxes = np.array([p.box for p in self._solids]).reshape(-1, 2, 3)
        self._upright = np.abs(np.array([p.axes[2, 2] for p in self._solids], dtype=float)) > _UPRIGHT
        self._radius = np.array([p.section.radius for p in self._solids])
        self._is_pin = self._upright & (self._radius > 0)
        self._origin = np.array([p.origin for p in self._solids]).reshape(-1, 3)
        of_line = {line.name: line.rotor for line in assembly.lines}
        rotors = [(of_line.get(b.line), rotor_of(b)) for b in self.bodies]
        self._rotors = np.array([[-1 if r is None else r for r in row] for row in rotors]).reshape(-1, 2)
        self._middles = list(dict.fromkeys(d.middle for d in discs))
        self._aside: dict[int, dict[tuple[float, float, float], _Aside]] = {}
        self._level: dict[tuple[int, tuple[float, float, float]], Callable[[float, float], float]] = {}

    def least_gaps(self, disc: Room) -> Floats:
        """Return a lower bound of the distance to each solid, the distance itself for upright round ones [mm]."""
        middle = np.array(disc.middle)
        away = np.maximum(np.maximum(self._boxes[:, 0] - middle, middle - self._boxes[:, 1]), 0.0)
        to_axis = np.hypot(*(self._origin[:, :2] - middle[:2]).T) - self._radius
        in_plan = np.where(self._is_pin, to_axis, np.hypot(away[:, 0], away[:, 1])) - disc.diameter / 2
        in_height = away[:, 2] - disc.half_height()
        gaps: Floats = np.hypot(np.maximum(in_plan, 0.0), np.maximum(in_height, 0.0))
        return gaps

    def strangers(self, disc: Room, least: Floats) -> list[int]:
        """Return numbers of the solids that do not belong to a disc's own rotor, the nearest first."""
        order = np.argsort(least, kind="stable")
        strangers: list[int] = order[(self._rotors[order] != disc.rotor).all(axis=1)].tolist()
        return strangers

    def gap(self, disc: Room, n: int, known: float) -> float:
        """Return the distance from a disc's room to a solid; any value from `known` on if it is surely greater [mm]."""
        if self._upright[n] or is_level(self._solids[n]):
            return self.gap_by_diameter(disc, n)(disc.diameter)
        return distance(disc.prism(), self._solids[n], known)

    def gap_by_diameter(self, disc: Room, n: int) -> Callable[[float], float]:
        """Return the distance from a disc of any diameter to a solid; in closed form where the solid is upright."""
        solid = self._solids[n]
        if is_level(solid):
            key = n, disc.middle
            if key not in self._level:
                self._level[key] = gap_to_level_prism(solid, *disc.middle)
            level = self._level[key]
            return lambda diameter: level(diameter / 2, disc.half_height(diameter))
        if not self._upright[n]:
            return lambda diameter: distance(disc.prism(diameter), solid)
        aside = self._found(n, disc.middle)
        return lambda diameter: aside.gap(diameter, disc.half_height(diameter))

    def _found(self, n: int, middle: tuple[float, float, float]) -> _Aside:
        if self._is_pin[n]:
            (x, y, z), (x0, y0, _), (low, high) = middle, self._origin[n].tolist(), self._boxes[n, :, 2].tolist()
            return _Aside(math.hypot(x - x0, y - y0) - self._radius[n], max(low - z, z - high))
        known = self._aside.get(n, {})
        if middle not in known:
            solid, wanted = self._solids[n], list(dict.fromkeys((*self._middles, middle)))
            flat, height = solid.local(np.array(wanted))
            beside = np.where(solid.section.inside(flat), 0.0, solid.section.distance(flat))
            above = np.maximum(solid.low - height, height - solid.high)
            known = {m: _Aside(b, a) for m, b, a in zip(wanted, beside.tolist(), above.tolist(), strict=True)}
            self._aside[n] = known
        return known[middle]
