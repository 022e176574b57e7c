"""Nesting pieces on as few and as cheap sheets as the time allows. Lengths in mm, angles in rad, times in s.

First every piece is laid on a grid, the largest first, each as far left as it can lie, also in openings of others: a
complete nest in a second. What lies in openings then moves with its host. Sheet by sheet the pieces are packed into a
shorter strip by the library, the room that this frees is filled from the last sheets, and sheets are packed with some
more than they hold now, as long as there is time. Each step leaves a complete nest, so it may be stopped at any moment.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from platewright.fabrication.filling import fill, fill_one, largest_first, other_orders
from platewright.fabrication.groups import Group, grouped, ungrouped
from platewright.fabrication.nest import Layout, Nest, NestPart, Piece, Stock, faults_of
from platewright.fabrication.packing import pack_sheet
from platewright.fabrication.raster import Grid, SheetRaster
from platewright.fabrication.strip import WORKERS, Search
from platewright.fabrication.tighten import tightened
from platewright.foundation.errors import GeometryError

__all__ = ["nest_parts"]

Progress = Callable[[str], None]
Keep = Callable[[Nest], None]
_OVERFILL = (1.0, 0.97, 0.94, 0.9)  # how much of a sheet's length the area of its pieces would take, tried in turn
_SHARE_OF_ORDERS = 0.25  # of the time, for other orders of the pieces [-]
_ORDERS = 40  # of the pieces that are tried at most
_LAST = 4  # sheets at the end that are tried together on a cheaper one
_ENDING = 1.5  # kept for drawing together, the last check and what the library takes longer [s]
_SHARE_OF_RUN = 0.6  # of the time that is left, for each packing of a single sheet [-]
_SHORT = 6.0  # what is left after later packings is split off only if it is longer [s]
_LEAST = 1.0  # the library takes whole seconds [s]


def nest_parts(
    parts: Sequence[NestPart],
    stocks: Sequence[Stock],
    spacing: float,
    seconds: float,
    seed: int,
    clock: Callable[[], float],
    progress: Progress = lambda _: None,
    start: Nest | None = None,
    keep: Keep = lambda _: None,
    tries: int | None = None,
) -> Nest:
    """Nest parts.

    Parameters
    ----------
    parts : sequence of NestPart
        What to cut, each with its own name.
    stocks : sequence of Stock
        Sheets and offcuts; offcuts are used first.
    spacing : float
        Least distance between two pieces [mm].
    seconds : float
        Time to take [s]; below 1 the first nest is the last.
    seed : int
        Of the search.
    clock : callable
        Gives the time [s].
    progress : callable
        Told what is being done.
    start : Nest, optional
        An earlier nest of the same parts to go on from.
    keep : callable
        Given each better nest, whole, so that it may be kept.
    tries : int, optional
        Orders of the pieces to try on the grid, whatever the time, and nothing else: the same seed then gives the same
        nest everywhere.

    Raises
    ------
    GeometryError
        If a part fits on no sheet, or offcuts alone are not enough.
    """
    begin = clock()
    wanted = tuple(parts)
    layouts = list(start.layouts) if start is not None else []
    interrupted = False
    if start is None:
        progress("laying pieces on a grid")
        try:
            layouts = fill(largest_first(wanted), stocks, Grid(spacing))
        except KeyboardInterrupt:  # this first nest takes a moment, and without it there would be none
            interrupted = True
            layouts = fill(largest_first(wanted), stocks, Grid(spacing))
    nest = Nest(wanted, tuple(layouts), spacing)
    best = nest

    def better(found: Nest) -> None:
        nonlocal best
        if found.score < best.score:
            best = found
        keep(best)

    work = _Work(nest, stocks, spacing, seed, progress, better)
    try:
        work.cheapen()
        nest = Nest(wanted, work.layouts(), spacing)
        better(nest)
        seconds, tries = (0.0, 0) if interrupted else (seconds, tries)
        until = clock() + _SHARE_OF_ORDERS * (begin + seconds - clock())
        if tries is not None:
            nest = other_orders(nest, stocks, seed, lambda tried: tried < tries, progress, better)
        elif start is None and seconds >= _LEAST and len(nest.layouts) > 1:
            nest = other_orders(nest, stocks, seed, lambda tried: tried < _ORDERS and clock() < until, progress, better)
        work = _Work(nest, stocks, spacing, seed, progress, better)
        if tries is None:
            end = begin + seconds - min(_ENDING, seconds / 10)
            work.improve(lambda: end - clock())
    except KeyboardInterrupt:
        interrupted = True
    best = min(best, Nest(wanted, work.layouts(), spacing), key=lambda found: found.score)
    nest = Nest(wanted, best.layouts, spacing, interrupted or work.interrupted, clock() - begin)
    faults = list(faults_of(nest))
    if faults:
        msg = f"the nest did not pass its own check: {faults[0]}."
        raise GeometryError(msg)
    return nest


class _Work:
    """A nest being improved: layouts of groups, complete after each step."""

    def __init__(
        self, nest: Nest, stocks: Sequence[Stock], spacing: float, seed: int, progress: Progress, keep: Keep
    ) -> None:
        self._stocks, self._spacing, self._seed, self._progress = stocks, spacing, seed, progress
        self._wanted, self._keep = nest.parts, keep
        self._grid = Grid(spacing)
        self._parts: dict[str, NestPart] = dict(nest.by_key)
        self._groups: dict[str, Group] = {}
        self._layouts: list[Layout] = []
        self._tight: Layout | None = None  # drawn together already
        self._runs = 0
        self.interrupted = False
        for layout in nest.layouts:
            pieces, groups = grouped(layout.pieces, nest.by_key)
            self._add(groups)
            self._layouts.append(Layout(layout.stock, pieces))

    def _add(self, groups: dict[str, Group]) -> None:
        self._groups |= groups
        self._parts |= {key: group.part for key, group in groups.items()}

    def layouts(self) -> tuple[Layout, ...]:
        """Return the sheets with every piece of its own."""
        return tuple(Layout(layout.stock, ungrouped(layout.pieces, self._groups)) for layout in self._layouts)

    def improve(self, left: Callable[[], float]) -> None:
        """Work until the time that is left is up."""
        turn = 0
        while left() >= _LEAST and not self.interrupted and self._layouts:
            if len(self._layouts) == 1:
                self._improve_one(left)
                return
            before = [layout.pieces for layout in self._layouts]
            for k in range(len(self._layouts)):
                if k >= len(self._layouts) or left() < _LEAST or self.interrupted:
                    break
                seconds = round(left() / (2 * len(self._layouts))) if turn == 0 else min(4, round(left() / 4))
                self._shorten(k, self._layouts[k].pieces, max(1, seconds))
                self._refill(k)
                self._keep(Nest(self._wanted, self.layouts(), self._spacing))
            for k in range(len(self._layouts) - 1):
                if k < len(self._layouts) - 1 and left() >= _LEAST and not self.interrupted:
                    self._overfill(k, _OVERFILL[turn % len(_OVERFILL)], max(1, min(4, math.floor(left() / 3))))
            self.cheapen()
            self._keep(Nest(self._wanted, self.layouts(), self._spacing))
            turn += 1
            settled = [layout.pieces for layout in self._layouts] == before
            if settled and turn > len(_OVERFILL):
                return

    def _improve_one(self, left: Callable[[], float]) -> None:
        """Work on a single sheet: pieces in their groups, then one by one just as the library alone, and again."""
        whole = self._layouts[0].pieces
        alone = ungrouped(whole, self._groups)
        ways = [(whole, WORKERS), (alone, None)] if len(alone) > len(whole) else [(alone, None), (alone, WORKERS)]
        turn = 0
        while left() >= _LEAST and not self.interrupted:
            pieces, workers = ways[turn % len(ways)]
            share = _SHARE_OF_RUN if turn == 0 or (1 - _SHARE_OF_RUN) * left() > _SHORT else 1.0
            self._shorten(0, pieces, max(1, math.floor(share * left())), workers)
            self._keep(Nest(self._wanted, self.layouts(), self._spacing))
            turn += 1

    def _shorten(self, k: int, pieces: Sequence[Piece], seconds: int, workers: int | None = WORKERS) -> None:
        """Pack the pieces of one sheet into a shorter strip, and draw those of the last together."""
        layout = self._layouts[k]
        packed = self._packed(layout.stock, pieces, seconds, f"sheet {k + 1} of {len(self._layouts)}", workers)
        last = k == len(self._layouts) - 1
        for found in (packed, layout):
            if found is None or found is self._tight:
                continue
            made = self._tightened(found) if last else found
            if made.used_length(self._parts) < self._layouts[k].used_length(self._parts) - 1e-6:
                self._layouts[k] = made
                self._tight = made if last else self._tight

    def _tightened(self, layout: Layout) -> Layout:
        """Draw the pieces of a sheet together; what then lies in openings goes with its host."""
        pieces = ungrouped(layout.pieces, self._groups)
        drawn = tightened(Layout(layout.stock, pieces), self._parts, self._grid)
        pieces, groups = grouped(drawn.pieces, self._parts)
        self._add(groups)
        return Layout(layout.stock, pieces)

    def _overfill(self, k: int, share: float, seconds: int) -> None:
        """Pack one sheet with some more pieces, from the last sheets."""
        layout = self._layouts[k]
        x0, _, x1, _ = layout.stock.rectangle(self._spacing)
        used = max(layout.used_length(self._parts) - x0, 1.0)
        area = layout.part_area(self._parts)
        room = area / used * (x1 - x0) * share - area
        more: list[tuple[int, Piece]] = []
        for n in range(len(self._layouts) - 1, k, -1):
            for piece in sorted(self._layouts[n].pieces, key=lambda p: -self._parts[p.part].area):
                if self._parts[piece.part].area <= room:
                    more.append((n, piece))
                    room -= self._parts[piece.part].area
        if not more:
            return
        pieces = (*layout.pieces, *(piece for _, piece in more))
        packed = self._packed(layout.stock, pieces, seconds, f"sheet {k + 1} with {len(more)} more pieces")
        if packed is not None:
            self._move(k, packed, more)

    def _refill(self, k: int) -> None:
        """Lay pieces of the last sheets into the room that one sheet has left."""
        if k == len(self._layouts) - 1:
            return
        layout = self._layouts[k]
        raster = SheetRaster(self._grid, layout.stock, [p.polygon(self._parts[p.part]) for p in layout.pieces])
        new: list[Piece] = []
        moved: list[tuple[int, Piece]] = []
        failed: set[str] = set()
        for n in range(len(self._layouts) - 1, k, -1):
            for piece in sorted(self._layouts[n].pieces, key=lambda p: -self._parts[p.part].area):
                laid = None if piece.part in failed else raster.place(self._parts[piece.part])
                if laid is None:
                    failed.add(piece.part)
                else:
                    new.append(laid)
                    moved.append((n, piece))
        if moved:
            self._move(k, Layout(layout.stock, (*layout.pieces, *new)), moved)

    def _move(self, k: int, layout: Layout, moved: Sequence[tuple[int, Piece]]) -> None:
        """Take a new layout of one sheet, and its new pieces from theirs; drop sheets that are then empty."""
        layouts = list(self._layouts)
        layouts[k] = layout
        for n, piece in moved:
            pieces = list(layouts[n].pieces)
            pieces.remove(piece)
            layouts[n] = Layout(layouts[n].stock, tuple(pieces))
        self._layouts = [layout for layout in layouts if layout.pieces]

    def cheapen(self) -> None:
        """Lay the pieces of the last sheets together on one that is cheaper than they are, where that is possible."""
        bought = sum(1 for layout in self._layouts if not layout.stock.offcut)
        for count in range(min(_LAST, bought), 0, -1):
            tail = self._layouts[-count:]
            cost, area = (sum(values) for values in zip(*((t.stock.cost, t.stock.area) for t in tail), strict=True))
            used = [layout.stock for layout in self._layouts[:-count]]
            pieces = [self._parts[p.part] for layout in tail for p in layout.pieces]
            pool = sorted(pieces, key=lambda part: -part.area)
            for stock in sorted(self._stocks, key=lambda s: (s.cost, s.area)):
                free = stock.available is None or used.count(stock) < stock.available
                smaller = count == 1 and stock.cost == cost and stock.area < area
                if free and (stock.cost < cost or smaller):
                    laid, rest = fill_one(pool, stock, self._grid)
                    if not rest:
                        self._layouts[-count:] = [Layout(stock, laid)]
                        return

    def _packed(
        self, stock: Stock, pieces: Sequence[Piece], seconds: int, what: str, workers: int | None = WORKERS
    ) -> Layout | None:
        """Pack pieces with the library, each time with another seed."""
        self._progress(f"{what}: packing")

        def found(length: float) -> None:
            self._progress(f"{what}: {length:.0f} mm")

        search = Search(seconds, self._seed + self._runs, workers)
        packed, stopped = pack_sheet(stock, pieces, self._parts, self._grid, search, found)
        self._runs += 1
        self.interrupted = self.interrupted or stopped
        return packed
