"""From a sketch to one exact outline.

Order: union of the solids, closing with the fillet radius, half planes, cut-outs and slots, tabs. The closing fills
every notch narrower than two fillet radii, so what must stay crisp comes after it. Column holes are pierced later.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from platewright.foundation.errors import GeometryError
from platewright.geometry.crosscheck import check_offset, check_outline, check_union
from platewright.geometry.curves import Bools
from platewright.geometry.loops import (
    Circle,
    Isometry,
    Loop,
    Outline,
    circle_loop,
    transform_loop,
)
from platewright.geometry.regions import Region, combine, offset, outlines_of, union
from platewright.geometry.shapes import band_loop, rectangle_loop, rounded_polygon, slot_loop
from platewright.geometry.sketch import (
    CircleCut,
    Cut,
    HalfPlaneCut,
    PolygonCut,
    RectangleCut,
    Sketch,
    SlotCut,
)

__all__ = ["Operands", "build_outline", "cut_loop", "operands"]

_MIRRORS = {
    "": (Isometry(),),
    "y": (Isometry(), Isometry(flip=True)),
    "x": (Isometry(), Isometry(-1.0, 0.0, True)),
    "xy": (Isometry(), Isometry(flip=True), Isometry(-1.0, 0.0, True), Isometry(-1.0, 0.0)),
}


@dataclass(frozen=True)
class Operands:
    """Loops of a sketch after mirroring: solids, what is taken away, and tabs."""

    solids: tuple[Loop, ...]
    removed: tuple[Loop, ...]
    tabs: tuple[Loop, ...]
    fillet: float


def build_outline(sketch: Sketch) -> Outline:
    """Return the outline of a sketch, without column holes.

    Raises
    ------
    GeometryError
        If the sketch is empty, falls into several pieces, or the result fails its check against an independent area.

    Examples
    --------
    >>> from platewright.geometry.sketch import Link, Node
    >>> bar = Sketch((Node("a", 0, 0, 5), Node("b", 40, 0, 5)), (Link("a", "b", 10),))
    >>> len(build_outline(bar).outer.vertices)
    4
    """
    parts = operands(sketch)
    solid = _closed(parts.solids, parts.fillet)
    result = solid
    if parts.removed or parts.tabs:
        n_removed = len(parts.removed)

        def rule(inside: Bools) -> Bools:
            kept: Bools = inside[:, 0] & ~inside[:, 1 : 1 + n_removed].any(axis=1)
            return kept | inside[:, 1 + n_removed :].any(axis=1)

        result = combine([solid, *((loop,) for loop in (*parts.removed, *parts.tabs))], rule)
    found = outlines_of(result)
    if len(found) != 1:
        msg = f"the outline must be one connected piece (got {len(found)}); join the pieces by links or widen a link."
        raise GeometryError(msg)
    check_outline(found[0], solid, parts.removed, parts.tabs)
    return found[0]


def operands(sketch: Sketch) -> Operands:
    """Return the loops of a sketch, mirrored copies included."""
    if sketch.mirror not in _MIRRORS:
        msg = f"mirror must be one of '', 'x', 'y', 'xy' (got {sketch.mirror!r})."
        raise GeometryError(msg)
    if sketch.fillet < 0:
        msg = f"the fillet radius must be at least 0 mm (got {sketch.fillet})."
        raise GeometryError(msg)
    motions = _MIRRORS[sketch.mirror]
    solids = _repeated(((loop, True) for loop in _solids(sketch)), motions)
    if not solids:
        msg = "a sketch needs at least one node with a radius, link, web or polygon (got none)."
        raise GeometryError(msg)
    tabs = _repeated(
        ((rectangle_loop(t.x, t.y, t.length, t.width, turn=t.turn), t.mirrored) for t in sketch.tabs), motions
    )
    cuts = [(cut_loop(cut), cut.mirrored) for cut in (*sketch.cuts, *sketch.slots)]
    reach = 10 * max(abs(value) for loop in (*solids, *tabs) for x, y, _ in loop.vertices for value in (x, y, 1.0))
    halves = [(_half_plane(half, reach), half.mirrored) for half in sketch.half_planes]
    return Operands(solids, _repeated((*halves, *cuts), motions), tabs, sketch.fillet)


def cut_loop(cut: Cut) -> Loop:
    """Return the boundary of a cut-out."""
    match cut:
        case RectangleCut():
            return rectangle_loop(cut.x, cut.y, cut.length, cut.width, corner=cut.corner, turn=cut.turn)
        case SlotCut():
            return slot_loop(cut.x1, cut.y1, cut.x2, cut.y2, cut.width)
        case PolygonCut():
            return rounded_polygon(cut.points, [cut.corner] * len(cut.points))
        case CircleCut():
            return circle_loop(Circle(cut.x, cut.y, cut.diameter / 2))


def _closed(solids: Sequence[Loop], fillet: float) -> Region:
    """Return the union of the solids with inner corners filled, each step checked."""
    united = union([(loop,) for loop in solids])
    check_union(united, solids)
    if fillet == 0:
        return united
    grown = offset(united, fillet)
    check_offset(united, grown, fillet)
    closed = offset(grown, -fillet)
    check_offset(grown, closed, -fillet)
    return closed


def _solids(sketch: Sketch) -> Iterable[Loop]:
    nodes = {node.id: node for node in sketch.nodes}

    def point(node_id: str) -> tuple[float, float]:
        if node_id not in nodes:
            msg = f"unknown node {node_id!r}; the nodes are {', '.join(nodes) or 'none'}."
            raise GeometryError(msg)
        return nodes[node_id].x, nodes[node_id].y

    for node in sketch.nodes:
        if node.radius > 0:
            yield circle_loop(Circle(node.x, node.y, node.radius))
    for link in sketch.links:
        end_width = link.width if link.end_width is None else link.end_width
        yield band_loop(point(link.start_id), point(link.end_id), link.width, end_width)
    for web in sketch.webs:
        yield rounded_polygon([point(node_id) for node_id in web.node_ids], [0.0] * len(web.node_ids))
    for polygon in sketch.polygons:
        corners: Sequence[float] = polygon.corners or [polygon.corner] * len(polygon.points)
        if len(corners) != len(polygon.points):
            msg = f"a polygon needs one corner radius per point, {len(polygon.points)} (got {len(corners)})."
            raise GeometryError(msg)
        yield rounded_polygon(polygon.points, corners)


def _repeated(items: Iterable[tuple[Loop, bool]], motions: Sequence[Isometry]) -> tuple[Loop, ...]:
    copies: dict[tuple[tuple[float, ...], ...], Loop] = {}
    for loop, mirrored in items:
        for motion in motions if mirrored else motions[:1]:
            moved = transform_loop(loop, motion)
            key = tuple(sorted((round(x, 9) + 0.0, round(y, 9) + 0.0, round(abs(b), 9)) for x, y, b in moved.vertices))
            copies.setdefault(key, moved)
    return tuple(copies.values())


def _half_plane(half: HalfPlaneCut, reach: float) -> Loop:
    size = float(np.hypot(half.nx, half.ny))
    if size == 0:
        msg = "a half plane's normal must not be zero (got 0, 0)."
        raise GeometryError(msg)
    normal = complex(half.nx, half.ny) / size
    foot = complex(half.x, half.y)
    along = 1j * normal * reach
    corners = (foot - along, foot - along + normal * reach, foot + along + normal * reach, foot + along)
    return Loop(tuple((z.real, z.imag, 0.0) for z in corners))
