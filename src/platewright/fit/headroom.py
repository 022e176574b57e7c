"""Height for a camera at each tilt: what it needs, and what lies under and over it, plates bowed or in their planes.

Between plates a camera needs, at tilt a, h cos a + d sin a of height: h its body's height, d its depth behind the lens,
which may stand out in front. Free height counts from the plate under the body to the plate over it, wherever within the
body's own length they come nearest. Lengths in mm, angles in rad.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from platewright.assembly.assemble import Assembly
from platewright.fit.camera import CameraRoom
from platewright.fit.solids import Prism
from platewright.geometry.curves import Floats
from platewright.model.catalogue.electronics import Camera

__all__ = ["Headroom", "Underside", "headroom", "headrooms", "in_their_planes", "largest_tilt"]

_STATIONS = 5  # heights are read at so many places along the body

Underside = Callable[[str, Floats], Floats]  # heights of a level plate's underside at many x, as built [mm]


@dataclass(frozen=True)
class Headroom:
    """Height for a camera at one tilt: what it needs, what lies under and over it, none where it is open [mm]."""

    tilt: float
    needed: float
    floor: float | None
    ceiling: float | None
    under: str
    over: str

    @property
    def free(self) -> float:
        """From the plate under it to the plate over it; infinite where one is missing [mm]."""
        if self.floor is None or self.ceiling is None:
            return math.inf
        return self.ceiling - self.floor

    @property
    def play(self) -> float:
        """What is left of the free height [mm]."""
        return self.free - self.needed

    def play_about(self, z: float) -> float:
        """Return what is left when it turns about a line at height z: twice the lesser side's [mm]."""
        below = math.inf if self.floor is None else z - self.floor
        above = math.inf if self.ceiling is None else self.ceiling - z
        return 2 * min(below, above) - self.needed


def headroom(
    assembly: Assembly,
    prisms: Mapping[str, Sequence[Prism]],
    room: CameraRoom,
    record: Camera,
    tilts: Sequence[float],
    underside: Underside | None = None,
) -> list[Headroom]:
    """Return the height for a camera of some class at each tilt, in the place of the design's own.

    Parameters
    ----------
    assembly, prisms
        As in `camera_rooms`.
    room : CameraRoom
        Where it sits.
    record : Camera
        The class.
    tilts : sequence of float
        Nose up [rad].
    underside : callable, optional
        Heights of bowed plates; without it each lies in its plane as built.
    """
    return headrooms(assembly, prisms, room, [record], tilts, underside)[0]


def headrooms(
    assembly: Assembly,
    prisms: Mapping[str, Sequence[Prism]],
    room: CameraRoom,
    records: Sequence[Camera],
    tilts: Sequence[float],
    underside: Underside | None = None,
) -> list[list[Headroom]]:
    """Return for each of some classes what `headroom` returns for one, all found at once.

    Parameters
    ----------
    assembly, prisms, room, tilts, underside
        As in `headroom`.
    records : sequence of Camera
        The classes.
    """
    a = np.tile(np.array(tilts, dtype=float), len(records))
    depth, height, width = (
        np.repeat([float(getattr(r, f"body_{size}_mm")) for r in records], len(tilts))
        for size in ("depth", "height", "width")
    )
    half = (depth * np.cos(a) + height * np.sin(np.abs(a))) / 2
    left, right, side = room.x - half, room.x + half, width / 2
    broadest = float(side.max())
    rear, front = float(left.min()), float(right.max())
    corners = np.stack([[left, right, right, left], [-side, -side, side, side]], axis=-1)  # (4, n_tilts, 2)
    xs = np.linspace(left, right, _STATIONS)
    heights = underside or in_their_planes(assembly)
    floor, ceiling = np.full(len(a), -np.inf), np.full(len(a), np.inf)
    under, over = [""] * len(a), [""] * len(a)
    for instance in assembly.instances.values():
        plate = prisms[instance.name][0]
        (x0, y0, _), (x1, y1, _) = plate.box.tolist()
        if instance.normal != "z" or x1 < rear or x0 > front or y1 < -broadest or y0 > broadest:
            continue
        met = _meets(plate, corners, room.z)
        if not met.any():
            continue
        bottoms = heights(instance.name, xs)
        lowest, highest = bottoms.min(axis=0), bottoms.max(axis=0) + instance.part.thickness_mm
        above = lowest + highest > 2 * room.z
        for k in np.nonzero(met & above & (lowest < ceiling))[0].tolist():
            ceiling[k], over[k] = lowest[k], instance.name
        for k in np.nonzero(met & ~above & (highest > floor))[0].tolist():
            floor[k], under[k] = highest[k], instance.name
    needed = height * np.cos(a) + depth * np.sin(np.abs(a))
    rows = zip(a.tolist(), needed.tolist(), floor.tolist(), ceiling.tolist(), under, over, strict=True)
    made = [Headroom(t, n, _known(f), _known(c), u, o) for t, n, f, c, u, o in rows]
    return [made[k : k + len(tilts)] for k in range(0, len(made), len(tilts))]


def largest_tilt(rooms: Sequence[Headroom], z: float | None = None) -> float | None:
    """Return the largest tilt up to which all fit, from the first on; None when the first does not [rad].

    Parameters
    ----------
    rooms : sequence of Headroom
        By rising tilt.
    z : float, optional
        Height of the line it turns about, where that is fixed [mm].
    """
    best = None
    for room in rooms:
        if (room.play if z is None else room.play_about(z)) < -1e-9:
            break
        best = room.tilt
    return best


def in_their_planes(assembly: Assembly) -> Underside:
    """Return the heights of plates that lie in their planes as built."""

    def heights(name: str, xs: Floats) -> Floats:
        level = assembly.levels.built[name]
        return level.at(0.0, 0.0).nominal + level.slope[0] * xs

    return heights


def _meets(plate: Prism, corners: Floats, z: float) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Return for each footprint, seen from above, whether a level plate has material in it."""
    lifted = np.concatenate([corners, np.full((*corners.shape[:2], 1), z)], axis=-1)
    flat, _ = plate.local(lifted.reshape(-1, 3))
    rings = np.stack([flat.real, flat.imag], axis=-1).reshape(*corners.shape[:2], 2).transpose(1, 0, 2)
    met: np.ndarray[tuple[int], np.dtype[np.bool_]] = shapely.intersects(plate.section.polygon, shapely.polygons(rings))
    return met


def _known(height: float) -> float | None:
    return height if math.isfinite(height) else None
