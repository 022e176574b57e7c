"""Figures of a frame that several drawings print: plates by height, rotor spacings, sizes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from platewright.assembly.assemble import Assembly
from platewright.assembly.heights import Level
from platewright.assembly.instances import Instance

__all__ = ["PlateLevel", "Spacing", "plate_levels", "rotor_spacing", "standing_places"]

_SAME = 0.005  # heights that print alike [mm]


@dataclass(frozen=True)
class PlateLevel:
    """A horizontal place and the height of its underside [mm].

    Parameters
    ----------
    place : str
        Id.
    count : int
        Instances.
    thickness : float
        Of the plate [mm].
    low, high : float
        Nominal height of the underside at its lowest and its highest support [mm].
    tolerance : float
        Worst-case half-width at the place's own origin [mm].
    """

    place: str
    count: int
    thickness: float
    low: float
    high: float
    tolerance: float

    @property
    def height_text(self) -> str:
        """Height with tolerance, as drawings print it."""
        span = f"{self.low:.2f}" if self.high - self.low < _SAME else f"{self.low:.2f} to {self.high:.2f}"
        return span + (f" ± {self.tolerance:.2f}" if self.tolerance >= _SAME else "")


@dataclass(frozen=True)
class Spacing:
    """Distances between rotor axes [mm]; the ends of the longest."""

    fore_aft: float
    lateral: float
    wheelbase: float
    ends: tuple[tuple[float, float], tuple[float, float]]


def plate_levels(assembly: Assembly) -> tuple[PlateLevel, ...]:
    """Return the horizontal places from the lowest to the highest."""
    by_place: dict[str, list[Instance]] = {}
    for instance in assembly.instances.values():
        if instance.normal == "z":
            by_place.setdefault(instance.place.id, []).append(instance)
    rows = [_level(place, members, assembly) for place, members in by_place.items()]
    return tuple(sorted(rows, key=lambda r: (round(r.low, 3), r.place)))


def standing_places(assembly: Assembly) -> tuple[tuple[str, int, float], ...]:
    """Return id, count and thickness [mm] of the places that stand on edge, in the order of the design."""
    found: dict[str, tuple[str, int, float]] = {}
    for instance in assembly.instances.values():
        if instance.normal != "z":
            place, count, thickness = found.get(instance.place.id, (instance.place.id, 0, instance.part.thickness_mm))
            found[place] = (place, count + 1, thickness)
    return tuple(found.values())


def rotor_spacing(axes: Sequence[tuple[float, float]]) -> Spacing | None:
    """Return spacings of two rotor axes or more, else None.

    Examples
    --------
    >>> rotor_spacing([(30.0, 40.0), (-30.0, 40.0), (-30.0, -40.0), (30.0, -40.0)]).wheelbase
    100.0
    """
    if len(axes) < 2:
        return None
    xs, ys = [a[0] for a in axes], [a[1] for a in axes]
    pairs = [(p, q) for n, p in enumerate(axes) for q in axes[n + 1 :]]
    # of equally long ones the first pair counts; rounding keeps that choice the same on every machine
    ends = max(pairs, key=lambda pair: round(math.dist(*pair), 6))
    return Spacing(max(xs) - min(xs), max(ys) - min(ys), math.dist(*ends), ends)


def _level(place: str, members: Sequence[Instance], assembly: Assembly) -> PlateLevel:
    levels: list[Level] = [assembly.levels.built[m.name] for m in members]
    heights = [lv.at(a, b) for lv in levels for a, b in lv.points] or [lv.at(0.0, 0.0) for lv in levels]
    origins = [assembly.levels.level[m.name].at(m.to_plane.tx, m.to_plane.ty) for m in members]
    return PlateLevel(
        place,
        len(members),
        members[0].part.thickness_mm,
        min(h.nominal for h in heights),
        max(h.nominal for h in heights),
        max(h.worst for h in origins),
    )
