"""Boards in their stacks: gaps under and over them, and the free distance at each of their sides.

Both are looked for along straight rays from the board's own faces, cast for all boards at once. Hardware of a board's
own screws is left out: it belongs to the stack. Lengths in mm, frame axes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Box
from platewright.fit.proximity import boxes_near
from platewright.fit.rays import Fan, Ints, first_hits_of
from platewright.fit.solids import Prism, axes_of
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


Face = tuple[float, float, float, float]  # length, width, bottom, top [mm]


@dataclass(frozen=True)
class _Rays:
    """Rays in a board's own axes, (n, 3) each, and how many there are for each face and side in turn."""

    points: Floats
    ways: Floats
    counts: tuple[int, ...]


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
    own = [_own_rays(faces_of(body), height) for _, body in screwed]
    fans = [
        Fan([p for _, p in others], *_rays(body, rays))
        for (_, body), others, rays in zip(screwed, around, own, strict=True)
    ]
    made = []
    hits = first_hits_of(fans, _REACH) if fans else []
    for (board, body), others, rays, fan, hit in zip(screwed, around, own, fans, hits, strict=True):
        nearest = hit[1][: 3 * _GRID**2].reshape(3, -1).argmin(axis=1) + _GRID**2 * np.arange(3)
        under, under_parts, over_parts = (_clear(others, hit, int(k)) for k in nearest)
        sides = _sides(fan.ways, hit[1], rays.counts[3:], width)
        made.append(
            BoardPlace(
                board,
                body,
                any("grommet" in i.text for i in board.equipment.items if i.role == board.role),
                under,
                under_parts,
                over_parts,
                tuple(Side(name, _clear(others, hit, k)) for name, k in sides),
                tuple(others),
            )
        )
    return made


def faces_of(body: Body) -> tuple[Face, Face, Face]:
    """Return length, width, bottom and top of the bare board, of the parts under it, and of those on it [mm]."""
    boxes = []
    for solid in body.solids:
        assert isinstance(solid.shape, Box)
        boxes.append((solid.shape.length, solid.shape.width, solid.offset, solid.offset + solid.shape.height))
    bare = boxes[0]
    below = next((b for b in boxes[1:] if b[2] < bare[2]), bare)
    above = next((b for b in boxes[1:] if b[3] > bare[3]), bare)
    return bare, below, above


def _clear(others: Sequence[tuple[Body, Prism]], hit: tuple[Ints, Floats], ray: int) -> Clear:
    """Return what a ray meets."""
    number = int(hit[0][ray])
    return Clear(float(hit[1][ray]), others[number][0] if number >= 0 else None)


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


def _rays(body: Body, fan: _Rays) -> tuple[Floats, Floats]:
    """Return where rays begin and where they go, in the frame, (n, 3) each."""
    origin, axes = axes_of(body.frame)
    return origin + fan.points @ axes, fan.ways @ axes


@lru_cache(maxsize=64)  # copies of a board share one, wherever they stand
def _own_rays(faces: tuple[Face, Face, Face], over_board: float) -> _Rays:
    """Return the rays of a board in its own axes: even grids down from two faces and up from one, then the sides."""
    bare, below, above = faces
    points, ways = [], []
    for face, level, sign in ((bare, bare[2], -1.0), (below, below[2], -1.0), (above, above[3], 1.0)):
        u, v = (grid.ravel() for grid in np.meshgrid(_SPREAD * face[0], _SPREAD * face[1]))
        points.append(np.stack([u, v, np.full(u.size, level)], axis=1))
        ways.append(np.tile((0.0, 0.0, sign), (u.size, 1)))
    height = bare[3] + over_board
    for turn in range(4):
        cos, sin = round(math.cos(turn * math.pi / 2)), round(math.sin(turn * math.pi / 2))
        reach, half = (bare[0] / 2, bare[1] / 2) if turn % 2 == 0 else (bare[1] / 2, bare[0] / 2)
        across = np.arange(-half + 1.0, half - 1.0 + 1e-9, _PLUG_STEP)
        flat = (cos * reach - sin * across, sin * reach + cos * across, np.full(len(across), height))
        points.append(np.stack(flat, axis=1))
        ways.append(np.tile((float(cos), float(sin), 0.0), (len(across), 1)))
    return _Rays(np.concatenate(points), np.concatenate(ways), tuple(len(way) for way in ways))


def _sides(ways: Floats, far: Floats, counts: Sequence[int], width: float) -> Iterator[tuple[str, int]]:
    """Yield of each side how it looks, and which ray is the shortest in front of the clearest width of a plug."""
    start = len(far) - sum(counts)
    for size in counts:
        own = far[start : start + size]
        count = min(round(width / _PLUG_STEP) + 1, size)
        windows = np.lib.stride_tricks.sliding_window_view(own, count).argmin(axis=1) + np.arange(size - count + 1)
        x, y, _ = ways[start].tolist()
        name = _SIDES[round(math.atan2(y, x) / (math.pi / 4)) % 8]
        yield name, start + int(windows[own[windows].argmax()])
        start += size
