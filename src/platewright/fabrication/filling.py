"""Filling sheets on the grid: one after another, in one order of the pieces or in many. Lengths in mm."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence

from platewright.fabrication.nest import Layout, Nest, NestPart, Piece, Stock
from platewright.fabrication.raster import Grid, SheetRaster
from platewright.foundation.errors import GeometryError

__all__ = ["fill", "fill_one", "largest_first", "other_orders"]

_SPREAD = 0.35  # of the random factor of an order [-]


def fill(pool: Sequence[NestPart], stocks: Sequence[Stock], grid: Grid) -> list[Layout]:
    """Lay pieces on a grid, sheet after sheet.

    Parameters
    ----------
    pool : sequence of NestPart
        One entry a piece, in the order in which they are laid.
    stocks : sequence of Stock
        Offcuts are filled first, the smallest first; of sheets always the one that is cheapest for what it then holds.
    grid : Grid
        Masks.

    Raises
    ------
    GeometryError
        If a piece fits nowhere.
    """
    left = list(pool)
    layouts: list[Layout] = []
    offcuts = sorted((s for s in stocks if s.offcut), key=lambda s: s.area)
    for stock in [s for s in offcuts for _ in range(s.available or 1)]:
        pieces, rest = fill_one(left, stock, grid)
        if pieces:
            layouts.append(Layout(stock, pieces))
            left = rest
    while left:
        tried = [(stock, *fill_one(left, stock, grid)) for stock in stocks if not stock.offcut]
        able = [t for t in tried if t[1]]
        if not able:
            raise GeometryError(_too_large(left[0], stocks))
        areas = {p.key: p.area for p in pool}
        stock, pieces, left = min(able, key=lambda t: t[0].cost / sum(areas[p.part] for p in t[1]))
        layouts.append(Layout(stock, pieces))
    return layouts


def fill_one(pool: Sequence[NestPart], stock: Stock, grid: Grid) -> tuple[tuple[Piece, ...], list[NestPart]]:
    """Lay as many pieces on one sheet as it holds; return them and the parts of those that are left."""
    raster = SheetRaster(grid, stock)
    pieces: list[Piece] = []
    rest: list[NestPart] = []
    failed: set[str] = set()
    for part in pool:
        piece = None if part.key in failed else raster.place(part)
        if piece is None:
            failed.add(part.key)
            rest.append(part)
        else:
            pieces.append(piece)
    return tuple(pieces), rest


def largest_first(parts: Sequence[NestPart]) -> list[NestPart]:
    """Return one entry a piece, the largest first."""
    return [p for p in sorted(parts, key=lambda p: -p.area) for _ in range(p.quantity)]


def other_orders(
    nest: Nest,
    stocks: Sequence[Stock],
    seed: int,
    go_on: Callable[[int], bool],
    progress: Callable[[str], None],
    keep: Callable[[Nest], None],
) -> Nest:
    """Return the best of nests on the grid, the pieces laid in other orders.

    Parameters
    ----------
    nest : Nest
        The best so far.
    stocks : sequence of Stock
        Sheets and offcuts.
    seed : int
        Of the orders.
    go_on : callable
        Given how many were tried, says whether to try another.
    progress : callable
        Told what is being done.
    keep : callable
        Given each better nest.
    """
    grid, rng, tried = Grid(nest.spacing), random.Random(seed), 0
    while go_on(tried):
        weight = {p.key: _size(p, tried) * math.exp(rng.gauss(0, _SPREAD if tried > 1 else 0.0)) for p in nest.parts}
        pool = [p for p in sorted(nest.parts, key=lambda p: -weight[p.key]) for _ in range(p.quantity)]
        found = Nest(nest.parts, tuple(fill(pool, stocks, grid)), nest.spacing)
        if found.score < nest.score:
            nest = found
            keep(nest)
        tried += 1
        progress(f"order {tried}: {len(nest.layouts)} sheets")
    return nest


def _size(part: NestPart, tried: int) -> float:
    """Return what parts are ordered by: the area of their box, their longest side, or by turns either."""
    x0, y0, x1, y1 = part.polygon.bounds
    return float((x1 - x0) * (y1 - y0) if tried % 2 == 0 else max(x1 - x0, y1 - y0) ** 2)


def _too_large(part: NestPart, stocks: Sequence[Stock]) -> str:
    x0, y0, x1, y1 = part.polygon.bounds
    sheets = [s for s in stocks if not s.offcut]
    if not sheets:
        return f"the offcuts are not enough for '{part.key}'; add a sheet of its material and thickness."
    largest = max(sheets, key=lambda s: s.area)
    return (
        f"part '{part.key}' of {x1 - x0:.0f} x {y1 - y0:.0f} mm fits on no sheet at the turns its fabric allows; the "
        f"largest is {largest.length:g} x {largest.width:g} mm with a rim of {largest.margin:g} mm."
    )
