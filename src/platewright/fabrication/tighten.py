"""Drawing the pieces of one sheet together after they were packed. Lengths in mm.

The piece that reaches farthest is laid anew wherever the grid has room farther left, in openings too, as long as that
helps. Then every piece slides left, straight or slanting, until it meets others at the spacing: the packer's polygons
are simplified outwards and the grid is coarse, so that each gap between two pieces holds a little more than it must.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely

from platewright.fabrication.nest import Layout, NestPart, Piece, Stock
from platewright.fabrication.raster import Grid, SheetRaster

__all__ = ["tightened"]

_STEPS = (2.0, 0.5, 0.1, 0.02)  # of a slide, tried in turn [mm]
_SLANTS = (0.0, 1.0, -1.0)  # of a slide: how far across for each step to the left [-]
_ROUNDS = 12  # of slides at most
_CHORDS = 0.02  # kept beside the spacing: chords cut as much off two facing arcs of radius 33 [mm]
_LEAST = 0.05  # what a piece laid anew or a round must gain [mm]


def tightened(layout: Layout, parts: Mapping[str, NestPart], grid: Grid) -> Layout:
    """Return a sheet with its pieces drawn to the left, as long as before or shorter.

    Parameters
    ----------
    layout : Layout
        Sound: its pieces keep their spacing.
    parts : mapping
        Parts by name.
    grid : Grid
        Masks, and the spacing.
    """
    pieces = _drawn_back(layout, parts, grid)
    polygons = [p.polygon(parts[p.part]) for p in pieces]
    return Layout(layout.stock, _slid(pieces, polygons, layout.stock, grid.spacing + _CHORDS))


def _drawn_back(layout: Layout, parts: Mapping[str, NestPart], grid: Grid) -> list[Piece]:
    """Lay the piece that reaches farthest anew, again and again."""
    pieces = list(layout.pieces)
    polygons = [p.polygon(parts[p.part]) for p in pieces]
    while pieces:
        ends = [polygon.bounds[2] for polygon in polygons]
        n = int(np.argmax(ends))
        others = [polygon for k, polygon in enumerate(polygons) if k != n]
        laid = SheetRaster(grid, layout.stock, others).place(parts[pieces[n].part])
        if laid is None:
            return pieces
        polygon = laid.polygon(parts[laid.part])
        if polygon.bounds[2] > ends[n] - _LEAST:
            return pieces
        pieces[n], polygons[n] = laid, polygon
    return pieces


def _slid(
    pieces: Sequence[Piece], polygons: Sequence[shapely.Polygon], stock: Stock, spacing: float
) -> tuple[Piece, ...]:
    """Slide each piece left as far as it goes, those on the left first."""
    moved, shapes = list(pieces), np.array(polygons, dtype=object)
    shapely.prepare(shapes)
    bounds = shapely.bounds(shapes)
    for _ in range(_ROUNDS):
        gained = 0.0
        for n in np.argsort(bounds[:, 0]).tolist():
            shift = _slide(n, shapes, bounds, stock, spacing)
            if shift != (0.0, 0.0):
                moved[n] = replace(moved[n], x=moved[n].x + shift[0], y=moved[n].y + shift[1])
                shapes[n] = _shifted(shapes[n], *shift)
                shapely.prepare(shapes[n])
                bounds[n] = shapely.bounds(shapes[n])
                gained = max(gained, -shift[0])
        if gained < _LEAST:
            break
    return tuple(moved)


def _slide(n: int, shapes: np.ndarray, bounds: np.ndarray, stock: Stock, spacing: float) -> tuple[float, float]:
    """Return the way that one piece can go."""
    reach = spacing + _STEPS[0]
    x0, y0, x1, y1 = bounds[n]
    near = (bounds[:, 0] < x1 + reach) & (bounds[:, 2] > x0 - 10 * reach)
    near &= (bounds[:, 1] < y1 + 10 * reach) & (bounds[:, 3] > y0 - 10 * reach)
    near[n] = False
    others, m = shapes[near], stock.margin
    x = y = 0.0
    for step in _STEPS:
        for slant in _SLANTS:
            while max(-x, abs(y)) < 8 * reach:
                dx, dy = x - step, y + slant * step
                inside = x0 + dx >= m and y0 + dy >= m and y1 + dy <= stock.width - m
                piece = _shifted(shapes[n], dx, dy)
                if not inside or shapely.dwithin(others, piece, spacing).any() or _clamped(piece, stock, spacing):
                    break
                x, y = dx, dy
    return x, y


def _clamped(polygon: shapely.Polygon, stock: Stock, spacing: float) -> bool:
    return bool(stock.clamps) and polygon.distance(stock.clamped) < spacing


def _shifted(polygon: shapely.Polygon, dx: float, dy: float) -> shapely.Polygon:
    return shapely.transform(polygon, lambda points: points + np.array([dx, dy]))
