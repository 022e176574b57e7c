"""Filling a sheet piece by piece on a grid, into holes and corners too: each as far left, then as low, as it can lie.

Cells of 1 mm. A cell is taken by a piece if its middle is nearer than the spacing and half a cell's diagonal; a part's
own cells are all that it touches. If no own cell lies on a taken one, the true distance is at least the spacing.
Positions that are forbidden are the correlation of taken with own cells, by Fourier transform; between two parts on the
grid it depends on their offset only and is kept. Lengths in mm, angles in rad.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import scipy.fft
import shapely
from numpy.typing import NDArray

from platewright.fabrication.nest import NestPart, Piece, Stock

__all__ = ["Grid", "SheetRaster"]

CELL = 1.0  # [mm]
_HALF_DIAGONAL = CELL * math.sqrt(0.5)
_SAMPLE = CELL / 8  # between points of an edge [mm]
_EXTRA = 0.02  # for what lies between two points of an edge [mm]
_EIGHTHS = tuple(k * math.pi / 4 for k in range(8))  # turns of a part that may lie at any [rad]

Mask = NDArray[np.bool_]
Images = NDArray[np.complex64]


@dataclass(frozen=True)
class _Shape:
    """Cells of a turned part: those it touches and those it takes from others, with the cell of each corner."""

    part: NestPart
    turn: float
    own: Mask
    own_corner: tuple[int, int]
    taken: Mask
    taken_corner: tuple[int, int]


class Grid:
    """Masks of parts and forbidden offsets between them, made when first asked for and kept.

    Parameters
    ----------
    spacing : float
        Least distance between two pieces [mm].
    """

    def __init__(self, spacing: float) -> None:
        self.spacing = spacing
        self._shapes: dict[tuple[str, float], _Shape] = {}
        self._forbidden: dict[tuple[str, float, str, float], tuple[Mask, tuple[int, int]]] = {}

    def shapes(self, part: NestPart) -> list[_Shape]:
        """Return a part at each turn it may lie at."""
        return [self._shape(part, turn) for turn in (_EIGHTHS if part.turns is None else part.turns)]

    def forbidden(self, lying: _Shape, other: _Shape) -> tuple[Mask, tuple[int, int]]:
        """Return shifts of `other` from `lying` at which it is too near, and the shift of the first, in cells."""
        key = (lying.part.key, lying.turn, other.part.key, other.turn)
        if key not in self._forbidden:
            size = tuple(a + b - 1 for a, b in zip(lying.taken.shape, other.own.shape, strict=True))
            mask = _correlate(_transform(lying.taken, size), other.own, size)
            h, w = other.own.shape
            mask = np.roll(mask, (h - 1, w - 1), axis=(0, 1))[: size[0], : size[1]]
            first = (
                lying.taken_corner[0] - other.own_corner[0] - (h - 1),
                lying.taken_corner[1] - other.own_corner[1] - (w - 1),
            )
            self._forbidden[key] = mask, first
        return self._forbidden[key]

    def _shape(self, part: NestPart, turn: float) -> _Shape:
        key = (part.key, turn)
        if key not in self._shapes:
            polygon = part.at(turn)
            own, own_corner = _touched(polygon)
            reach = self.spacing + _EXTRA + _HALF_DIAGONAL
            taken, taken_corner = _covered(polygon.buffer(reach))
            self._shapes[key] = _Shape(part, turn, own, own_corner, taken, taken_corner)
        return self._shapes[key]


@dataclass
class SheetRaster:
    """A sheet being filled.

    Parameters
    ----------
    grid : Grid
        Masks of the parts.
    stock : Stock
        The sheet.
    lying : sequence of shapely.Polygon
        What lies there already, anywhere.
    """

    grid: Grid
    stock: Stock
    lying: Sequence[shapely.Polygon] = ()
    _taken: Mask = field(init=False, repr=False)
    _image: dict[tuple[int, int], Images] = field(init=False, repr=False, default_factory=dict)
    _maps: dict[tuple[str, float], tuple[Mask, int]] = field(init=False, repr=False, default_factory=dict)
    _placed: list[tuple[_Shape, int, int]] = field(init=False, repr=False, default_factory=list)

    def __post_init__(self) -> None:
        rows, columns = math.floor(self.stock.width / CELL), math.floor(self.stock.length / CELL)
        self._taken = np.zeros((rows, columns), dtype=bool)
        m = self.stock.margin
        low, high = math.ceil(m / CELL - 1e-9), 1e-9 - m / CELL
        rows_end, columns_end = (math.floor(s / CELL + high) for s in (self.stock.width, self.stock.length))
        free = np.zeros_like(self._taken)
        free[low:rows_end, low:columns_end] = True
        self._taken |= ~free
        reach = self.grid.spacing + _EXTRA + _HALF_DIAGONAL
        around = [shapely.box(x, y, x + a, y + b).buffer(reach) for x, y, a, b in self.stock.clamps]
        around += [polygon.buffer(reach) for polygon in self.lying]
        for polygon in around:
            mask, (row, column) = _covered(polygon)
            _lay(self._taken, mask, row, column)

    def place(self, part: NestPart) -> Piece | None:
        """Lay one piece as far left, then as low, as any of its turns allows; None if it fits nowhere."""
        best: tuple[float, float, _Shape, int, int] | None = None
        for shape in self.grid.shapes(part):
            spot = self._first_free(shape)
            if spot is None:
                continue
            row, column = spot
            far = (column + shape.own_corner[1] + shape.own.shape[1], row)
            if best is None or far < best[:2]:
                best = (*far, shape, row, column)
        if best is None:
            return None
        _, _, shape, row, column = best
        self._placed.append((shape, row, column))
        return Piece(part.key, column * CELL, row * CELL, shape.turn)

    def _first_free(self, shape: _Shape) -> tuple[int, int] | None:
        """Return shift of the first free position, by columns, in cells."""
        mask = self._map(shape)
        if mask is None:
            return None
        columns = np.asarray(mask.all(axis=0))
        column = int(columns.argmin())
        if columns[column]:
            return None
        row = int(mask[:, column].argmin())
        return row - shape.own_corner[0], column - shape.own_corner[1]

    def _map(self, shape: _Shape) -> Mask | None:
        """Return where the corner of a shape's own cells must not lie, up to date."""
        key = (shape.part.key, shape.turn)
        rows, columns = (s - o + 1 for s, o in zip(self._taken.shape, shape.own.shape, strict=True))
        if rows <= 0 or columns <= 0:
            return None
        if key not in self._maps:
            size = self._taken.shape
            if size not in self._image:
                self._image[size] = _transform(self._taken, size)
            mask = _correlate(self._image[size], shape.own, size)[:rows, :columns].copy()
            self._maps[key] = mask, 0
        mask, done = self._maps[key]
        for lying, row, column in self._placed[done:]:
            other, first = self.grid.forbidden(lying, shape)
            _lay(mask, other, row + first[0] + shape.own_corner[0], column + first[1] + shape.own_corner[1])
        self._maps[key] = mask, len(self._placed)
        return mask


