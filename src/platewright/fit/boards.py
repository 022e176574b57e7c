"""Boards in their stacks: gaps under and over them, sides for plugs, pads for an iron, air for what gets warm.

Gaps and free sides are looked for along straight rays from the board's own faces. Hardware of a board's own screws is
left out: it belongs to the stack. Where a record says only *that* there are plugs, not where, the clearest sides are
taken for them: a board is turned in its stack until that is so. Lengths in mm, frame axes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Box, Vector
from platewright.fit.leads import pads_of
from platewright.fit.proximity import boxes_near
from platewright.fit.rays import directions_about, first_hits, hit_distances
from platewright.fit.solids import Prism
from platewright.fit.things import Fitted, connector_point, fitted
from platewright.geometry.curves import Floats
from platewright.model.catalogue.electronics import Board

__all__ = [
    "BoardPlace",
    "Clear",
    "PadAccess",
    "Side",
    "battery_pads",
    "board_places",
    "open_air",
    "pad_access",
    "plug_sides",
]

_GRID = 9  # rays along each side of a face
_PLUG_WIDTH = 8.0  # free width a plug needs along a side [mm] (common practice, no source)
_PLUG_STEP = 2.0  # between rays along a side [mm]
_PLUG_HEIGHT = 1.5  # of a plug's middle over the bare board [mm] (common practice, no source)
_REACH = 40.0  # what is farther from a side is no hindrance [mm]
_IRON = 60.0  # free length of an iron's tip and a hand [mm] (common practice, no source)
_N_AIR = 240
_HARDWARE = frozenset(("screw", "nut", "washer", "standoff", "spacer"))
_SIDES = ("front", "front left", "left", "rear left", "rear", "rear right", "right", "front right")


@dataclass(frozen=True)
class Clear:
    """Air to the next thing: how much, infinite where nothing is, and the body [mm]."""

    gap: float
    body: Body | None


@dataclass(frozen=True)
class Side:
    """One side of a board: which way it looks, and the widest free distance in front of a plug's width there."""

    name: str
    clear: Clear


@dataclass(frozen=True)
class PadAccess:
    """A group of pads: whether an iron reaches it as the frame stands, else the owners that must come off."""

    kind: str
    point: Vector
    off: tuple[str, ...]


@dataclass(frozen=True)
class BoardPlace:
    """A screwed board in its place.

    Parameters
    ----------
    board : Fitted of Board
        What it is.
    body : Body
        Where it is.
    in_grommets : bool
        It stands in grommets.
    under_board : Clear
        From the underside of the bare board down.
    under_parts, over_parts : Clear
        From its lowest part down, and from its highest up.
    sides : tuple of Side
        Front, left, rear, right in its own axes.
    around : tuple of (Body, Prism)
        Everything but itself and the hardware of its own screws that is near enough to matter.
    """

    board: Fitted[Board]
    body: Body
    in_grommets: bool
    under_board: Clear
    under_parts: Clear
    over_parts: Clear
    sides: tuple[Side, ...]
    around: tuple[tuple[Body, Prism], ...] = field(repr=False, compare=False)


def board_places(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> list[BoardPlace]:
    """Return every screwed board, in the order of the design.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    """
    made = []
    for board in fitted(assembly, Board):
        if board.record.pattern is None:
            continue
        words = [i.text for i in board.equipment.items if i.role == board.role]
        for body in board.bodies:
            others = _others(assembly, prisms, body)
            bare, below, above = _boxes(body)
            faces = [(bare, bare[2], -1.0), (below, below[2], -1.0), (above, above[3], 1.0)]
            (under, under_parts, over_parts), sides = _clear(body, faces, bare, others)
            grommets = any("grommet" in text for text in words)
            made.append(BoardPlace(board, body, grommets, under, under_parts, over_parts, sides, tuple(others)))
    return made


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
    passed = {*_HARDWARE, "battery", "propeller"}
    groups = [("motor", point) for point in pads_of(body, record)] if record.motor_pads else []
    groups += [("battery", point) for point in battery_pads(place, connector_point(assembly))]
    if not groups:
        return []
    points = np.array([point for _, point in groups]) + 0.1 * np.array(body.frame.n)
    outward = (points - body.frame.origin) * (1.0, 1.0, 0.0)
    outward /= np.maximum(np.linalg.norm(outward, axis=1), 1e-9)[:, None]
    others = [(b, p) for b, p in place.around if b.role not in passed]
    up = np.tile((0.0, 0.0, 1.0), (len(groups), 1))
    starts, ways = np.concatenate([points, points]), np.concatenate([up, (up + outward) / math.sqrt(2)])
    met: list[dict[str, None]] = [{} for _ in ways]
    for n, m in np.argwhere(np.isfinite(hit_distances([p for _, p in others], starts, ways, _IRON))).tolist():
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
    length, width, _, top = _boxes(place.body)[0]
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
    bare, below, above = _boxes(place.body)
    middle = np.array(place.body.frame.point(0.0, 0.0, (below[2] + above[3]) / 2))
    ways = directions_about((0.0, 0.0, 1.0), math.pi, _N_AIR)
    others = [p for b, p in place.around if b.role != "propeller"]
    number, _ = first_hits(others, middle, ways, reach + max(bare[0], bare[1]) / 2)
    return float(np.mean(number < 0))


def _others(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], body: Body) -> list[tuple[Body, Prism]]:
    """Return everything but a board and the hardware of its own screws, near enough to matter."""
    others = [
        (b, p)
        for b in assembly.bodies
        if b is not body and not (b.owner == body.owner and b.role in _HARDWARE)
        for p in prisms[b.name]
    ]
    boxes = np.array([p.box for _, p in others]).reshape(-1, 2, 3)
    near = boxes_near(boxes, prisms[body.name][0].box, _IRON + 5.0).tolist()
    return [row for row, is_near in zip(others, near, strict=True) if is_near]


