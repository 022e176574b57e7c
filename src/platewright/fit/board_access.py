"""What must be reached on a board: sides for its plugs, pads for an iron, air for what gets warm.

Where a record says only *that* there are plugs, not where, the clearest sides are taken for them: a board is turned in
its stack until that is so. Lengths in mm, frame axes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Vector
from platewright.fit.boards import HARDWARE, BoardPlace, faces_of
from platewright.fit.leads import pads_of
from platewright.fit.rays import directions_about, first_hits, hit_distances
from platewright.fit.things import connector_point
from platewright.geometry.curves import Floats

__all__ = ["PadAccess", "battery_pads", "open_air", "pad_access", "plug_sides"]

_N_AIR = 240  # directions in which air is looked for


@dataclass(frozen=True)
class PadAccess:
    """A group of pads: whether an iron reaches it as the frame stands, else the owners that must come off."""

    kind: str
    point: Vector
    off: tuple[str, ...]


def plug_sides(plugs: str, usb: float, plug: float) -> tuple[tuple[str, float], ...]:
    """Return what a record's words about plugs ask for: each phrase, and the free distance at a side of its own.

    Phrases are parted by commas and semicolons; only those with an edge, edges or a side count.

    Parameters
    ----------
    plugs : str
        Of the record.
    usb, plug : float
        Free distance that USB and any other plug needs [mm].

    Examples
    --------
    >>> plug_sides("ribbon at one edge, camera plugs at the other edges, USB at one side", 12.0, 8.0)
    (('USB', 12.0), ('ribbon', 8.0), ('camera plugs', 8.0))
    """
    phrases = [p.strip() for p in plugs.replace(";", ",").split(",")]
    asked = []
    for phrase in phrases:
        if not any(word in phrase for word in ("edge", "side")):
            continue
        name = phrase.partition(" at ")[0].partition(" to ")[0]
        asked.append((name, usb if "USB" in phrase else plug))
    return tuple(sorted(asked, key=lambda row: -row[1]))


def pad_access(assembly: Assembly, place: BoardPlace) -> list[PadAccess]:
    """Return for each group of a board's pads what must come off before an iron reaches it.

    An iron comes from above, or slanting from outside by 45 degrees; of these ways the one with the fewest things in it
    is taken. Packs and propellers come off anyway, and screws and posts are passed.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    place : BoardPlace
        The board.
    """
    body, record = place.body, place.board.record
    passed = {*HARDWARE, "battery", "propeller"}
    groups = [("motor", point) for point in pads_of(body, record)] if record.motor_pads else []
    groups += [("battery", point) for point in battery_pads(place, connector_point(assembly))]
    if not groups:
        return []
    points = np.array([point for _, point in groups]) + 0.1 * np.array(body.frame.n)
    outward = (points - body.frame.origin) * (1.0, 1.0, 0.0)
    outward /= np.maximum(np.linalg.norm(outward, axis=1), 1e-9)[:, None]
    others = [(b, p) for b, p in place.around if b.role not in passed]
    iron = assembly.catalogue.rule("board_stack.iron_length_mm").value
    up = np.tile((0.0, 0.0, 1.0), (len(groups), 1))
    starts, ways = np.concatenate([points, points]), np.concatenate([up, (up + outward) / math.sqrt(2)])
    met: list[dict[str, None]] = [{} for _ in ways]
    for n, m in np.argwhere(np.isfinite(hit_distances([p for _, p in others], starts, ways, iron))).tolist():
        met[m][others[n][0].owner] = None
    return [
        PadAccess(kind, point, min((tuple(m) for m in met[n :: len(groups)]), key=len))
        for n, (kind, point) in enumerate(groups)
    ]


def battery_pads(place: BoardPlace, connector: Floats | None = None) -> list[Vector]:
    """Return where a board's power leads are soldered [mm]; nothing where its record has no pads for the battery.

    "Rear edge" is the rear of its own axes. Of two short sides the one that looks at the battery's connector is taken,
    without a connector the clearer one.

    Parameters
    ----------
    place : BoardPlace
        The board.
    connector : (3,) float [mm], optional
        Of the battery.
    """
    words = place.board.record.battery_pads
    if not words:
        return []
    length, width, _, top = faces_of(place.body)[0]
    if "rear" in words or "short" not in words:
        return [place.body.frame.point(-length / 2, 0.0, top)]
    first = 0 if length >= width else 1
    ends = place.sides[first], place.sides[first + 2]
    if connector is None:
        sign = 1.0 if ends[0].clear.gap > ends[1].clear.gap else -1.0
    else:
        frame = place.body.frame
        toward = (connector - np.array(frame.origin)) @ np.array(frame.u if first == 0 else frame.v)
        sign = 1.0 if toward > 0 else -1.0
    half = max(length, width) / 2
    return [place.body.frame.point(sign * half if first == 0 else 0.0, 0.0 if first == 0 else sign * half, top)]


def open_air(place: BoardPlace, reach: float) -> float:
    """Return the share of directions about a board's middle in which air is free for some way [-].

    Parameters
    ----------
    place : BoardPlace
        The board.
    reach : float
        What is farther from its sides does not keep air from it [mm].
    """
    bare, below, above = faces_of(place.body)
    middle = np.array(place.body.frame.point(0.0, 0.0, (below[2] + above[3]) / 2))
    ways = directions_about((0.0, 0.0, 1.0), math.pi, _N_AIR)
    others = [p for b, p in place.around if b.role != "propeller"]
    number, _ = first_hits(others, middle, ways, reach + max(bare[0], bare[1]) / 2)
    return float(np.mean(number < 0))
