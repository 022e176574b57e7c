"""Boards in their stacks: gaps under and over them, and the free distance at each of their sides.

Both are looked for along straight rays from the board's own faces, cast for all boards at once. Hardware of a board's
own screws is left out: it belongs to the stack. Lengths in mm, frame axes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Box
from platewright.fit.proximity import boxes_near
from platewright.fit.rays import Fan, first_hits_of
from platewright.fit.solids import Prism
from platewright.fit.things import Fitted, fitted
from platewright.geometry.curves import Floats
from platewright.model.catalogue.electronics import Board

__all__ = ["HARDWARE", "BoardPlace", "Clear", "Side", "board_places", "faces_of"]

HARDWARE = frozenset(("screw", "nut", "washer", "standoff", "spacer"))

_GRID = 9  # rays along each side of a face
_SPREAD = np.linspace(-0.49, 0.49, _GRID)  # where they stand, as shares of its length
_PLUG_STEP = 2.0  # between rays along a side [mm]
_REACH = 40.0  # what is farther from a side is no hindrance [mm]
_HAND = 5.0  # how far beside a board an iron may stand [mm]
_RULES = ("plug_width", "plug_height", "iron_length")
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
    screwed = [(t, body) for t in fitted(assembly, Board) if t.record.pattern is not None for body in t.bodies]
    width, height, iron = (assembly.catalogue.rule(f"board_stack.{name}_mm").value for name in _RULES)
    around = _around(assembly, prisms, [body for _, body in screwed], iron + _HAND)
    rays = [_rays(body, height) for _, body in screwed]
    fans = [
        Fan([p for _, p in others], np.concatenate(points), np.concatenate(ways))
        for others, (points, ways) in zip(around, rays, strict=True)
    ]
    made = []
    hits = first_hits_of(fans, _REACH) if fans else []
    for (board, body), others, (_, ways), (number, far) in zip(screwed, around, rays, hits, strict=True):
        met = [Clear(d, others[n][0] if n >= 0 else None) for n, d in zip(number.tolist(), far.tolist(), strict=True)]
        size = _GRID * _GRID
        under, under_parts, over_parts = (min(met[k * size : (k + 1) * size], key=_gap) for k in range(3))
        sides = tuple(_sides(ways[3:], met[3 * size :], width))
        grommets = any("grommet" in i.text for i in board.equipment.items if i.role == board.role)
        made.append(BoardPlace(board, body, grommets, under, under_parts, over_parts, sides, tuple(others)))
    return made


def faces_of(body: Body) -> tuple[tuple[float, float, float, float], ...]:
    """Return length, width, bottom and top of the bare board, of the parts under it, and of those on it [mm]."""
    boxes = []
    for solid in body.solids:
        assert isinstance(solid.shape, Box)
        boxes.append((solid.shape.length, solid.shape.width, solid.offset, solid.offset + solid.shape.height))
    bare = boxes[0]
    below = next((b for b in boxes[1:] if b[2] < bare[2]), bare)
    above = next((b for b in boxes[1:] if b[3] > bare[3]), bare)
    return bare, below, above


def _around(
    assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], bodies: Sequence[Body], within: float
) -> list[list[tuple[Body, Prism]]]:
    """Return for each board everything but itself and the hardware of its own screws, near enough to matter."""
    solids = [(b, p) for b in assembly.bodies for p in prisms[b.name]]
    boxes = np.array([p.box for _, p in solids]).reshape(-1, 2, 3)
    found = []
    for own in bodies:
        near = [solids[n] for n in np.nonzero(boxes_near(boxes, prisms[own.name][0].box, within))[0].tolist()]
        found.append([(b, p) for b, p in near if b is not own and not (b.owner == own.owner and b.role in HARDWARE)])
    return found


def _rays(body: Body, height: float) -> tuple[list[Floats], list[Floats]]:
    """Return where rays begin and where they go: even grids down from two faces and up from one, then the sides."""
    bare, below, above = faces_of(body)
    points, ways = [], []
    for box, level, sign in ((bare, bare[2], -1.0), (below, below[2], -1.0), (above, above[3], 1.0)):
        u, v = np.meshgrid(_SPREAD * box[0], _SPREAD * box[1])
        points.append(_points(body, u.ravel(), v.ravel(), level))
        ways.append(np.tile(sign * np.array(body.frame.n), (u.size, 1)))
    sides = _side_rays(body, bare, height)
    return points + sides[0], ways + sides[1]


def _side_rays(
    body: Body, bare: tuple[float, float, float, float], over_board: float
) -> tuple[list[Floats], list[Floats]]:
    """Return points along the four sides of a board, at the height of a plug, and the ways they look."""
    length, width = bare[0] / 2, bare[1] / 2
    height = bare[3] + over_board
    points, ways = [], []
    for turn in range(4):
        cos, sin = round(math.cos(turn * math.pi / 2)), round(math.sin(turn * math.pi / 2))
        reach, half = (length, width) if turn % 2 == 0 else (width, length)
        across = np.arange(-half + 1.0, half - 1.0 + 1e-9, _PLUG_STEP)
        points.append(_points(body, cos * reach - sin * across, sin * reach + cos * across, height))
        ways.append(np.tile(np.array(body.frame.u) * cos + np.array(body.frame.v) * sin, (len(across), 1)))
    return points, ways


def _sides(ways: Sequence[Floats], rows: Sequence[Clear], width: float) -> Iterator[Side]:
    """Yield the four sides with the free distance in front of the clearest width of a plug."""
    for way in ways:
        own, rows = rows[: len(way)], rows[len(way) :]
        count = min(round(width / _PLUG_STEP) + 1, len(own))
        windows = [min(own[k : k + count], key=_gap) for k in range(len(own) - count + 1)]
        name = _SIDES[round(math.atan2(way[0, 1], way[0, 0]) / (math.pi / 4)) % 8]
        yield Side(name, max(windows, key=_gap))


def _points(body: Body, u: Floats, v: Floats, height: float) -> Floats:
    """Return points of a board's own axes in the frame, (n, 3) [mm]."""
    frame = body.frame
    origin = np.array(frame.origin) + height * np.array(frame.n)
    points: Floats = origin + np.outer(u, frame.u) + np.outer(v, frame.v)
    return points


def _gap(clear: Clear) -> float:
    return clear.gap