def _boxes(body: Body) -> list[tuple[float, float, float, float]]:
    """Length, width, bottom and top of the bare board, of the parts under it, and of those on it."""
    boxes = []
    for solid in body.solids:
        assert isinstance(solid.shape, Box)
        boxes.append((solid.shape.length, solid.shape.width, solid.offset, solid.offset + solid.shape.height))
    bare = boxes[0]
    below = next((b for b in boxes[1:] if b[2] < bare[2]), bare)
    above = next((b for b in boxes[1:] if b[3] > bare[3]), bare)
    return [bare, below, above]


def _clear(
    body: Body,
    faces: Sequence[tuple[tuple[float, float, float, float], float, float]],
    bare: tuple[float, float, float, float],
    others: Sequence[tuple[Body, Prism]],
) -> tuple[list[Clear], tuple[Side, ...]]:
    """Return the sides, and the least air beyond faces, each a box, a height and a direction, by even grids of rays."""
    points, ways = [], []
    for box, height, sign in faces:
        u, v = np.meshgrid(*(np.linspace(-0.49, 0.49, _GRID) * size for size in box[:2]))
        points.append(_points(body, u.ravel(), v.ravel(), height))
        ways.append(np.tile(sign * np.array(body.frame.n), (u.size, 1)))
    sides = _side_rays(body, bare)
    rows = _first(others, np.concatenate(points + sides[0]), np.concatenate(ways + sides[1]))
    size = _GRID * _GRID
    air = [min(rows[k * size : (k + 1) * size], key=lambda c: c.gap) for k in range(len(faces))]
    return air, tuple(_sides(sides[1], rows[len(faces) * size :]))


def _side_rays(body: Body, bare: tuple[float, float, float, float]) -> tuple[list[Floats], list[Floats]]:
    """Return points along the four sides of a board, at the height of a plug, and the ways they look."""
    length, width = bare[0] / 2, bare[1] / 2
    height = bare[3] + _PLUG_HEIGHT
    points, ways = [], []
    for turn in range(4):
        cos, sin = round(math.cos(turn * math.pi / 2)), round(math.sin(turn * math.pi / 2))
        reach, half = (length, width) if turn % 2 == 0 else (width, length)
        across = np.arange(-half + 1.0, half - 1.0 + 1e-9, _PLUG_STEP)
        points.append(_points(body, cos * reach - sin * across, sin * reach + cos * across, height))
        ways.append(np.tile(np.array(body.frame.u) * cos + np.array(body.frame.v) * sin, (len(across), 1)))
    return points, ways


def _sides(ways: Sequence[Floats], rows: Sequence[Clear]) -> Iterator[Side]:
    """Yield the four sides with the free distance in front of the clearest width of a plug."""
    for way in ways:
        own, rows = rows[: len(way)], rows[len(way) :]
        count = min(round(_PLUG_WIDTH / _PLUG_STEP) + 1, len(own))
        windows = [min(own[k : k + count], key=lambda c: c.gap) for k in range(len(own) - count + 1)]
        name = _SIDES[round(math.atan2(way[0, 1], way[0, 0]) / (math.pi / 4)) % 8]
        yield Side(name, max(windows, key=lambda c: c.gap))


def _points(body: Body, u: Floats, v: Floats, height: float) -> Floats:
    """Return points of a board's own axes in the frame, (n, 3) [mm]."""
    frame = body.frame
    origin = np.array(frame.origin) + height * np.array(frame.n)
    points: Floats = origin + np.outer(u, frame.u) + np.outer(v, frame.v)
    return points


def _first(others: Sequence[tuple[Body, Prism]], points: Floats, ways: Floats) -> list[Clear]:
    """Return what is met first from each of some points."""
    number, far = first_hits([p for _, p in others], points, ways, _REACH)
    return [Clear(d, others[n][0] if n >= 0 else None) for n, d in zip(number.tolist(), far.tolist(), strict=True)]
