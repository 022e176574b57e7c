"""Drawing the pieces of one sheet together after they were packed. Lengths in mm.

The piece that reaches farthest is laid anew wherever the grid has room farther left, in openings too, as long as that
helps. Then all pieces move together a little: the packer ends where chance takes it, its polygons are simplified
outwards and the grid is coarse, so that gaps between pieces hold more than they must.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from platewright.fabrication.compaction import compacted
from platewright.fabrication.nest import Layout, NestPart, Piece
from platewright.fabrication.raster import Grid, SheetRaster

__all__ = ["tightened"]

_CHORDS = 0.02  # kept beside the spacing: chords cut as much off two facing arcs of radius 33 [mm]
_LEAST = 0.05  # what a piece laid anew must gain [mm]


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
    shifts = compacted([p.polygon(parts[p.part]) for p in pieces], layout.stock, grid.spacing + _CHORDS).tolist()
    moved = (replace(p, x=p.x + dx, y=p.y + dy) for p, (dx, dy) in zip(pieces, shifts, strict=True))
    return Layout(layout.stock, tuple(moved))


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
