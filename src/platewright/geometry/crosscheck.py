"""Independent check of a built outline: every step repeated on polygons of chords, by another library.

The chords of an arc enclose exactly its area: their inner points stand a little outside it. So 64 of them in a quarter
circle are enough where an arc is cut short.

An offset is repeated as a union (or difference) with the strips and discs that its edges sweep; the library's own
buffer is of no use here, because it simplifies its input by up to a hundredth of the distance.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np
import shapely

from platewright.foundation.errors import GeometryError
from platewright.geometry.curves import Vertex, curves_of
from platewright.geometry.loops import (
    Circle,
    Loop,
    Outline,
    circle_loop,
    loop_area,
    outline_area,
    to_shapely,
)
from platewright.geometry.regions import Region, outlines_of

__all__ = ["AREA_TOLERANCE", "check_offset", "check_outline", "check_union"]

AREA_TOLERANCE = 2e-5  # relative
QUADRANT_CHORDS = 64
# A union of many polygons now and then drops one or fails. Rounding all points to a grid cures it, but takes three
# times as long, so it serves as a second opinion [mm].
GRIDS = (None, 1e-9, 1e-6)


def check_union(region: Region, solids: Sequence[Loop]) -> None:
    """Compare a union with the same one of polygons.

    Raises
    ------
    GeometryError
        If the areas differ by more than 2e-5 of the whole.
    """
    _agree("the union of the solids", _area(region), lambda grid: _merged(solids, grid))


def check_offset(before: Region, after: Region, distance: float) -> None:
    """Compare an offset with the same one of polygons.

    Raises
    ------
    GeometryError
        If the areas differ by more than 2e-5 of the whole.
    """
    strips = _swept(before, distance)

    def polygons(grid: float | None) -> shapely.Geometry:
        swept, start = shapely.union_all(strips, grid_size=grid), _polygons(before, grid)
        change = shapely.union if distance > 0 else shapely.difference
        return change(start, swept, grid_size=grid)

    _agree(f"the offset by {distance:g} mm", _area(after), polygons)


def check_outline(outline: Outline, closed: Region, removed: Sequence[Loop], tabs: Sequence[Loop]) -> None:
    """Compare the finished outline with its last steps on polygons, and see that it does not cross itself.

    Raises
    ------
    GeometryError
        If the areas differ by more than 2e-5 of the whole, or the outline crosses itself.
    """

    def polygons(grid: float | None) -> shapely.Geometry:
        shape = _polygons(closed, grid)
        if removed:
            shape = shapely.difference(shape, _merged(removed, grid), grid_size=grid)
        return shapely.union(shape, _merged(tabs, grid), grid_size=grid) if tabs else shape

    _agree("the outline", outline_area(outline), polygons)
    polygon = to_shapely(outline)
    if not polygon.is_valid:
        what, _, at = shapely.is_valid_reason(polygon).partition("[")
        where = ", ".join(f"{float(number):.3f}" for number in at.strip("]").split())
        msg = (
            f"the outline must not cross or touch itself ({what.lower()} at {where} mm); "
            "move the features that meet there."
        )
        raise GeometryError(msg)


def _area(region: Region) -> float:
    return sum(loop_area(loop) for loop in region)


def _agree(what: str, exact: float, polygons: Callable[[float | None], shapely.Geometry]) -> None:
    seen = "fails"
    for grid in GRIDS:
        try:
            area = float(polygons(grid).area)
        except shapely.errors.GEOSException:
            continue
        if abs(exact - area) <= AREA_TOLERANCE * max(exact, area):
            return
        seen = f"gives {area:.4f} mm2"
    msg = (
        f"the area of {what} is {exact:.4f} mm2, but a check with polygons {seen}; "
        "features that just touch are the usual reason: move one of them by 0.01 mm or change the fillet radius."
    )
    raise GeometryError(msg)


def _merged(loops: Iterable[Loop], grid: float | None) -> shapely.Geometry:
    return shapely.union_all(shapely.polygons(_rings([loop.vertices for loop in loops])), grid_size=grid)


def _polygons(region: Region, grid: float | None) -> shapely.Geometry:
    """Return a region as polygons; an island in an opening is material again."""
    polygons = [_polygon(outline) for outline in outlines_of(region)]
    if grid is not None:  # chords of two arcs that part in a cusp may cross beside it
        polygons = list(shapely.make_valid(polygons))
    return shapely.union_all(polygons, grid_size=grid)


def _polygon(outline: Outline) -> shapely.Polygon:
    loops = (outline.outer, *outline.inner, *(circle_loop(c) for c in outline.circles))
    rings = _rings([loop.vertices for loop in loops])
    return shapely.polygons(rings[0], rings[1:] if len(rings) > 1 else None)


def _swept(region: Region, distance: float) -> shapely.Geometry:
    """Return what lies within the distance beside each edge, on the side of the change, and about its corners."""
    edges = curves_of([loop.vertices for loop in region])
    last = np.cumsum([len(loop.vertices) for loop in region]) - 1
    before = np.arange(len(edges)) - 1
    before[np.concatenate([[0], last[:-1] + 1])] = last
    corner = np.abs(np.angle(edges.tangent(0.0) * edges.tangent(1.0)[before].conj())) > 1e-9
    reached = edges.radius + distance * np.sign(edges.sweep)
    past_centre = edges.is_arc & (reached < 1e-9)
    corner |= past_centre | past_centre[before]
    discs = [circle_loop(Circle(p.real, p.imag, abs(distance))).vertices for p in edges.start[corner].tolist()]
    columns = (
        edges.start,
        edges.end,
        edges.start - 1j * edges.tangent(0.0) * distance,
        edges.end - 1j * edges.tangent(1.0) * distance,
        edges.centre,
        np.tan(edges.sweep / 4),
        past_centre,
    )
    strips: list[tuple[Vertex, ...]] = []
    for p, q, p_moved, q_moved, c, bulge, ends_in_centre in zip(*(column.tolist() for column in columns), strict=True):
        far = [(c, 0.0)] if ends_in_centre else [(q_moved, -bulge), (p_moved, 0.0)]
        strips.append(tuple((z.real, z.imag, b) for z, b in [(p, bulge), (q, 0.0), *far]))
    return shapely.polygons(_rings([*discs, *strips]))


def _rings(loops: Sequence[Sequence[Vertex]]) -> Any:
    """Return rings of chords whose ends lie on the edges, and which enclose the same area as the arcs."""
    edges = curves_of(loops)
    owner = np.repeat(np.arange(len(loops)), [len(loop) for loop in loops])
    n = np.where(edges.is_arc, np.ceil(np.abs(edges.sweep) / (0.5 * np.pi / QUADRANT_CHORDS)) + 1, 1).astype(np.intp)
    edge = np.repeat(np.arange(len(n)), n)
    place = np.arange(len(edge)) - np.repeat(np.cumsum(n) - n, n)
    points = edges.take(edge).at(place / n[edge])
    # Inner points at k radii: (n - 2) triangles of k^2 and two of k make up the sector, n step / sin(step).
    step = np.abs(edges.sweep) / n
    sector = n * step / np.where(edges.is_arc, np.sin(step), 1.0)
    k = np.where(edges.is_arc, sector / (1 + np.sqrt(1 + np.maximum(n - 2, 0) * sector)), 1.0)
    points = points + (points - edges.centre[edge]) * np.where(place > 0, k[edge] - 1, 0.0)
    return shapely.linearrings(points.real, y=points.imag, indices=owner[edge])
