"""Side and front views: every body as a silhouette, every plate with the height of its underside."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from platewright.assembly.assemble import Assembly
from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.dimensions import THIN, dimension, millimetres, scale_bar, spread
from platewright.io.drawing.facts import PlateLevel, plate_levels
from platewright.io.drawing.lettering import text_width
from platewright.io.drawing.painting import is_disc, mix, paint, role_fill
from platewright.io.drawing.plan import MARGIN, SHEET, picture_scale, place_tints
from platewright.io.drawing.silhouettes import FRONT, SIDE, Figure, figures

__all__ = ["side_svg"]

_LABELS = 62.0  # width kept for the heights [mm]
_LEFT = 14.0  # width kept for the overall height [mm]
_STEP = 4.0  # least distance between labels [mm]
_HEAD = 9.0  # height of a view's heading [mm]
_AROUND = 60.0  # height of all that is no view [mm]


def side_svg(assembly: Assembly, size: tuple[float, float] = SHEET) -> str:
    """Draw a frame from the right and from the front, one below the other.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    size : (float, float)
        Width of the picture, and most height it may have [mm].
    """
    views = (
        ("side view, seen from the right, nose to the right", figures(assembly.bodies, SIDE)),
        ("front view, seen from the front", figures(assembly.bodies, FRONT)),
    )
    levels = plate_levels(assembly)
    tints = place_tints(assembly)
    boxes = [_bounds(shapes) for _, shapes in views]
    width = size[0]
    room = width - 2 * MARGIN - _LEFT - _LABELS
    scale = picture_scale(
        max(b[2] - b[0] for b in boxes), max(b[3] - b[1] for b in boxes), room, (size[1] - _AROUND) / 2
    )
    label_room = max(len(levels) * _STEP, 10.0)
    heights = [max(scale * (b[3] - b[1]), label_room if n == 0 else 0.0) for n, b in enumerate(boxes)]
    name = assembly.design.frame.name
    canvas = Canvas(width, sum(heights) + 2 * _HEAD + 4 * MARGIN + 14.0, f"{name}: side and front views")
    canvas.text(MARGIN, 11.0, name, 5.5, bold=True)
    canvas.text(MARGIN, 16.0, f"side and front views · scale 1:{millimetres(1 / scale)}", 2.6)
    y = 18.0
    for n, ((title, shapes), box, height) in enumerate(zip(views, boxes, heights, strict=True)):
        y += _HEAD
        x0 = MARGIN + _LEFT + room / 2 - scale * (box[0] + box[2]) / 2
        y0 = y + height / 2 + scale * (box[1] + box[3]) / 2
        canvas.text(MARGIN, y - 3.0, title, 2.8, bold=True)
        _discs(canvas, shapes, scale, x0, y0)
        paint(canvas, shapes, tints, scale, x0, y0, translucent=False)
        page = (x0 + scale * box[0], y0 - scale * box[1], x0 + scale * box[2], y0 - scale * box[3])
        datum = "4 0.8 0.8 0.8"
        canvas.line(page[0] - 3, y0, page[2] + 3, y0, stroke_width=THIN, stroke_dasharray=datum)
        dimension(canvas, (page[0], page[1]), (page[0], page[3]), -7.0, millimetres(box[3] - box[1], 1))
        if n == 0:
            ends = _right_ends(shapes, scale, x0)
            _heights(canvas, levels, tints, ends, scale, y0, (page[2], y, y + height))
        else:
            canvas.text(page[2] + 4.5, y0 + 0.9, "z = 0", 2.5)
        y += height
    scale_bar(canvas, MARGIN + _LEFT, canvas.height - 11.0, scale, 70.0)
    return canvas.svg()


def _bounds(shapes: Sequence[Figure]) -> tuple[float, float, float, float]:
    boxes = [f.box for f in shapes] or [(-50.0, -10.0, 50.0, 10.0)]
    return min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)


def _discs(canvas: Canvas, shapes: Sequence[Figure], scale: float, x0: float, y0: float) -> None:
    for figure in shapes:
        if is_disc(figure.body, figure.number):
            fill = role_fill("propeller")
            canvas.path(figure.path(scale, x0, y0), fill=fill, fill_opacity=0.35, stroke=fill, stroke_width=0.13)


def _right_ends(shapes: Sequence[Figure], scale: float, x0: float) -> dict[str, float]:
    """Where each place ends at the right of the page [mm]."""
    ends: dict[str, float] = {}
    for figure in shapes:
        if figure.body.role == "plate":
            ends[figure.body.owner] = max(ends.get(figure.body.owner, 0.0), x0 + scale * figure.box[2])
    return ends


def _heights(
    canvas: Canvas,
    levels: Sequence[PlateLevel],
    tints: Mapping[str, str],
    ends: Mapping[str, float],
    scale: float,
    y0: float,
    room: tuple[float, float, float],
) -> None:
    """Labels at the right of the view, each with a line from the underside it names."""
    right, top, bottom = room
    x = right + 14.0
    rows = sorted(levels, key=lambda r: -r.low)
    at = [y0 - scale * (row.low + row.high) / 2 for row in rows]
    places = spread(at, _STEP, min(top, at[0]) if at else top, max(bottom, at[-1]) if at else bottom)
    name_width = max((text_width(row.place, 2.5) for row in rows), default=0.0)
    canvas.text(x + 6.0, min(places, default=top) - 4.6, "underside of plate, z in mm", 2.2)
    for row, y_plate, y_label in zip(rows, at, places, strict=True):
        canvas.line(ends[row.place] + 0.6, y_plate, right + 3, y_plate, stroke_width=0.09, stroke=mix(INK, 0.35))
        canvas.polyline([(right + 3, y_plate), (right + 6, y_plate), (x - 2, y_label), (x, y_label)], stroke_width=THIN)
        canvas.rectangle(x, y_label - 1.3, 4.0, 2.6, fill=tints[row.place], stroke=INK, stroke_width=0.13)
        canvas.text(x + 6.0, y_label + 0.9, row.place, 2.5, bold=True)
        canvas.text(x + 9.0 + name_width, y_label + 0.9, row.height_text, 2.5)
