"""Where a frame fails in a load case: the governing plate in bands of colour, the place in words, the joint in plan."""

from __future__ import annotations

from collections.abc import Sequence

from platewright.geometry.loops import bounding_box
from platewright.io.drawing.canvas import Canvas
from platewright.io.drawing.field import SCALE_WIDTH, Place, paint_field, paint_outline, paint_scale
from platewright.io.drawing.lettering import text_width, wrapped
from platewright.study.strength_failures import FailureMap

__all__ = ["failure_svg"]

_EDGE, _HEAD, _GAP, _SPACE = 6.0, 13.0, 8.0, 6.0
_TITLE, _WORDS, _LINE, _SMALL = 4.0, 3.2, 4.4, 2.6
_RING = 1.6
_LEAST_WIDTH, _LEAST_HEIGHT = 130.0, 50.0
_MARK, _GREY, _PLATE, _NOTED = "#d81b60", "#c4c4c4", "#eeeeee", "#555555"
_NOTE = (
    "Colours: share of its strength that the worst ply uses when the first thing of the frame fails. Grey: not judged, "
    "within 1 mm of holes, other rims that curve inwards, and tabs."
)


def failure_svg(found: FailureMap) -> str:
    """Return the picture.

    Parameters
    ----------
    found : FailureMap
        What is shown.
    """
    x0, y0, x1, y1 = bounding_box(found.outline)
    boxes = [bounding_box(j.outline) for j in found.joined]
    row = sum(max(b[2] - b[0], text_width(j.plate, _WORDS)) + _GAP for b, j in zip(boxes, found.joined, strict=True))
    room = max(x1 - x0 + SCALE_WIDTH, row - _GAP, text_width(found.title, _TITLE, bold=True), _LEAST_WIDTH)
    words, note = wrapped(found.text, room, _WORDS), wrapped(_NOTE, room, _SMALL)
    joined = wrapped(found.joined_text, room, _WORDS) if boxes else ()
    tall = max(y1 - y0, _LEAST_HEIGHT)
    said = _HEAD + tall + _SPACE  # where the words begin
    plans = said + _LINE * (len(words) + len(note)) + _GAP
    high = max((b[3] - b[1] for b in boxes), default=0.0)
    end = plans + _LINE + high + _SPACE + _LINE * len(joined) if boxes else plans - _GAP
    canvas = Canvas(room + 2 * _EDGE, end + 2.0, found.title)
    canvas.text(_EDGE, 8.0, found.title, size=_TITLE, bold=True)
    middle = _HEAD + tall / 2
    place = _placed(_EDGE - x0, middle + (y0 + y1) / 2)
    limits = paint_field(canvas, place, found.nodes, found.triangles[found.is_judged], found.used)
    blind = found.triangles[~found.is_judged]
    pieces = (" ".join(f"{u:.2f} {v:.2f}" for u, v in (place(*p) for p in found.nodes[t])) for t in blind)
    if len(blind):
        canvas.path("".join(f"M{p}Z" for p in pieces), fill=_GREY, stroke=_GREY, stroke_width=0.06)
    for rim in found.rims:
        canvas.circle(*place(rim.x, rim.y), rim.radius, fill=_GREY)
    for circle in found.outline.circles:
        canvas.circle(*place(circle.x, circle.y), circle.radius, fill="#ffffff")
    paint_outline(canvas, place, found.outline)
    decimals = 2 if limits[-1] > 0.1 else 3
    paint_scale(canvas, _EDGE + x1 - x0 + 6.0, middle, limits, "share", decimals)
    _leader(canvas, place(*found.at), said, words, room)
    for n, line in enumerate(note):
        canvas.text(_EDGE, said + _LINE * (len(words) + n), line, size=_SMALL, fill=_NOTED)
    left = _EDGE
    for n, (plate, box) in enumerate(zip(found.joined, boxes, strict=True)):
        canvas.text(left, plans + 1.0, plate.plate, size=_WORDS)
        here = _placed(left - box[0], plans + _LINE + box[3])
        paint_outline(canvas, here, plate.outline, fill=_PLATE)
        _leader(canvas, here(*plate.at), end - _LINE * len(joined), joined if n == 0 else (), room)
        left += max(box[2] - box[0], text_width(plate.plate, _WORDS)) + _GAP
    return canvas.svg()


def _placed(right: float, down: float) -> Place:
    def place(x: float, y: float) -> tuple[float, float]:
        return x + right, down - y

    return place


def _leader(canvas: Canvas, at: tuple[float, float], said: float, words: Sequence[str], room: float) -> None:
    """Ring a place and lead from it down to words that begin at a height."""
    x, y = at
    start = min(max(_EDGE, x), _EDGE + room - max((text_width(w, _WORDS) for w in words), default=0.0))
    top = said - 3.4
    for colour, thick in (("#ffffff", 0.9), (_MARK, 0.4)):
        canvas.circle(x, y, _RING, fill="none", stroke=colour, stroke_width=thick)
        if words:
            canvas.line(x, y + _RING, x, top, stroke=colour, stroke_width=thick)
    for n, line in enumerate(words):
        canvas.text(start, said + _LINE * n, line, size=_WORDS)
