"""Packing pieces into a strip as short as possible, by the library `spyrrow`, within a time and until stopped.

The library packs simple polygons, so openings are left out here, and each polygon is grown by half the spacing; it
counts its time in whole seconds. The same seed takes the same way, but how far it comes depends on the machine. Lengths
in mm.
"""

from __future__ import annotations

import math
import os
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import shapely
import spyrrow

from platewright.fabrication.nest import NestPart, Piece

__all__ = ["WORKERS", "Search", "StripResult", "pack_strip"]

WORKERS = max(4, os.cpu_count() or 1)  # four find shorter strips than two in the same time, also on two processors
_FINE = 0.05  # polygons are simplified outwards by as much [mm]
_EXTRA = 0.01  # the library computes in single precision [mm]
_POLL = 0.05  # between looks at what it has found [s]
_QUADRANT = 8  # chords in a quarter circle of a grown corner


@dataclass(frozen=True)
class Search:
    """How the library searches.

    Parameters
    ----------
    seconds : int
        Time to take, 1 or more [s].
    seed : int
        Of the search.
    workers : int or None
        Threads, each with a search of its own, of which the library goes on with the best; None for one a processor.
    """

    seconds: int
    seed: int
    workers: int | None = WORKERS


@dataclass(frozen=True)
class StripResult:
    """A packed strip: its length [mm], its pieces from the corner at the origin, and whether it was stopped."""

    length: float
    pieces: tuple[Piece, ...]
    interrupted: bool


def pack_strip(
    items: Sequence[tuple[NestPart, int]],
    width: float,
    spacing: float,
    search: Search,
    found: Callable[[float], None] = lambda _: None,
) -> StripResult | None:
    """Pack pieces into a strip.

    Parameters
    ----------
    items : sequence of (NestPart, int)
        Parts and how many of each.
    width : float
        Of the strip [mm].
    spacing : float
        Least distance between two pieces [mm].
    search : Search
        How to search.
    found : callable
        Told the length of each better strip [mm]; it runs in the caller's own thread.

    Returns
    -------
    StripResult or None
        The shortest strip found; None if a part is wider than the strip, or none was found.

    Raises
    ------
    KeyboardInterrupt
        If it is stopped before any was found.
    """
    grown = [(part, count, _grown(part, spacing)) for part, count in items if count]
    if any(not _enters(polygon, part, width + spacing) for part, _, polygon in grown):
        return None
    shapes = [
        spyrrow.Item(
            part.key,
            [(x, y) for x, y in shapely.get_coordinates(polygon.exterior)[:-1].tolist()],
            count,
            None if part.turns is None else [math.degrees(t) for t in part.turns],
        )
        for part, count, polygon in grown
    ]
    instance = spyrrow.StripPackingInstance("", width + spacing, shapes)
    config = spyrrow.StripPackingConfig(
        total_computation_time=search.seconds, seed=search.seed, num_workers=search.workers
    )
    solution, interrupted = _solve(instance, config, found)
    if solution is None:
        return None
    half = spacing / 2
    pieces = tuple(
        Piece(item.id, item.translation[0] - half, item.translation[1] - half, math.radians(item.rotation))
        for item in solution.placed_items
    )
    return StripResult(solution.width - spacing, pieces, interrupted)


def _solve(
    instance: spyrrow.StripPackingInstance, config: spyrrow.StripPackingConfig, found: Callable[[float], None]
) -> tuple[spyrrow.StripPackingSolution | None, bool]:
    """Run the library beside and watch it, so that an interrupt finds the best so far; its thread then ends unheard."""
    queue = spyrrow.ProgressQueue()
    done: list[spyrrow.StripPackingSolution] = []
    thread = threading.Thread(target=lambda: done.append(instance.solve(config, queue)), daemon=True)
    best: spyrrow.StripPackingSolution | None = None

    def look() -> None:
        nonlocal best
        for report, solution in queue.drain():
            feasible = report in (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas, spyrrow.ReportType.Final)
            if feasible and (best is None or solution.width < best.width):
                best = solution
                found(solution.width)

    thread.start()
    try:
        while thread.is_alive():
            time.sleep(_POLL)
            look()
    except KeyboardInterrupt:
        look()
        if best is None:
            raise
        return best, True
    look()
    return (done[0] if done and (best is None or done[0].width <= best.width) else best), False


@lru_cache(maxsize=512)
def _grown(part: NestPart, spacing: float) -> shapely.Polygon:
    """Return the part without openings, grown by half the spacing and simplified outwards."""
    outer = shapely.Polygon(part.polygon.exterior)
    reach = spacing / 2 + _FINE + _EXTRA
    grown = outer.buffer(reach, quad_segs=_QUADRANT).simplify(_FINE)
    return shapely.Polygon(grown.exterior)


def _enters(polygon: shapely.Polygon, part: NestPart, width: float) -> bool:
    """Whether a part is narrower than the strip at some turn."""
    turns = part.turns if part.turns is not None else [k * math.pi / 36 for k in range(36)]
    points = shapely.get_coordinates(polygon)
    heights = (points @ [math.sin(t), math.cos(t)] for t in turns)
    return any(float(h.max() - h.min()) <= width for h in heights)
