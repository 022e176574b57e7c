"""Packing pieces onto one sheet by the library, with the grid for what it cannot place. Lengths in mm."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence

from platewright.fabrication.nest import Layout, NestPart, Piece, Stock
from platewright.fabrication.raster import Grid, SheetRaster
from platewright.fabrication.strip import Search, pack_strip

__all__ = ["pack_sheet"]


def pack_sheet(
    stock: Stock,
    pieces: Sequence[Piece],
    parts: Mapping[str, NestPart],
    grid: Grid,
    search: Search,
    found: Callable[[float], None],
) -> tuple[Layout | None, bool]:
    """Pack pieces into the largest rectangle that clamps leave free; what reaches too far is laid on the grid.

    Parameters
    ----------
    stock : Stock
        The sheet.
    pieces : sequence of Piece
        What to lay; where it lies now does not matter.
    parts : mapping
        Parts by name.
    grid : Grid
        Masks, and the spacing.
    search : Search
        Time, seed and workers.
    found : callable
        Told how far along the sheet each better packing reaches [mm].

    Returns
    -------
    Layout or None, bool
        The sheet, None if not every piece found room; and whether the library was stopped.
    """
    x0, y0, x1, y1 = stock.rectangle(grid.spacing)
    items = [(parts[key], n) for key, n in sorted(Counter(p.part for p in pieces).items())]
    strip = pack_strip(items, y1 - y0, grid.spacing, search, lambda length: found(length - grid.spacing + x0))
    if strip is None:
        return None, False
    shifted = [Piece(p.part, p.x + x0, p.y + y0, p.turn) for p in strip.pieces]
    polygons = [p.polygon(parts[p.part]) for p in shifted]
    inside = [polygon.bounds[2] <= x1 + 1e-6 for polygon in polygons]
    kept = [p for p, ok in zip(shifted, inside, strict=True) if ok]
    beyond = [parts[p.part] for p, ok in zip(shifted, inside, strict=True) if not ok]
    if beyond:
        raster = SheetRaster(grid, stock, [polygon for polygon, ok in zip(polygons, inside, strict=True) if ok])
        for part in sorted(beyond, key=lambda part: -part.area):
            laid = raster.place(part)
            if laid is None:
                return None, strip.interrupted
            kept.append(laid)
    return Layout(stock, tuple(kept)), strip.interrupted
