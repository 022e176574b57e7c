"""The exploded view: a frame taken apart along the vertical and seen from the right front and above.

Every plate is lifted by its rank among the levels; hardware and equipment by the rank that their height gives between
the plates; a screw moves further, back out of the way it went in. Standing plates and what is on sideways columns move
with their height.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Vector, profile_of
from platewright.geometry.loops import flatten
from platewright.io.drawing.callouts import Callout, callout_width, write_callouts
from platewright.io.drawing.canvas import Canvas
from platewright.io.drawing.facts import plate_levels
from platewright.io.drawing.painting import is_disc, role_fill
from platewright.io.drawing.plan import MARGIN, SHEET, place_tints
from platewright.io.drawing.relief import oblique, paint_relief
from platewright.io.drawing.silhouettes import View

__all__ = ["exploded", "exploded_svg", "paint_exploded"]

_HEADING = 12.0  # kept free at the top, for the title and the line under it [mm]
_TOWARD = (1.0, -1.3, 1.0)  # to the reader: right front, above
_OUT = 0.5  # part of a gap by which a screw leaves its plate [-]
_BETWEEN = ("plate", "standoff", "spacer", "nut", "washer")  # move with their middle, others with their foot
_OVER = 0.9  # part of a gap by which what lies on the highest or hangs from the lowest plate leaves it [-]
_SAME_LEVEL = 0.5  # plates whose middles differ by less stay together [mm]
_SEEN = 1.0  # area of a body in sight from which it is named [mm^2 on the page]
_NAMED = ("plate", "board", "camera", "battery")


def exploded_svg(assembly: Assembly, size: tuple[float, float] = SHEET, gap_mm: float = 26.0) -> str:
    """Draw the exploded view.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    size : (float, float)
        Width and height of the picture [mm].
    gap_mm : float
        By which neighbouring levels are moved apart [mm].
    """
    bodies = exploded(assembly, gap_mm)
    name = assembly.design.frame.name
    canvas = Canvas(*size, f"{name}: exploded view")
    names = {_name(body) for body in bodies if body.role in _NAMED}
    tints = place_tints(assembly)
    painted = paint_exploded(canvas, bodies, callout_width([(n, 0.0, 0.0) for n in names]), lambda b: _fill(b, tints))
    write_callouts(canvas, _named(painted), MARGIN)
    canvas.text(MARGIN, 11.0, name, 5.5, bold=True)
    canvas.text(MARGIN, 16.0, "exploded view, from the right front and above", 2.6)
    return canvas.svg()


def paint_exploded(
    canvas: Canvas, bodies: Sequence[Body], room_right: float, fill: Callable[[Body], str]
) -> tuple[tuple[Body, shapely.Geometry], ...]:
    """Paint bodies that were moved apart as large as the page allows.

    Parameters
    ----------
    canvas : Canvas
        The page.
    bodies : sequence of Body
        From `exploded`.
    room_right : float
        Kept free at the right edge, for names [mm].
    fill : callable
        Colour of a body.

    Returns
    -------
    tuple of (Body, geometry)
        What each body covers on the page, in the order of painting.
    """
    view = oblique(_TOWARD)
    points = [p for body in bodies for p in _corners(body, view)] or [(0.0, 0.0)]
    x0, x1 = min(p[0] for p in points), max(p[0] for p in points)
    y0, y1 = min(p[1] for p in points), max(p[1] for p in points)
    room_x = canvas.width - 2 * MARGIN - room_right
    room_y = canvas.height - 2 * MARGIN - _HEADING
    scale = min(room_x / max(x1 - x0, 1.0), room_y / max(y1 - y0, 1.0))
    left, top = MARGIN + (room_x - scale * (x1 - x0)) / 2, MARGIN + _HEADING + (room_y - scale * (y1 - y0)) / 2

    def page(x: float, y: float) -> tuple[float, float]:
        return left + scale * (x - x0), top + scale * (y1 - y)

    return paint_relief(canvas, bodies, view, page, fill)


def exploded(assembly: Assembly, gap_mm: float) -> tuple[Body, ...]:
    """Return the bodies moved apart [mm]; the discs of turning propellers are left out."""
    heights: list[float] = []
    for row in plate_levels(assembly):
        middle = row.low + row.thickness / 2
        if not heights or middle - heights[-1] > _SAME_LEVEL:
            heights.append(middle)
    moved = []
    for body in assembly.bodies:
        solids = tuple(s for n, s in enumerate(body.solids) if not is_disc(body, n))
        x, y, z = body.frame.origin
        lift = gap_mm * _lift(body, heights)
        moved.append(replace(body, solids=solids, frame=replace(body.frame, origin=(x, y, z + lift))))
    return tuple(moved)


def _lift(body: Body, heights: Sequence[float]) -> float:
    """Rank of a body among the plates, with what a screw adds [-]."""
    if not heights:
        return 0.0
    upright = abs(body.frame.n[2]) > 0.5
    z = _middle(body)[2] if body.role in _BETWEEN else body.frame.origin[2]
    rank = float(np.interp(z, heights, range(len(heights))))
    if body.role == "screw" and upright:
        return rank - _OUT * body.frame.n[2]
    if body.role != "plate":
        return rank + (_OVER if z > heights[-1] else -_OVER if z < heights[0] else 0.0)
    return rank


def _middle(body: Body) -> Vector:
    low = min(s.offset for s in body.solids)
    high = max(s.offset + s.shape.height for s in body.solids)
    return body.frame.point(0.0, 0.0, (low + high) / 2)


def _corners(body: Body, view: View) -> list[tuple[float, float]]:
    return [
        view.flat(body.frame.point(a, b, c))
        for solid in body.solids
        for a, b in flatten(profile_of(solid.shape).outer, 0.5)
        for c in (solid.offset, solid.offset + solid.shape.height)
    ]


def _name(body: Body) -> str:
    """Place of a plate, else owner and role, said once where they are the same word."""
    return body.owner if body.role == "plate" or body.name == f"{body.owner}.{body.owner}" else body.name


def _named(painted: Sequence[tuple[Body, shapely.Geometry]]) -> list[Callout]:
    """Name each place and each larger piece of equipment at the rightmost point that nothing covers."""
    best: dict[str, tuple[float, float]] = {}
    over: shapely.Geometry = shapely.Polygon()
    for body, shape in reversed(painted):
        if body.role in _NAMED:
            seen = shapely.difference(shape, over)
            for part in shapely.get_parts(seen).tolist():
                if shapely.area(part) < _SEEN:
                    continue
                x, y = max(shapely.get_coordinates(part).tolist(), key=lambda p: (round(p[0], 3), -p[1]))
                if _name(body) not in best or x > best[_name(body)][0]:
                    best[_name(body)] = (x, y)
        over = shapely.union(over, shape)
    return [(name, x, y) for name, (x, y) in sorted(best.items())]


def _fill(body: Body, tints: Mapping[str, str]) -> str:
    return tints[body.owner] if body.role == "plate" else role_fill(body.role)
