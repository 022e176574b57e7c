"""What a sheet holds beside its plates: lines that close no loop, and what each of them may be [mm]."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from platewright.foundation.errors import GeometryError
from platewright.geometry.chain import Chains, LooseEdge, OpenRun, loose_end_words

__all__ = ["Remark", "leftovers"]

_ON = 0.01  # a line this near to a cut edge all along is the same line [mm]


@dataclass(frozen=True)
class Remark:
    """Edges that are no cut of a plate, how many, why, and where the first is [mm].

    Parameters
    ----------
    what : str
        What they are, or may be.
    count : int
        Edges.
    source : int
        Number of the source of the first.
    why : str
        How that was told.
    explained : bool
        False for what stays open.
    """

    what: str
    count: int
    source: int
    x: float
    y: float
    why: str
    explained: bool


def leftovers(
    chains: Chains,
    edges: Sequence[LooseEdge],
    sources: Sequence[int],
    rings: Sequence[shapely.LinearRing],
    around: Sequence[Sequence[int]],
    border: int | None,
    gap_tol: float,
) -> list[Remark]:
    """Say of every open run and branch what it may be."""
    runs = [*chains.open_runs, *(OpenRun(b.edges, b.points[0][0], b.points[0][0]) for b in chains.branches)]
    if not runs:
        return []
    outer = [k for k in range(len(rings)) if k != border and len(around[k]) % 2 == 0]
    every = shapely.STRtree(rings)
    plates = shapely.STRtree(shapely.polygons([rings[k] for k in outer]))
    starts = shapely.STRtree([shapely.get_point(ring, 0) for ring in rings])
    remarks = []
    for n, run in enumerate(runs):
        line = _line(run, edges)
        x, y = shapely.get_coordinates(line)[0].tolist()
        branch = chains.branches[n - len(chains.open_runs)] if n >= len(chains.open_runs) else None
        about = (len(run.edges), sources[run.edges[0]], x, y)
        near = every.query(line, predicate="dwithin", distance=_ON)
        if len(near) and shapely.union_all([rings[k] for k in near]).buffer(_ON).covers(line):
            remarks.append(Remark("double of a cut edge", *about, "it lies on one all along", explained=True))
        elif len(plates.query(line, predicate="within")):
            across = branch is None and all(
                len(every.query(p, predicate="dwithin", distance=gap_tol + _ON)) for p in _tips(run)
            )
            what, why = (
                ("bend line", "from edge to edge of a plate") if across else ("engraving", "open, inside a plate")
            )
            remarks.append(Remark(f"{what}?", *about, why, explained=False))
        elif len(starts.query(line.convex_hull, predicate="contains")):
            raise GeometryError(_open_outline(run, branch is not None, chains, gap_tol))
        elif branch is not None:
            point, count = branch.points[0]
            why = f"{count} edges meet at ({point.real:.2f}, {point.imag:.2f}) mm, so it is no loop"
            remarks.append(Remark("tangle of edges", *about, why, explained=False))
        else:
            gap = abs(run.end - run.start)
            why = (
                f"its ends are {gap:.3f} mm apart; --gap-tol-mm joins ends" if len(run.edges) > 2 else "it stands alone"
            )
            remarks.append(Remark("open line outside every plate", *about, why, explained=False))
    return _gathered(remarks)


def _open_outline(run: OpenRun, tangled: bool, chains: Chains, gap_tol: float) -> str:
    if tangled:
        branch = next(b for b in chains.branches if b.edges == run.edges)
        point, count = branch.points[0]
        return (
            f"an outline round other loops is tangled: {count} edges meet at ({point.real:.3f}, {point.imag:.3f}) mm; "
            "two must; remove what is no cut, or put it on a layer of its own."
        )
    others = [e for r in chains.open_runs if r is not run for e in (r.start, r.end)]
    return f"an outline round other loops is open; {loose_end_words([run.end, run.start, *others], gap_tol)}"


def _line(run: OpenRun, edges: Sequence[LooseEdge]) -> shapely.Geometry:
    """Chords of a run; an arc by its ends and its middle."""
    parts = []
    for k in run.edges:
        (x0, y0), (x1, y1), bulge = edges[k]
        p, q = complex(x0, y0), complex(x1, y1)
        top = (p + q) / 2 - 1j * (q - p) / 2 * bulge
        points = [p, top, q] if bulge else [p, q]
        parts.append([(z.real, z.imag) for z in points])
    return shapely.MultiLineString(parts)


def _tips(run: OpenRun) -> list[shapely.Point]:
    return [shapely.Point(z.real, z.imag) for z in (run.start, run.end)]


def _gathered(remarks: Sequence[Remark]) -> list[Remark]:
    """Put remarks of one kind and source together, the first standing for all."""
    counts: Counter[tuple[str, int, str]] = Counter()
    first: dict[tuple[str, int, str], Remark] = {}
    for r in remarks:
        key = (r.what, r.source, r.why)
        counts[key] += r.count
        first.setdefault(key, r)
    return [Remark(r.what, counts[k], r.source, r.x, r.y, r.why, r.explained) for k, r in first.items()]
