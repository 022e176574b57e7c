"""Independent check of a built outline: every step repeated on polygons of chords, by another library.

An offset is repeated as a union (or difference) with the strips and discs that its edges sweep; the library's own
buffer is of no use here, because it simplifies its input by up to a hundredth of the distance.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np
import shapely

from platewright.foundation.errors import GeometryError
from platewright.geometry.curves import Curves, curves_of
from platewright.geometry.loops import (
    QUADRANT_SEGMENTS,
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

AREA_TOLERANCE = 2e-5  # relative; 256 chords in a quarter circle lose 6e-6 of a disc
# A union of many polygons now and then drops one. Rounding all points to this grid cures it, but takes three times as
# long, so it serves as a second opinion [mm].
GRID = 1e-9


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
    strips = list(_swept(before, distance))

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
        msg = (
            f"the outline must not cross or touch itself ({shapely.is_valid_reason(polygon)} mm); "
            "move the features that meet there."
        )
        raise GeometryError(msg)


def _area(region: Region) -> float:
    return sum(loop_area(loop) for loop in region)


def _agree(what: str, exact: float, polygons: Callable[[float | None], shapely.Geometry]) -> None:
    for grid in (None, GRID):
        area = float(polygons(grid).area)
        if abs(exact - area) <= AREA_TOLERANCE * max(exact, area):
            return
    msg = (
        f"the area of {what} is {exact:.4f} mm2, but a check with polygons gives {area:.4f} mm2; "
        "features that just touch are the usual reason: move one of them by 0.01 mm or change the fillet radius."
    )
    raise GeometryError(msg)


def _merged(loops: Iterable[Loop], grid: float | None) -> shapely.Geometry:
    return shapely.union_all([to_shapely(Outline(loop)) for loop in loops], grid_size=grid)


def _polygons(region: Region, grid: float | None) -> shapely.Geometry:
    """Return a region as polygons; an island in an opening is material again."""
    return shapely.union_all([to_shapely(outline) for outline in outlines_of(region)], grid_size=grid)


def _swept(region: Sequence[Loop], distance: float) -> Iterable[shapely.Polygon]:
    """Yield what lies within the distance beside each edge, on the side of the change, and about its corners."""
    for loop in region:
        edges = curves_of([loop.vertices])
        arriving, leaving = np.roll(edges.tangent(1.0), 1), edges.tangent(0.0)
        corner = np.abs(np.angle(leaving * arriving.conj())) > 1e-9
        reached = edges.radius + distance * np.sign(edges.sweep)
        past_centre = edges.is_arc & (reached < 0)
        corner |= past_centre | np.roll(past_centre, 1)
        for i in range(len(edges)):
            yield _strip(edges, i, distance)
            if corner[i]:
                centre = complex(edges.start[i])
                yield to_shapely(Outline(circle_loop(Circle(centre.real, centre.imag, abs(distance)))))


def _strip(edges: Curves, i: int, distance: float) -> shapely.Polygon:
    edge = edges.take(np.array([i]))
    if edge.radius[0] == 0:
        points = np.array([edge.start[0], edge.end[0]])
        other = points - 1j * edge.tangent(0.0) * distance
    else:
        count = int(np.ceil(abs(edge.sweep[0]) / (0.5 * np.pi / QUADRANT_SEGMENTS) - 1e-9))
        rays = np.exp(1j * (edge.angle[0] + edge.sweep[0] * np.linspace(0.0, 1.0, max(count, 1) + 1)))
        points = edge.centre[0] + edge.radius[0] * rays
        other = edge.centre[0] + max(edge.radius[0] + distance * np.sign(edge.sweep[0]), 0.0) * rays
    ring = np.concatenate([points, other[::-1]])
    return shapely.polygons(shapely.linearrings(ring.real, ring.imag))
