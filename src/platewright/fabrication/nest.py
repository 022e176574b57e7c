"""What a nest is made of: parts, sheets to cut them from, and where each piece lies. Lengths in mm, angles in rad.

A sheet lies with its length along x and its lower left corner at the origin. A piece is turned about its part's own
origin and then shifted; it is never turned over.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import shapely

from platewright.fabrication.rectangles import largest_rectangle
from platewright.geometry.loops import Isometry, Outline, outline_area, to_shapely, transform_outline

__all__ = ["Layout", "Nest", "NestPart", "Piece", "Stock", "faults_of", "turned"]

_QUADRANT = 32  # chords in a quarter circle; they enclose less than 0.1 % of it
_ROUNDING = 1e-3  # the solver computes in single precision [mm]


@dataclass(frozen=True)
class NestPart:
    """A part to cut.

    Parameters
    ----------
    key : str
        What it is called.
    outline : Outline
        In its own axes [mm].
    quantity : int
        Pieces.
    turns : tuple of float or None
        Angles at which it may lie [rad]; None for any.
    """

    key: str
    outline: Outline
    quantity: int
    turns: tuple[float, ...] | None = (0.0,)

    @cached_property
    def area(self) -> float:
        """Area of material [mm^2]."""
        return outline_area(self.outline)

    @cached_property
    def polygon(self) -> shapely.Polygon:
        """The part as a polygon of chords."""
        return to_shapely(self.outline, _QUADRANT)

    def at(self, turn: float) -> shapely.Polygon:
        """Return the polygon turned about the part's origin."""
        return turned(self.polygon, turn)


@dataclass(frozen=True)
class Stock:
    """A kind of sheet, or an offcut.

    Parameters
    ----------
    key : str
        What it is called.
    length, width : float
        Along x and y [mm].
    margin : float
        Rim that is not cut [mm].
    clamps : tuple of (x, y, length, width)
        Rectangles that no part may touch [mm].
    cost : float
        What one costs; only compared [-].
    available : int or None
        How many there are; None for as many as needed.
    offcut : bool
        Whether it is used first.
    """

    key: str
    length: float
    width: float
    margin: float
    clamps: tuple[tuple[float, float, float, float], ...] = ()
    cost: float = 1.0
    available: int | None = None
    offcut: bool = False

    @cached_property
    def region(self) -> shapely.Polygon | shapely.MultiPolygon:
        """Where parts may lie, but for the spacing to clamps."""
        m = self.margin
        return shapely.box(m, m, self.length - m, self.width - m).difference(self.clamped)

    @cached_property
    def clamped(self) -> shapely.Geometry:
        """What clamps cover."""
        return shapely.union_all([shapely.box(x, y, x + a, y + b) for x, y, a, b in self.clamps])

    def rectangle(self, spacing: float) -> tuple[float, float, float, float]:
        """Return the largest rectangle that keeps clear of rim and clamps: x0, y0, x1, y1 [mm]."""
        m = self.margin
        taken = [(x - spacing, y - spacing, x + a + spacing, y + b + spacing) for x, y, a, b in self.clamps]
        return largest_rectangle((m, m, self.length - m, self.width - m), taken)

    @property
    def area(self) -> float:
        """Of the whole sheet [mm^2]."""
        return self.length * self.width


@dataclass(frozen=True)
class Piece:
    """One piece on a sheet: its part, shift [mm] and turn [rad]."""

    part: str
    x: float
    y: float
    turn: float

    @property
    def motion(self) -> Isometry:
        """From the part's own axes to the sheet."""
        return Isometry.from_turn(self.turn, self.x, self.y, False)

    def polygon(self, part: NestPart) -> shapely.Polygon:
        """Return the piece as a polygon."""
        return shapely.transform(part.at(self.turn), lambda points: points + np.array([self.x, self.y]))

    def outline(self, part: NestPart) -> Outline:
        """Return the piece, exact."""
        return transform_outline(part.outline, self.motion)


@dataclass(frozen=True)
class Layout:
    """One sheet with its pieces, in no order."""

    stock: Stock
    pieces: tuple[Piece, ...]

    def used_length(self, parts: dict[str, NestPart]) -> float:
        """Return how far along x its pieces reach [mm]."""
        return max((p.polygon(parts[p.part]).bounds[2] for p in self.pieces), default=0.0)

    def part_area(self, parts: dict[str, NestPart]) -> float:
        """Return the area of its pieces [mm^2]."""
        return sum(parts[p.part].area for p in self.pieces)


@dataclass(frozen=True)
class Nest:
    """Sheets that together hold every piece.

    Parameters
    ----------
    parts : tuple of NestPart
        What was asked for.
    layouts : tuple of Layout
        The sheets.
    spacing : float
        Least distance between two pieces [mm].
    interrupted : bool
        Whether it was stopped before its time was up.
    """

    parts: tuple[NestPart, ...]
    layouts: tuple[Layout, ...]
    spacing: float
    interrupted: bool = False
    seconds: float = field(default=0.0, compare=False)

    @cached_property
    def by_key(self) -> dict[str, NestPart]:
        """Parts by what they are called."""
        return {p.key: p for p in self.parts}

    @property
    def score(self) -> tuple[float, float]:
        """Cost of all sheets, then the area that is used of the last; the lesser is the better."""
        last = self.layouts[-1] if self.layouts else None
        used = last.used_length(self.by_key) * last.stock.width if last is not None else 0.0
        return sum(layout.stock.cost for layout in self.layouts), used

    @property
    def density(self) -> float:
        """Area of pieces over area of sheets, the last counted as far as it is used [-]."""
        if not self.layouts:
            return 0.0
        whole = sum(layout.stock.area for layout in self.layouts[:-1]) + self.score[1]
        return sum(layout.part_area(self.by_key) for layout in self.layouts) / whole


def turned(polygon: shapely.Polygon, turn: float) -> shapely.Polygon:
    """Return a polygon turned about the origin."""
    c, s = math.cos(turn), math.sin(turn)
    return shapely.transform(polygon, lambda p: p @ [[c, s], [-s, c]])


def faults_of(nest: Nest) -> Iterable[str]:
    """Yield what is wrong with a nest: pieces too near to one another, a clamp or the rim, missing or too many."""
    counts = {p.key: 0 for p in nest.parts}
    for layout in nest.layouts:
        polygons = [p.polygon(nest.by_key[p.part]) for p in layout.pieces]
        for piece in layout.pieces:
            counts[piece.part] += 1
        frame = shapely.box(0, 0, layout.stock.length, layout.stock.width).buffer(
            _ROUNDING - layout.stock.margin, join_style="mitre"
        )
        for piece, polygon in zip(layout.pieces, polygons, strict=True):
            if not frame.covers(polygon):
                yield f"{piece.part} leaves {layout.stock.key}"
            if layout.stock.clamps and polygon.distance(layout.stock.clamped) < nest.spacing - _ROUNDING:
                yield f"{piece.part} meets a clamp of {layout.stock.key}"
        tree = shapely.STRtree(polygons)
        near = tree.query(polygons, predicate="dwithin", distance=nest.spacing - _ROUNDING)
        for a, b in near.T.tolist():
            if a < b:
                yield f"{layout.pieces[a].part} lies too near to {layout.pieces[b].part} on {layout.stock.key}"
    for part in nest.parts:
        if counts[part.key] != part.quantity:
            yield f"{part.key}: {counts[part.key]} pieces instead of {part.quantity}"
