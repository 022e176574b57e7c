"""Independent check of a built outline: every step repeated on polygons of chords, by another library.

An offset is repeated as a union (or difference) with the strips and discs that its edges sweep; the library's own
buffer is of no use here, because it simplifies its input by up to a hundredth of the distance.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

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

__all__ = ["AREA_TOLERANCE", "check_offset", "check_outline", "check_union"]

AREA_TOLERANCE = 2e-5  # relative; 256 chords in a quarter circle lose 6e-6 of a disc


def check_union(region: Sequence[Loop], solids: Sequence[Loop]) -> None:
    """Compare a union with the same one of polygons.

    Raises
    ------
    GeometryError
        If the areas differ by more than 2e-5 of the whole.
    """
    _compare("the union of the solids", region, float(_merged(solids).area))


def check_offset(before: Sequence[Loop], after: Sequence[Loop], distance: float) -> None:
    """Compare an offset with the same one of polygons.

    Raises
    ------
    GeometryError
        If the areas differ by more than 2e-5 of the whole.
    """
    swept = shapely.union_all(list(_swept(before, distance)))
    polygon = _even_odd(before)
    shape = polygon.union(swept) if distance > 0 else polygon.difference(swept)
    _compare(f"the offset by {distance:g} mm", after, float(shape.area))


def check_outline(outline: Outline, closed: Sequence[Loop], removed: Sequence[Loop], tabs: Sequence[Loop]) -> None:
    """Compare the finished outline with its last steps on polygons, and see that it does not cross itself.

    Raises
    ------
    GeometryError
        If the areas differ by more than 2e-5 of the whole, or the outline crosses itself.
    """
    shape = _even_odd(closed)
    if removed:
        shape = shape.difference(_merged(removed))
    if tabs:
        shape = shape.union(_merged(tabs))
    _agree("the outline", outline_area(outline), float(shape.area))
    if not to_shapely(outline).is_valid:
        msg = "the outline crosses or touches itself; move the features that just touch one another."
        raise GeometryError(msg)


def _compare(what: str, region: Sequence[Loop], polygons: float) -> None:
    _agree(what, sum(loop_area(loop) for loop in region), polygons)


def _agree(what: str, exact: float, polygons: float) -> None:
    if abs(exact - polygons) > AREA_TOLERANCE * max(exact, polygons):
        msg = (
            f"the area of {what} is {exact:.4f} mm2, but a check with polygons gives {polygons:.4f} mm2; "
            "features that just touch are the usual reason: move one of them by 0.01 mm or change the fillet radius."
        )
        raise GeometryError(msg)


def _merged(loops: Iterable[Loop]) -> shapely.Geometry:
    return shapely.union_all([to_shapely(Outline(loop)) for loop in loops])


def _even_odd(region: Sequence[Loop]) -> shapely.Geometry:
    material = _merged(loop for loop in region if loop_area(loop) > 0)
    openings = [loop for loop in region if loop_area(loop) < 0]
    return material.difference(_merged(openings)) if openings else material


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