def _lay(target: Mask, mask: Mask, row: int, column: int) -> None:
    """Lay a mask into another, cut off at its edges."""
    r0, c0 = max(row, 0), max(column, 0)
    r1, c1 = min(row + mask.shape[0], target.shape[0]), min(column + mask.shape[1], target.shape[1])
    if r0 < r1 and c0 < c1:
        target[r0:r1, c0:c1] |= mask[r0 - row : r1 - row, c0 - column : c1 - column]


def _fast(size: tuple[int, ...]) -> tuple[int, int]:
    return scipy.fft.next_fast_len(size[0], real=True), scipy.fft.next_fast_len(size[1], real=True)


def _transform(mask: Mask, size: tuple[int, ...]) -> Images:
    return np.asarray(scipy.fft.rfft2(mask.astype(np.float32), _fast(size)))


def _correlate(image: Images, own: Mask, size: tuple[int, ...]) -> Mask:
    """Return where a mask meets another of which the transform is given; it wraps round the edges."""
    fast = _fast(size)
    met = scipy.fft.irfft2(image * np.conj(_transform(own, size)), fast)
    return np.asarray(met > 0.5)


def _covered(polygon: shapely.Polygon) -> tuple[Mask, tuple[int, int]]:
    """Return cells whose middle lies in a polygon, and row and column of the first."""
    x0, y0, x1, y1 = polygon.bounds
    column, row = math.floor(x0 / CELL), math.floor(y0 / CELL)
    x = (np.arange(column, math.ceil(x1 / CELL)) + 0.5) * CELL
    y = (np.arange(row, math.ceil(y1 / CELL)) + 0.5) * CELL
    shapely.prepare(polygon)
    return np.asarray(shapely.contains_xy(polygon, *np.meshgrid(x, y))), (row, column)


def _touched(polygon: shapely.Polygon) -> tuple[Mask, tuple[int, int]]:
    """Return cells that a polygon touches, and row and column of the first."""
    mask, (row, column) = _covered(polygon)
    for ring in (polygon.exterior, *polygon.interiors):
        points = shapely.get_coordinates(ring.segmentize(_SAMPLE))
        inside = np.minimum(np.floor(points / CELL).astype(int) - (column, row), np.array(mask.shape)[::-1] - 1)
        mask[inside[:, 1], inside[:, 0]] = True
    return mask, (row, column)
