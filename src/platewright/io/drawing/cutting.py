"""How a part is cut: its contours numbered in their order, holding bridges, places to look at, holes with cut sizes."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platewright.assembly.assemble import FinishedPart
from platewright.fabrication.plan import Cut
from platewright.geometry.loops import bounding_box
from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.grain import grain_arrow
from platewright.io.drawing.paths import Projection, outline_path
from platewright.study.cut_places import PartCutting, countersink_words

__all__ = ["cutting_svg"]

_MARGIN = 10.0  # [mm]
_LINE = 4.2  # between lines of the list [mm]
_TEXT = 2.4  # [mm]
_NARROW = 30.0  # openings of less length have their number above them [mm]
_SAME = 1e-3  # lengths and diameters that differ by less are the same [mm]
_BRIDGE = "#0072b2"  # blue and vermilion of the palette for the colour-blind
_LOOK = "#d55e00"


def cutting_svg(finished: FinishedPart, cutting: PartCutting) -> str:
    """Draw how a part is cut, its upper face toward the reader, to scale 1:1."""
    x_min, y_min, x_max, y_max = bounding_box(finished.outline)
    groups = _groups(cutting.plan.cuts)
    lines = [_words(first, last, cut) for first, last, cut in groups]
    width = max(x_max - x_min + 2 * _MARGIN, 120.0)
    top = y_max - y_min + 2 * _MARGIN
    notes = _notes(finished, cutting)
    height = top + _LINE * (len(lines) + len(notes) + 5)
    canvas = Canvas(width, height, f"cutting of part {finished.part.id}")
    page = Projection.upright(1.0, _MARGIN - x_min, _MARGIN + y_max)
    canvas.path(outline_path(finished.outline, page), fill="#eeeeee", fill_rule="evenodd", stroke=INK, stroke_width=0.3)
    for bridge in cutting.plan.bridges:
        x, y = page(bridge.x, bridge.y)
        dx, dy = math.cos(bridge.direction) * cutting.bridge_mm / 2, -math.sin(bridge.direction) * cutting.bridge_mm / 2
        canvas.line(x - dx, y - dy, x + dx, y + dy, stroke=_BRIDGE, stroke_width=1.6)
    for hole in finished.holes.holes:
        for sink in hole.countersinks:
            canvas.circle(*page(hole.x, hole.y), sink.diameter / 2, fill="none", stroke=INK, stroke_width=0.2)
    for place in cutting.places:
        x, y = page(place.x, place.y)
        canvas.circle(x, y, 2.4, fill="none", stroke=_LOOK, stroke_width=0.4, stroke_dasharray="1 0.6")
    _numbers(canvas, cutting.plan.cuts, page, finished)
    y = top + _TEXT
    title = f"{finished.part.id}, {finished.part.thickness_mm:g} mm: cut in this order with a {cutting.bit_mm:g} mm bit"
    canvas.text(_MARGIN, y, title, _TEXT, bold=True)
    for text in lines:
        y += _LINE
        canvas.text(_MARGIN, y, text, _TEXT)
    for colour, text in notes:
        y += _LINE
        canvas.text(_MARGIN, y, text, _TEXT, fill=colour)
    grain_arrow(canvas, float(finished.part.grain_deg), _MARGIN, y + 2 * _LINE, "direction 1 of the fabric")
    return canvas.svg()


def _groups(cuts: Sequence[Cut]) -> list[tuple[int, int, Cut]]:
    """Equal contours after one another are one line: first and last number, and one of them."""
    found: list[tuple[int, int, Cut]] = []
    for n, cut in enumerate(cuts, 1):
        last = found[-1] if found else None
        like = last is not None and last[2].kind == cut.kind and abs(last[2].length - cut.length) < _SAME
        if last is not None and like and abs(last[2].diameter - cut.diameter) < _SAME:
            found[-1] = (last[0], n, last[2])
        else:
            found.append((n, n, cut))
    return found


def _words(first: int, last: int, cut: Cut) -> str:
    numbers = f"{first} to {last}" if last > first else str(first)
    if cut.diameter:
        count = f"{last - first + 1} holes" if last > first else "hole"
        if cut.kind == "drill":
            return f"{numbers}: drill {count}, {cut.diameter:.2f} mm"
        return f"{numbers}: {count}, {cut.diameter:.2f} mm, cut {cut.cut_diameter:.2f} mm"
    if last > first:
        return f"{numbers}: {last - first + 1} openings, each {cut.length:.0f} mm round"
    return f"{numbers}: {'outer edge' if cut.kind == 'outside' else 'opening'}, {cut.length:.0f} mm round"


def _notes(finished: FinishedPart, cutting: PartCutting) -> list[tuple[str, str]]:
    notes = []
    sinks = countersink_words(finished)
    if sinks:
        notes.append((INK, f"countersinks: {sinks}"))
    if any(cut.cut_diameter > cut.diameter + _SAME for cut in cutting.plan.cuts):
        text = f"holes are cut {cutting.compensation_mm:g} mm larger, because a bit bends away; measure the first"
        notes.append((INK, text))
    if cutting.plan.bridges:
        text = f"blue: {len(cutting.plan.bridges)} holding bridges, {cutting.bridge_mm:g} mm wide"
        notes.append((_BRIDGE, text))
    if cutting.places:
        whys = dict.fromkeys(place.why for place in cutting.places)
        notes.append((_LOOK, f"dashed rings: look here ({', '.join(whys)})"))
    return notes


def _numbers(canvas: Canvas, cuts: Sequence[Cut], page: Projection, finished: FinishedPart) -> None:
    """Write numbers at contours; small in holes, and that of the outer edge above the part."""
    for n, cut in enumerate(cuts, 1):
        x, y = page(cut.x, cut.y)
        if cut.kind == "outside":
            x0, _, x1, y1 = bounding_box(finished.outline)
            x, y = page((x0 + x1) / 2, y1)
            y -= 2.0
            size = 2.6
        else:
            size = 2.6 if not cut.diameter else min(2.0, max(1.2, cut.diameter * 0.55))
            if cut.kind == "opening" and cut.length < _NARROW:
                size, y = 1.8, y - 2.4
        canvas.text(x, y + size * 0.36, str(n), size, "middle", bold=cut.kind == "outside", halo=True)
