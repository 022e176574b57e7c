"""A part in its own axes, dimensioned, with labelled holes, its origin and its grain."""

from __future__ import annotations

import math

import shapely

from platewright.assembly.assemble import FinishedPart
from platewright.geometry.loops import bounding_box, flatten
from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.dimensions import dimension, millimetres
from platewright.io.drawing.grain import grain_arrow
from platewright.io.drawing.labels import Anchor, place_labels
from platewright.io.drawing.marks import draw_marks
from platewright.io.drawing.openings import openings_of
from platewright.io.drawing.paths import Projection, outline_path

__all__ = ["PART_MARGINS", "part_size", "part_svg"]

PART_MARGINS = (17.0, 9.0, 12.0, 22.0)  # left, top, right, bottom: room for dimensions and labels [mm]
_LABEL = 2.2  # height of hole labels [mm]
_FACE = "#eeeeee"


def part_size(finished: FinishedPart, scale: float) -> tuple[float, float]:
    """Return width and height of a part's drawing at a scale [mm]."""
    x0, y0, x1, y1 = bounding_box(finished.outline)
    left, top, right, bottom = PART_MARGINS
    return left + scale * (x1 - x0) + right, top + scale * (y1 - y0) + bottom


def part_svg(finished: FinishedPart, scale: float = 1.0) -> str:
    """Draw a part, its upper face toward the reader.

    Parameters
    ----------
    finished : FinishedPart
        The part as it is cut.
    scale : float
        Length on the page per length of the part [-].
    """
    width, height = part_size(finished, scale)
    canvas = Canvas(width, height, f"part {finished.part.id}")
    x_min, y_min, x_max, y_max = bounding_box(finished.outline)
    left, top, _, _ = PART_MARGINS
    page = Projection.upright(scale, left - scale * x_min, top + scale * y_max)
    canvas.path(
        outline_path(finished.outline, page),
        fill=_FACE,
        fill_rule="evenodd",
        stroke=INK,
        stroke_width=0.35,
        stroke_linejoin="round",
    )
    draw_marks(canvas, finished.part, page)
    _origin(canvas, page)
    _openings(canvas, finished, page)
    (x0, y0), (x1, y1) = page(x_min, y_min), page(x_max, y_max)
    dimension(canvas, (x0, y0), (x1, y0), 8.0, millimetres(x_max - x_min))
    dimension(canvas, (x0, y0), (x0, y1), -9.0, millimetres(y_max - y_min))
    grain_arrow(canvas, float(finished.part.grain_deg), x0, height - 5.0, "grain")
    return canvas.svg()


def _origin(canvas: Canvas, page: Projection) -> None:
    """Draw the part's own axes: a cross at the origin with arrows along x and y."""
    x, y = page(0.0, 0.0)
    if not (-5 < x < canvas.width + 5 and -5 < y < canvas.height + 5):
        return
    canvas.line(x - 2.5, y, x + 8.0, y, stroke_width=0.2)
    canvas.line(x, y + 2.5, x, y - 8.0, stroke_width=0.2)
    canvas.arrow(x + 9.0, y, 0.0, 1.8)
    canvas.arrow(x, y - 9.0, -math.pi / 2, 1.8)
    canvas.circle(x, y, 0.9, fill="#ffffff", stroke=INK, stroke_width=0.2)
    canvas.text(x + 9.6, y + 0.8, "x", 2.4, bold=True, halo=True)
    canvas.text(x, y - 9.9, "y", 2.4, "middle", bold=True, halo=True)


def _openings(canvas: Canvas, finished: FinishedPart, page: Projection) -> None:
    openings = openings_of(finished)
    anchors = []
    for opening in openings:
        x, y = page(opening.x, opening.y)
        half_width, half_height = page.scale * opening.width / 2, page.scale * opening.height / 2
        anchors.append(Anchor(opening.label, x, y, half_width, half_height))
        if opening.is_round:
            arm = half_width + 0.7
            canvas.line(x - arm, y, x + arm, y, stroke_width=0.1)
            canvas.line(x, y - arm, x, y + arm, stroke_width=0.1)
    outline = finished.outline
    edges: list[shapely.Geometry] = []
    for loop in (outline.outer, *outline.inner):
        points = [page(*p) for p in flatten(loop, 0.1)]
        edges.append(shapely.LinearRing(points))
    x, y = page(0.0, 0.0)
    edges += [shapely.LineString([(x - 2.5, y), (x + 11.5, y)]), shapely.LineString([(x, y + 2.5), (x, y - 12.0)])]
    for label in place_labels(anchors, edges, _LABEL):
        if label.far:
            _leader(canvas, label.anchor, (label.x, label.y), (label.width / 2, label.height / 2))
        canvas.text(label.x, label.y + _LABEL * 0.36, label.anchor.text, _LABEL, "middle")


def _leader(canvas: Canvas, anchor: Anchor, middle: tuple[float, float], half: tuple[float, float]) -> None:
    """Draw a line from a hole's rim to the edge of its label."""
    dx, dy = middle[0] - anchor.x, middle[1] - anchor.y
    length = math.hypot(dx, dy)
    back = min(half[0] / abs(dx) if dx else math.inf, half[1] / abs(dy) if dy else math.inf)
    reach = min(anchor.half_width / abs(dx) if dx else math.inf, anchor.half_height / abs(dy) if dy else math.inf)
    start = min(reach, anchor.half_width / length) if anchor.half_width == anchor.half_height else reach
    canvas.line(
        anchor.x + dx * start,
        anchor.y + dy * start,
        anchor.x + dx * (1 - back),
        anchor.y + dy * (1 - back),
        stroke_width=0.1,
    )
