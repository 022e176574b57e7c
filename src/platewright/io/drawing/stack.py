"""A column as a cross-section: what it goes through, in proportion, with heights, screws and the thread they find."""

from __future__ import annotations

from collections.abc import Sequence

from platewright.assembly.assemble import Assembly
from platewright.assembly.lines import Item, Line
from platewright.assembly.screws import End, ScrewFit
from platewright.io.colours import colour_of
from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.dimensions import THIN, dimension, millimetres, spread
from platewright.io.drawing.layers import Layer, extent, find_line, layers
from platewright.io.drawing.painting import mix, role_fill
from platewright.model.catalogue.electronics import Board, Camera
from platewright.model.catalogue.fasteners import Nut, Washer
from platewright.model.catalogue.hardware import Spacer, Standoff
from platewright.model.catalogue.power import Motor
from platewright.model.stack import ItemKind

__all__ = ["stack_svg"]

_WIDTH, _AXIS = 200.0, 100.0  # sheet, and where the column's centre line stands [mm]
_MARGIN = 6.0
_HEAD = 26.0
_STEP = 4.4  # least distance between labels [mm]
_TALL = 150.0  # height of the drawn column at most [mm]
_PLATE, _BODY = 9.0, 7.0  # half-widths drawn of plates and of bodies [mm]


def stack_svg(assembly: Assembly, line_name: str) -> str:
    """Draw one bolt line as a cross-section along its axis.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    line_name : str
        Name of the line, `deck_long.1`; an owner's id stands for its first line.

    Raises
    ------
    KeyError
        If there is no such line.
    """
    line = find_line(assembly.lines, line_name)
    parts = layers(assembly, line)
    screws = [s for s in assembly.screws if s.line.name == line.name]
    low, high = extent(parts, screws)
    scale = _scale(high - low)
    drawn = scale * (high - low)
    labels = len([x for x in parts if x.item.word.kind is not ItemKind.SCREW]) + len(screws)
    height = _HEAD + max(drawn, labels * _STEP) + 3 * _MARGIN
    canvas = Canvas(_WIDTH, height, f"{assembly.design.frame.name}: column {line.name}")
    centre = _HEAD + (height - _HEAD - 2 * _MARGIN) / 2
    y0 = centre + scale * (low + high) / 2
    _heading(canvas, assembly, line, scale)
    canvas.line(_AXIS, y0 - scale * high - 4, _AXIS, y0 - scale * low + 4, stroke_dasharray="4 0.8 0.8 0.8")
    for layer in parts:
        _draw(canvas, layer, _thread_size(line), scale, y0)
    for screw in screws:
        _draw_screw(canvas, assembly, screw, scale, y0)
    _names(canvas, parts, scale, y0, height)
    _notes(canvas, assembly, screws, scale, y0, height)
    _overall(canvas, parts, scale, y0)
    return canvas.svg()


def _scale(length: float) -> float:
    """Return the greatest plain enlargement at which the column fits."""
    return next((s for s in (3.0, 2.5, 2.0, 1.5, 1.0, 0.5) if s * length <= _TALL), 0.2)


def _reach(scale: float) -> float:
    """Return where the texts begin, counted from the centre line [mm]."""
    return scale * _PLATE + 5.0


def _heading(canvas: Canvas, assembly: Assembly, line: Line, scale: float) -> None:
    canvas.text(_MARGIN, 10.5, f"{assembly.design.frame.name} · {line.name}", 5.0, bold=True)
    kind = "equipment" if line.is_equipment else "column"
    where = {"z": "x {}, y {}", "y": "x {}, height {}", "x": "y {}, height {}"}[line.axis]
    at = where.format(millimetres(line.a), millimetres(line.b))
    up = {"z": "up is +z", "y": "up on the page is +y (left)", "x": "up on the page is +x (forward)"}[line.axis]
    state = "" if line.fitted else " · provision: holes only"
    ratio = f"{millimetres(scale)}:1" if scale >= 1 else f"1:{millimetres(1 / scale)}"
    canvas.text(_MARGIN, 15.8, f"{kind} at {at} mm · {up} · scale {ratio}{state}", 2.6)


def _thread_size(line: Line) -> float:
    """Thread of the line's first piece of hardware, for the bores of what has none of its own [mm]."""
    sizes = [item.word.size for item in line.items if item.word.size]
    return float(sizes[0].removeprefix("M")) if sizes else 3.0


