"""Drawing of one sheet with all its pieces as a DXF file for the cutter [mm].

Layers are those of a part's drawing. The sheet's edge, its clamps and the pieces' names are on NOTE, which is never
cut; pieces follow one another in the order of cutting, in each the inside first.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from platewright.geometry.loops import Outline
from platewright.io.dxf import Countersink, add_cuts, drawn

__all__ = ["SheetPiece", "sheet_dxf"]

_NAME = 2.5  # height of names [mm]
_TITLE = 5.0  # height of the title [mm]
_GAP = 4.0  # between sheet and title [mm]
_ARROW = 40.0  # along the fabric [mm]
Point = tuple[float, float]


@dataclass(frozen=True)
class SheetPiece:
    """A piece as it lies: outline, name, where the name stands, engraved strokes and countersinks [mm]."""

    outline: Outline
    name: str
    at: Point
    strokes: tuple[tuple[Point, ...], ...] = ()
    countersinks: tuple[Countersink, ...] = ()


def sheet_dxf(
    title: str,
    length: float,
    width: float,
    clamps: Iterable[tuple[float, float, float, float]],
    pieces: Sequence[SheetPiece],
) -> bytes:
    """Return the DXF file of one sheet.

    Parameters
    ----------
    title : str
        Written above it.
    length, width : float
        Of the sheet, along x and y [mm].
    clamps : iterable of (x, y, length, width)
        Rectangles that are not cut [mm].
    pieces : sequence of SheetPiece
        In the order of cutting.
    """

    def draw(space: Any) -> None:
        for piece in pieces:
            add_cuts(space, piece.outline, piece.strokes, piece.countersinks)
            _text(space, piece.name, piece.at, _NAME)
        for x, y, a, b in ((0.0, 0.0, length, width), *clamps):
            corners = [(x, y), (x + a, y), (x + a, y + b), (x, y + b)]
            space.add_lwpolyline(corners, format="xy", close=True, dxfattribs={"layer": "NOTE"})
        y = width + _GAP
        _text(space, title, (0.0, y), _TITLE)
        y += _TITLE + _GAP
        ends = ((0.0, y), (_ARROW, y))
        barbs = ((_ARROW - 4.0, y + 1.6), (_ARROW - 4.0, y - 1.6))
        for start, end in (ends, (barbs[0], ends[1]), (barbs[1], ends[1])):
            space.add_line(start, end, {"layer": "NOTE"})
        _text(space, "direction 1 of the fabric", (_ARROW + _GAP, y - _NAME / 2), _NAME)
        top = y + _GAP
        right = max(length, len(title) * _TITLE)
        space.reset_extents((0.0, 0.0, 0), (right, top, 0))
        space.reset_limits((0.0, 0.0), (right, top))

    return drawn(draw)


def _text(space: Any, text: str, at: Point, height: float) -> None:
    plain = " ".join(text.split()).replace("%%", "%")  # two per cent signs begin a control code
    place = (math.floor(at[0] * 1e3) / 1e3, math.floor(at[1] * 1e3) / 1e3)
    space.add_text(plain, height=height, dxfattribs={"layer": "NOTE", "insert": place})
