"""A sheet of edges sorted into plates with their openings, marks, and what cannot be explained [mm].

Nothing is dropped in silence: every edge belongs to a plate, to a mark with its reason, or to the unexplained.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from platewright.foundation.errors import GeometryError
from platewright.geometry.chain import Chains, Gap, LooseEdge, find_chains, loose_end_words
from platewright.geometry.loops import Circle, Loop, Outline, circle_loop, loop_area
from platewright.geometry.nesting import rings_of, self_crossing, surrounding
from platewright.geometry.recognise.leftovers import Remark, leftovers
from platewright.geometry.recognise.openings import Opening, opening_of
from platewright.geometry.recognise.tidy import distinct_circles, tidy_edges

__all__ = ["Sheet", "SheetPlate", "sort_sheet"]

_BORDER_CORNERS = 4


@dataclass(frozen=True)
class SheetPlate:
    """One plate of a sheet.

    Parameters
    ----------
    outline : Outline
        Openings that are round within 0.02 mm as circles, all others as they were drawn.
    openings : tuple of Opening
        In the order of the drawing.
    like : int
        Number of the first plate of the same area, edges and number of openings; its own where it is the first.
    """

    outline: Outline
    openings: tuple[Opening, ...]
    like: int


@dataclass(frozen=True)
class Sheet:
    """What a sheet holds."""

    plates: tuple[SheetPlate, ...]
    remarks: tuple[Remark, ...]
    gaps: tuple[Gap, ...]
    doubles: int
    merged: int


def sort_sheet(
    edges: Sequence[LooseEdge],
    edge_sources: Sequence[int],
    circles: Sequence[Circle],
    circle_sources: Sequence[int],
    gap_tol: float,
    *,
    border: bool = True,
) -> Sheet:
    """Sort the cut edges of a sheet.

    Parameters
    ----------
    edges, edge_sources
        Loose edges, and the number of the source of each.
    circles, circle_sources
        The same of circles.
    gap_tol : float
        Loose ends nearer than this are joined [mm].
    border : bool
        Whether one rectangle round plates that have openings is the border of the sheet, not a plate with windows.

    Raises
    ------
    GeometryError
        If nothing closes, an outline stays open round other loops, or loops cross themselves or one another.

    Examples
    --------
    >>> sheet = sort_sheet([((0, 0), (9, 0), 1.0), ((9, 0), (0, 0), 1.0)], [0, 0], [Circle(4, 0, 1)] * 2, [1, 1], 0.02)
    >>> len(sheet.plates), len(sheet.plates[0].openings), sheet.doubles
    (1, 1, 1)
    """
    tidied = tidy_edges(edges)
    chains = find_chains(tidied.edges, gap_tol)
    rounds = [*circles, *(circle for circle, _ in tidied.circles)]
    kept = distinct_circles(rounds)
    loops = [circle_loop(rounds[k]) for k in kept] + [chain.loop for chain in chains.closed]
    known: list[Circle | None] = [rounds[k] for k in kept] + [None] * len(chains.closed)
    if not loops:
        raise GeometryError(_nothing_closed(chains, gap_tol))
    rings = rings_of(loops)
    _check_simple(rings)
    around, meetings = surrounding(rings)
    if meetings:
        met = meetings[0]
        msg = (
            f"closed loops must not cross or touch; two of them meet at ({met.x:.3f}, {met.y:.3f}) mm"
            f"{_and_more(len(meetings) - 1)}; part them, or put what is no cut on a layer of its own."
        )
        raise GeometryError(msg)
    sources = [edge_sources[s] for s in tidied.sources]
    remarks: list[Remark] = []
    frame = _border(loops, around) if border else None
    if frame is not None:
        x, y, _ = loops[frame].vertices[0]
        source = sources[chains.closed[frame - len(kept)].edges[0]] if frame >= len(kept) else 0
        why = "a rectangle round plates that have openings; --no-border takes it as a plate"
        remarks.append(Remark("border of the sheet", len(loops[frame].vertices), source, x, y, why, explained=True))
        around = [[j for j in outer if j != frame] for outer in around]
    plates = _plates(loops, known, around, frame)
    remarks += leftovers(chains, tidied.edges, sources, rings, around, frame, gap_tol)
    doubles = tidied.doubles + len(rounds) - len(kept)
    if tidied.specks:
        remarks.append(Remark("edge without length", tidied.specks, 0, *edges[0][0], "left out", explained=True))
    return Sheet(plates, tuple(remarks), chains.gaps, doubles, tidied.merged)


def _nothing_closed(chains: Chains, gap_tol: float) -> str:
    loose = [end for run in chains.open_runs for end in (run.start, run.end)]
    if loose:
        return f"no edges form a closed loop; {loose_end_words(loose, gap_tol)}"
    if chains.branches:
        point, count = chains.branches[0].points[0]
        return f"no edges form a closed loop; {count} meet at ({point.real:.3f}, {point.imag:.3f}) mm; untangle them."
    return "nothing in it can be cut; draw closed loops of lines, arcs, circles, polylines, splines or ellipses."


def _check_simple(rings: Sequence[shapely.LinearRing]) -> None:
    crossed = np.nonzero(~shapely.is_simple(np.array(rings, dtype=object)))[0].tolist()
    if crossed:
        x, y = self_crossing(rings[crossed[0]]) or (0.0, 0.0)
        more = _and_more(len(crossed) - 1)
        msg = f"an outline must not cross itself; one does at ({x:.3f}, {y:.3f}) mm{more}; untangle it."
        raise GeometryError(msg)


def _border(loops: Sequence[Loop], around: Sequence[Sequence[int]]) -> int | None:
    """Return the one rectangle that holds everything else, if some of that has openings of its own."""
    outermost = [k for k, outer in enumerate(around) if not outer]
    deepest = max(len(outer) for outer in around)
    if len(outermost) != 1 or deepest < 2:
        return None
    vertices = loops[outermost[0]].vertices
    if len(vertices) != _BORDER_CORNERS or any(bulge for _, _, bulge in vertices):
        return None
    corners = [complex(x, y) for x, y, _ in vertices]
    sides = [corners[k] - corners[k - 1] for k in range(4)]
    square = all(abs((sides[k] * sides[k - 1].conjugate()).real) < 1e-6 * abs(sides[k]) ** 2 for k in range(4))
    return outermost[0] if square else None


def _plates(
    loops: Sequence[Loop], known: Sequence[Circle | None], around: Sequence[Sequence[int]], border: int | None
) -> tuple[SheetPlate, ...]:
    inside: list[list[int]] = [[] for _ in loops]
    for k, outer in enumerate(around):
        for j in outer:
            if len(around[j]) == len(outer) - 1:
                inside[j].append(k)
    outlines = [k for k, outer in enumerate(around) if k != border and len(outer) % 2 == 0]
    outlines.sort(key=lambda k: -abs(loop_area(loops[k])))
    made: list[SheetPlate] = []
    first: dict[tuple[float, int, int], int] = {}
    for n, k in enumerate(outlines):
        openings = tuple(_opening(loops[j], known[j]) for j in sorted(inside[k]))
        rounds = tuple(o.circle for o in openings if o.circle is not None and o.is_cut_as_circle)
        outline = Outline(loops[k], tuple(o.loop for o in openings if not o.is_cut_as_circle), rounds)
        area = loop_area(outline.outer) - sum(abs(loop_area(o.loop)) for o in openings)
        shape = (round(area, 2), len(loops[k].vertices), len(openings))
        made.append(SheetPlate(outline, openings, first.setdefault(shape, n)))
    return tuple(made)


def _opening(loop: Loop, known: Circle | None) -> Opening:
    return Opening(loop, known) if known is not None else opening_of(loop)


def _and_more(count: int) -> str:
    return f", {count} more elsewhere" if count else ""