def _draw(canvas: Canvas, layer: Layer, size: float, scale: float, y0: float) -> None:
    """Both halves of a section: hatched where cut, white in the bore."""
    item, kind = layer.item, layer.item.word.kind
    top, tall = y0 - scale * layer.high, scale * (layer.high - layer.low)
    if kind is ItemKind.SCREW or tall <= 0:
        return
    if kind is ItemKind.GAP:
        fill = canvas.hatch("air", mix(INK, 0.45), 1.6, 90.0, "0.5 1.1")
        canvas.rectangle(_AXIS - scale * _PLATE, top, 2 * scale * _PLATE, tall, fill=fill, stroke="none")
        return
    half, bore, role = _section(item, size)
    hatch = canvas.hatch(f"cut-{role}", mix(colour_of(role).code, 0.1), 1.1, 45.0 if role != "nut" else -45.0)
    base = mix(colour_of(role).code, 0.72)
    for side in (-1, 1):
        inner, outer = _AXIS + side * scale * bore, _AXIS + side * scale * half
        x = min(inner, outer)
        for fill in (base, hatch):
            canvas.rectangle(x, top, abs(outer - inner), tall, fill=fill, stroke=INK, stroke_width=0.2)
        if role == "plate":
            _broken(canvas, outer, top, tall)


def _section(item: Item, line_size: float) -> tuple[float, float, str]:
    """Half-width, bore radius [mm] and role of an item."""
    size = float(item.word.size.removeprefix("M")) if item.word.size else line_size
    bore = item.word.access_mm / 2 if item.word.access_mm is not None else size / 2 + 0.1
    record = item.record
    if isinstance(record, Nut):
        return (record.across_flats_max_mm or record.flange_d_max_mm or 2 * size) / 2, bore, "nut"
    if isinstance(record, Washer):
        return record.outer_d_max_mm / 2, bore, "washer"
    if isinstance(record, Standoff):
        return record.outer_d_mm / 2, bore, "standoff"
    if isinstance(record, Spacer):
        return record.outer_d_mm / 2, bore, "spacer"
    if item.instance is not None:
        return max(_PLATE, bore + 3.0), bore, "plate"
    for kind, role in ((Motor, "motor"), (Board, "board"), (Camera, "camera")):
        if isinstance(record, kind):
            return _BODY, bore, role
    return _BODY, bore, "other"


def _broken(canvas: Canvas, x: float, top: float, tall: float) -> None:
    """White wave over the end of a plate: it goes on."""
    bend = min(1.0, tall / 4)
    canvas.path(
        f"M{x:.3f} {top - 0.2:.3f} q{bend:.3f} {tall / 4:.3f} 0 {tall / 2 + 0.2:.3f} t0 {tall / 2 + 0.2:.3f}",
        fill="none",
        stroke="#ffffff",
        stroke_width=0.9,
    )


def _draw_screw(canvas: Canvas, assembly: Assembly, screw: ScrewFit, scale: float, y0: float) -> None:
    span = assembly.levels.spans[screw.line.name][screw.index]
    if span is None:
        return
    face, step = span.start.nominal, screw.direction
    fill = role_fill("screw")
    _block(canvas, screw.thread.d_mm / 2, face, face + step * screw.length, scale, y0, fill)
    head, tall = screw.screw.head_d_max_mm / 2, screw.screw.head_h_max_mm
    if screw.screw.length_includes_head:
        half = screw.thread.d_mm / 2
        top, low = y0 - scale * face, y0 - scale * (face + step * tall)
        points = [(-head, top), (head, top), (half, low), (-half, low)]
        canvas.polygon([(_AXIS + scale * x, y) for x, y in points], fill=fill, stroke=INK, stroke_width=0.2)
    else:
        _block(canvas, head, face - step * tall, face, scale, y0, fill)
    if screw.end in (End.STANDOFF, End.BODY, End.PRESS_NUT, End.NUT) and screw.engagement.nominal > 0:
        tip = face + step * screw.length
        _threads(canvas, screw, tip - step * screw.engagement.nominal, tip, scale, y0)


def _block(canvas: Canvas, half: float, start: float, end: float, scale: float, y0: float, fill: str) -> None:
    top = y0 - scale * max(start, end)
    canvas.rectangle(
        _AXIS - scale * half, top, 2 * scale * half, scale * abs(end - start), fill=fill, stroke=INK, stroke_width=0.2
    )


