"""A picture of a drawing that was read: plates, what was recognised in them, and what was not."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from platewright.geometry.chain import LooseEdge
from platewright.geometry.loops import Loop, bounding_box, circle_loop
from platewright.geometry.recognise.pattern import Pattern
from platewright.geometry.recognise.recognise import Recognised
from platewright.geometry.recognise.sheet import SheetPlate
from platewright.io.colours import PALETTE
from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.paths import Projection, loop_path, outline_path

__all__ = ["reading_svg"]

_PAGE = 190.0  # widest and highest picture of the plates [mm]
_MARGIN = 8.0
_LEGEND_STEP = 4.4
_MOST_ROWS = 60
_MOST_MARKS = 4000
_APART = 4.0  # between labels [mm]
_FACE = "#ececec"
_COLOURS = {
    "motor": PALETTE["vermillion"],
    "board": PALETTE["bluish green"],
    "strap": PALETTE["orange"],
    "antenna": PALETTE["reddish purple"],
    "standoff pair": PALETTE["blue"],
    "bolt": PALETTE["sky blue"],
}
_LETTERS = {"motor": "M", "board": "B", "strap": "S", "antenna": "A", "standoff pair": "P", "bolt": "H"}


def reading_svg(
    name: str,
    plates: Sequence[tuple[int, SheetPlate, Recognised | None]],
    marks: Sequence[LooseEdge],
    questions: Sequence[tuple[float, float]],
) -> str:
    """Draw plates with their numbers, recognised openings in the colour and with the letter of the legend.

    Parameters
    ----------
    name : str
        The file that was read.
    plates : sequence of (int, SheetPlate, Recognised or None)
        Number, plate, and what was seen; None for a plate like an earlier one.
    marks : sequence of LooseEdge
        Lines that are no cuts; drawn thin and dashed.
    questions : sequence of (float, float)
        Where something could not be explained; drawn as a question mark [mm].
    """
    boxes = [bounding_box(plate.outline) for _, plate, _ in plates]
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    scale = min(_PAGE / (x1 - x0), _PAGE / (y1 - y0), 3.0)
    rows = [row for n, plate, seen in plates if seen is not None for row in _rows(n, plate, seen)]
    more = len(rows) - _MOST_ROWS
    width = max(scale * (x1 - x0), 120.0) + 2 * _MARGIN
    legend = _LEGEND_STEP * (min(len(rows), _MOST_ROWS) + 2)
    canvas = Canvas(width, scale * (y1 - y0) + 3 * _MARGIN + legend, f"read from {name}")
    page = Projection.upright(scale, _MARGIN - scale * x0, 1.5 * _MARGIN + scale * y1)
    canvas.text(_MARGIN, 6.0, f"{name}: plates as read, scale {scale:.2f} : 1", 3.2, bold=True)
    for _, plate, _ in plates:
        canvas.path(outline_path(plate.outline, page), fill=_FACE, fill_rule="evenodd", stroke=INK, stroke_width=0.3)
    _marks(canvas, marks[:_MOST_MARKS], page)
    for number, plate, seen in plates:
        if seen is not None:
            _seen(canvas, plate, seen, page)
        if len(plates) > 1:
            x, y = page(*plate.outline.outer.vertices[0][:2])
            like = "" if seen is not None else f" (as {plate.like + 1})"
            canvas.text(x, y, f"{number}{like}", 3.0, bold=True, halo=True)
    for x, y in questions[:_MOST_ROWS]:
        px, py = page(x, y)
        canvas.text(px, py, "?", 5.0, "middle", bold=True, fill=PALETTE["vermillion"], halo=True)
    y = 2.5 * _MARGIN + scale * (y1 - y0)
    for colour, text in rows[:_MOST_ROWS]:
        canvas.circle(_MARGIN + 1.5, y - 0.9, 1.3, fill=colour, stroke=INK, stroke_width=0.13)
        canvas.text(_MARGIN + 5.0, y, text, 2.6)
        y += _LEGEND_STEP
    if more > 0:
        canvas.text(_MARGIN + 5.0, y, f"and {more} more", 2.6)
    return canvas.svg()


def _rows(number: int, plate: SheetPlate, seen: Recognised) -> list[tuple[str, str]]:
    made = [
        (_COLOURS[p.kind], f"{label}, plate {number}: {p.kind} {p.record}, confidence {p.confidence:.2f}")
        for label, p in _labelled(seen)
    ]
    if seen.left:
        made.append(
            ("#ffffff", f"no letter, plate {number}: {len(seen.left)} of {len(plate.openings)} openings unexplained")
        )
    return made


def _labelled(seen: Recognised) -> list[tuple[str, Pattern]]:
    counts: Counter[str] = Counter()
    made = []
    for p in seen.patterns:
        counts[p.kind] += 1
        made.append((f"{_LETTERS[p.kind]}{counts[p.kind]}", p))
    return made


def _seen(canvas: Canvas, plate: SheetPlate, seen: Recognised, page: Projection) -> None:
    labels: list[tuple[float, float, str]] = []
    for label, p in _labelled(seen):
        colour = _COLOURS[p.kind]
        loops: list[Loop] = []
        for k in p.openings:
            opening = plate.openings[k]
            loops.append(circle_loop(opening.circle) if opening.circle else opening.loop)
        for loop in loops:
            canvas.path(loop_path(loop, page), fill=colour, fill_opacity=0.55, stroke=colour, stroke_width=0.5)
        x, y = page(p.x, p.y)
        if len(loops) == 1:
            x += 0.6 * math.dist(page(*bounding_box(loops[0])[:2]), page(*bounding_box(loops[0])[2:])) + 1.6
        else:
            for loop in loops:
                bx0, by0, bx1, by1 = bounding_box(loop)
                cx, cy = page((bx0 + bx1) / 2, (by0 + by1) / 2)
                canvas.line(x, y, cx, cy, stroke=colour, stroke_width=0.25, stroke_dasharray="1 0.8")
        while any(abs(x - a) < _APART and abs(y - b) < _APART for a, b, _ in labels):
            y += _APART
        labels.append((x, y, label))
    for x, y, label in labels:
        canvas.text(x, y + 1.0, label, 2.8, "middle", bold=True, halo=True)


def _marks(canvas: Canvas, marks: Sequence[LooseEdge], page: Projection) -> None:
    for start, end, bulge in marks:
        (xa, ya), (xb, yb) = page(*start), page(*end)
        style: dict[str, str | float] = {"fill": "none", "stroke": INK, "stroke_width": 0.18}
        style["stroke_dasharray"] = "1.2 0.8"
        if abs(bulge) < 1e-9:
            canvas.path(f"M{xa:.3f} {ya:.3f} L{xb:.3f} {yb:.3f}", **style)
        else:
            radius = math.dist(start, end) * (1 + bulge**2) / (4 * abs(bulge)) * page.scale
            turn = f"{int(abs(bulge) > 1)} {int(bulge < 0)}"
            canvas.path(f"M{xa:.3f} {ya:.3f} A{radius:.4f} {radius:.4f} 0 {turn} {xb:.3f} {yb:.3f}", **style)
