"""Straps round packs: their way from slot to slot and back, its length, and the band as a body.

A taut strap follows the convex hull of the pack's section and its two slots. The band is drawn twice as thick as the
strap, because the end that closes it lies upon it. Lengths in mm, angles in rad.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Frame3, Plate, Solid
from platewright.fit.battery import Pack
from platewright.fit.things import Fitted, fitted
from platewright.geometry.curves import Floats
from platewright.geometry.loops import Loop, Outline
from platewright.model.catalogue.hardware import Strap

__all__ = ["StrapPath", "strap_body", "strap_paths", "taut_length"]


@dataclass(frozen=True)
class StrapPath:
    """A strap round a pack.

    Parameters
    ----------
    strap : Fitted of Strap
        What it is.
    pack : Pack
        What it holds.
    hull : tuple of (float, float)
        Corners of its way in its own plane, counterclockwise: across from the pack's middle, and away from the face
        of the plate [mm].
    turn : float
        Of the band's width from the frame's x [rad].
    length, longest : float
        Round the pack at the strap's middle line, and the longest it is sold in [mm].
    """

    strap: Fitted[Strap]
    pack: Pack
    hull: tuple[tuple[float, float], ...]
    turn: float
    length: float
    longest: float

    @property
    def spare(self) -> float:
        """What is left to close it with [mm]."""
        return self.longest - self.length

    @property
    def thickness(self) -> float:
        """Of the strap itself, the middle of what is sold [mm]."""
        return sum(self.strap.record.thickness_range_mm) / 2


def strap_paths(assembly: Assembly, pack: Pack) -> list[StrapPath]:
    """Return the straps that go round a pack: those whose slots lie beside it.

    Notes
    -----
    The middle line of a strap lies half its thickness outside the hull: that adds pi times half the thickness twice.
    """
    made = []
    for strap in fitted(assembly, Strap):
        e = strap.equipment
        if e.spacing_mm is None or e.face != ("bottom" if pack.underneath else "top"):
            continue
        frame, turn = pack.body.frame, math.radians(e.turn_deg)
        away = np.array([float(e.at_mm[0]), float(e.at_mm[1]), frame.origin[2]]) - frame.origin
        if abs(away @ frame.u) > pack.length / 2 or abs(away @ frame.v) > pack.width / 2:
            continue
        plates = [i for i in assembly.instances.values() if i.place.id in e.through]
        thickness = max((i.part.thickness_mm for i in plates), default=0.0)
        own = turn - math.atan2(frame.u[1], frame.u[0])
        across = abs(pack.width * math.cos(own)) + abs(pack.length * math.sin(own))
        aside = float(away[:2] @ (-math.sin(turn), math.cos(turn)))
        hull = _hull(across, pack.height, pack.pad, e.spacing_mm, thickness, aside)
        length = _round(hull) + math.pi * sum(strap.record.thickness_range_mm) / 2
        made.append(StrapPath(strap, pack, hull, turn, length, max(strap.record.lengths_mm)))
    return made


def strap_body(path: StrapPath) -> Body:
    """Return the band of a strap, one flat ring drawn along its width."""
    e, frame = path.strap.equipment, path.pack.body.frame
    cos, sin = math.cos(path.turn), math.sin(path.turn)
    across = np.array([-sin, cos, 0.0])
    up = np.array(frame.n) - float(across @ frame.n) * across
    face = np.array(frame.origin) - path.pack.pad * np.array(frame.n)
    along = (float(e.at_mm[0]) - face[0]) * cos + (float(e.at_mm[1]) - face[1]) * sin
    origin = face + along * np.array([cos, sin, 0.0])
    width = float(path.strap.record.width_mm)
    inner = Loop(tuple((x, y, 0.0) for x, y in path.hull))
    ring = Outline(_offset(path.hull, 2 * path.thickness), (inner,))
    placed = Frame3(_vector(origin), _vector(across), _vector(up / np.linalg.norm(up)))
    name = path.strap.name
    return Body(name, "strap", name, placed, (Solid(Plate(ring, width), -width / 2),), e.id)


def taut_length(width: float, height: float, pad: float, spacing: float, thickness: float, aside: float = 0.0) -> float:
    """Return the length of a thin strap drawn round a pack and through two slots of its plate [mm].

    Parameters
    ----------
    width, height : float
        Of the pack's section [mm].
    pad : float
        Between pack and plate [mm].
    spacing : float
        Between the two slots, middle to middle [mm].
    thickness : float
        Of the plate [mm].
    aside : float
        How far the middle of the slots lies beside the middle of the pack [mm].

    Examples
    --------
    >>> taut_length(40, 30, 0, 40, 0)
    140.0
    """
    return _round(_hull(width, height, pad, spacing, thickness, aside))


def _hull(
    width: float, height: float, pad: float, spacing: float, thickness: float, aside: float
) -> tuple[tuple[float, float], ...]:
    """Return the corners of the convex hull of a pack's section and its slots, counterclockwise [mm]."""
    half, slot = width / 2, spacing / 2
    points = [(-half, pad), (half, pad), (half, pad + height), (-half, pad + height)]
    points += [(aside - slot, -thickness), (aside + slot, -thickness)]
    ring = shapely.orient_polygons(shapely.convex_hull(shapely.multipoints(points)))
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(ring)[:-1])


def _round(hull: Sequence[tuple[float, float]]) -> float:
    return sum(math.dist(a, b) for a, b in zip(hull, (*hull[1:], hull[0]), strict=True))


def _offset(hull: Sequence[tuple[float, float]], by: float) -> Loop:
    """Return a convex counterclockwise polygon grown outward, its corners round [mm]."""
    turns = [
        math.atan2(b[1] - a[1], b[0] - a[0]) - math.pi / 2
        for a, b in zip(hull, (*hull[1:], hull[0]), strict=True)  # outward normals of the edges
    ]
    vertices = []
    for n, (x, y) in enumerate(hull):
        before, after = turns[n - 1], turns[n]
        bulge = math.tan((after - before) % (2 * math.pi) / 4)
        vertices.append((x + by * math.cos(before), y + by * math.sin(before), bulge))
        vertices.append((x + by * math.cos(after), y + by * math.sin(after), 0.0))
    return Loop(tuple(vertices))


def _vector(values: Floats) -> tuple[float, float, float]:
    x, y, z = values.tolist()
    return x, y, z
