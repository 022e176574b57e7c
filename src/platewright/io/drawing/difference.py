"""Two versions of a part laid on one another: what both have grey, what is added and what is removed hatched."""

from __future__ import annotations

import shapely

from platewright.geometry.loops import Outline, bounding_box, outline_area
from platewright.io.colours import PALETTE
from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.dimensions import scale_bar
from platewright.io.drawing.paths import Projection, outline_path
from platewright.io.drawing.plan import picture_scale

__all__ = ["difference_svg"]

_MARGIN, _HEAD, _FOOT = 8.0, 40.0, 14.0  # white about the picture, its title and its scale [mm]
_ROOM = (270.0, 150.0)  # most that the part may take of the page [mm]
_WIDTH = 120.0  # least width of the page, for its title [mm]
_BOTH = "#e4e4e4"
_ADDED, _REMOVED = PALETTE["blue"], PALETTE["vermillion"]


def difference_svg(
    title: str,
    names: tuple[str, str],
    first: Outline,
    second: Outline,
    areas: tuple[shapely.Geometry, shapely.Geometry, shapely.Geometry],
) -> str:
    """Draw the difference of two outlines.

    Parameters
    ----------
    title : str
        What is compared.
    names : (str, str)
        What the two versions are called.
    first, second : Outline
        Both in the same axes [mm].
    areas : tuple of three shapes
        What both have, what the second adds, what it lacks [mm].
    """
    boxes = [bounding_box(first), bounding_box(second)]
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    scale = picture_scale(x1 - x0, y1 - y0, *_ROOM)
    width = max(scale * (x1 - x0) + 2 * _MARGIN, _WIDTH)
    canvas = Canvas(width, scale * (y1 - y0) + _HEAD + _FOOT + _MARGIN, title)
    page = Projection.upright(scale, (width - scale * (x0 + x1)) / 2, _HEAD + scale * y1)
    both, added, removed = areas
    for shape, fill in ((both, _BOTH), (added, "#ffffff"), (removed, "#ffffff")):
        _area(canvas, page, shape, fill)
    _area(canvas, page, added, canvas.hatch("added", _ADDED, 1.0, 45.0))
    _area(canvas, page, removed, canvas.hatch("removed", _REMOVED, 1.6, -45.0))
    canvas.path(outline_path(first, page), fill="none", stroke=_REMOVED, stroke_width=0.3, stroke_dasharray="1.6 0.8")
    canvas.path(outline_path(second, page), fill="none", stroke=_ADDED, stroke_width=0.35)
    canvas.text(_MARGIN, 11.0, title, 5.0, bold=True)
    lines = (
        ("#ffffff", _ADDED, "added", f"only in {names[1]}: {shapely.area(added):.1f} mm², solid outline"),
        ("#ffffff", _REMOVED, "removed", f"only in {names[0]}: {shapely.area(removed):.1f} mm², dashed outline"),
        (_BOTH, INK, "", f"in both: {shapely.area(both):.1f} mm²"),
    )
    for n, (fill, stroke, hatch, text) in enumerate(lines):
        y = 18.0 + 4.4 * n
        canvas.rectangle(_MARGIN, y - 2.4, 5.0, 3.0, fill=fill)
        canvas.rectangle(
            _MARGIN, y - 2.4, 5.0, 3.0, fill=f"url(#{hatch})" if hatch else "none", stroke=stroke, stroke_width=0.25
        )
        canvas.text(_MARGIN + 7.0, y, text, 2.6)
    whole = f"area {outline_area(first):.1f} to {outline_area(second):.1f} mm²"
    canvas.text(_MARGIN, 32.0, whole, 2.6)
    scale_bar(canvas, _MARGIN, canvas.height - 8.0, scale, width - 2 * _MARGIN - 10.0)
    return canvas.svg()


def _area(canvas: Canvas, page: Projection, shape: shapely.Geometry, fill: str) -> None:
    parts = []
    for polygon in shapely.get_parts(shape).tolist():
        if not isinstance(polygon, shapely.Polygon) or polygon.is_empty:
            continue
        for ring in (polygon.exterior, *polygon.interiors):
            points = [page(x, y) for x, y in shapely.get_coordinates(ring)[:-1].tolist()]
            parts.append("M" + " L".join(f"{x:.3f} {y:.3f}" for x, y in points) + " Z")
    if parts:
        canvas.path(" ".join(parts), fill=fill, fill_rule="evenodd")