def _threads(canvas: Canvas, screw: ScrewFit, start: float, end: float, scale: float, y0: float) -> None:
    """Slanting turns where the thread is counted."""
    half, pitch = screw.thread.d_mm / 2, screw.thread.pitch_mm
    low, high = min(start, end), max(start, end)
    count = int((high - low) / pitch)
    for k in range(count):
        y = y0 - scale * (low + (k + 0.35) * pitch)
        canvas.line(
            _AXIS - scale * half, y, _AXIS + scale * half, y - scale * pitch * 0.4, stroke="#ffffff", stroke_width=0.35
        )


def _names(canvas: Canvas, layers: Sequence[Layer], scale: float, y0: float, height: float) -> None:
    """At the left: what each layer is and how thick."""
    rows = sorted((x for x in layers if x.item.word.kind is not ItemKind.SCREW), key=lambda x: -(x.low + x.high))
    at = [y0 - scale * (x.low + x.high) / 2 for x in rows]
    places = spread(at, _STEP, _HEAD, height - _MARGIN)
    for layer, y_layer, y_label in zip(rows, at, places, strict=True):
        half = _PLATE if layer.item.word.kind is ItemKind.GAP else _section(layer.item, 3.0)[0]
        edge = _AXIS - scale * half - 1.2
        label_end = _AXIS - _reach(scale)
        points = [(label_end + 0.8, y_label), (label_end + 2.2, y_label), (edge - 1.2, y_layer), (edge, y_layer)]
        canvas.polyline(points, stroke_width=THIN)
        canvas.text(label_end, y_label + 0.9, _label(layer), 2.6, "end")


def _label(layer: Layer) -> str:
    word = layer.item.word
    if word.kind is ItemKind.GAP:
        return f"air {layer.high - layer.low:.2f}"
    if word.access_mm is not None:
        return f"{layer.item.label}, access ⌀ {millimetres(word.access_mm)}"
    thickness = layer.thickness
    if thickness is None:
        return layer.item.label
    return f"{layer.item.label}  {millimetres(thickness.nominal)} ± {thickness.worst:.2f}"


def _notes(
    canvas: Canvas, assembly: Assembly, screws: Sequence[ScrewFit], scale: float, y0: float, height: float
) -> None:
    """At the right: each screw with its length and the thread it finds."""
    found = []
    for screw in screws:
        span = assembly.levels.spans[screw.line.name][screw.index]
        if span is not None:
            out = 0.0 if screw.screw.length_includes_head else screw.screw.head_h_max_mm / 2
            found.append((y0 - scale * (span.start.nominal - screw.direction * out), screw))
    found.sort(key=lambda f: f[0])
    places = spread([f[0] for f in found], 3 * 3.6 + 2, _HEAD + 3, height - _MARGIN - 6)
    x = _AXIS + _reach(scale)
    for (y_head, screw), y in zip(found, places, strict=True):
        edge = _AXIS + scale * screw.screw.head_d_max_mm / 2 + 1.0
        canvas.polyline([(edge, y_head), (edge + 2, y_head), (x - 2, y), (x - 0.8, y)], stroke_width=THIN)
        words = screw.line.items[screw.index].word
        canvas.text(x, y + 0.9, f"{words.size} × {millimetres(screw.length)} {words.style}", 2.8, bold=True)
        for n, text in enumerate(_finding(screw)):
            canvas.text(x, y + 0.9 + 3.6 * (n + 1), text, 2.5)


def _finding(screw: ScrewFit) -> list[str]:
    if screw.end is End.NOTHING:
        return ["ends in no thread"]
    verb = "past the nut" if screw.end is End.NUT else f"in the {screw.end.value}"
    first = f"{screw.engagement.nominal:.2f} ± {screw.engagement.worst:.2f} mm {verb}"
    wanted = []
    if screw.required is not None:
        wanted.append(f"at least {millimetres(screw.required)}")
    if screw.limit is not None:
        wanted.append(f"at most {millimetres(screw.limit)}")
    return [first, "wanted " + ", ".join(wanted) + " mm"] if wanted else [first]


def _overall(canvas: Canvas, layers: Sequence[Layer], scale: float, y0: float) -> None:
    touching = [x for x in layers if x.item.touches]
    if not touching:
        return
    low, high = min(x.low for x in touching), max(x.high for x in touching)
    x = _WIDTH - _MARGIN - 10.0
    ends = ((x, y0 - scale * low), (x, y0 - scale * high))
    dimension(canvas, ends[0], ends[1], 7.0, millimetres(high - low))
