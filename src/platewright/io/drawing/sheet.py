"""A sheet with its pieces: numbered in the order of cutting, coloured by part, with rim, clamps and what is left."""

from __future__ import annotations

from collections.abc import Sequence

from platewright.io.colours import PALETTE
from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.painting import mix
from platewright.io.drawing.paths import Projection, outline_path
from platewright.io.sheet_dxf import SheetPiece
from platewright.study.nest_results import NestedSheet

__all__ = ["sheet_svg"]

_PAGE = 277.0  # length of the sheet on the page [mm]
_EDGE = 10.0  # round it [mm]
_TEXT = 2.6  # [mm]
_LINE = 4.4  # [mm]
_COLUMN = 92.0  # of the list of parts [mm]
_COLOURS = tuple(mix(code, 0.45) for name, code in PALETTE.items() if name not in ("black", "yellow"))


def sheet_svg(
    sheet: NestedSheet, title: str, clamps: Sequence[tuple[float, float, float, float]], pieces: Sequence[SheetPiece]
) -> str:
    """Draw a sheet, its length along the page.

    Parameters
    ----------
    sheet : NestedSheet
        What lies where.
    title : str
        Its heading.
    clamps : sequence of (x, y, length, width)
        Rectangles that are not cut [mm].
    pieces : sequence of SheetPiece
        In the order of the sheet's own pieces.
    """
    scale = _PAGE / sheet.length_mm
    names = list(dict.fromkeys(f"{p.frame}/{p.part}" for p in sheet.pieces))
    rows = -(-len(names) // 3)
    top = 3 * _LINE + _EDGE
    height = top + scale * sheet.width_mm + _EDGE + rows * _LINE
    canvas = Canvas(_PAGE + 2 * _EDGE, height, title)
    page = Projection.upright(scale, _EDGE, top + scale * sheet.width_mm)
    _heading(canvas, sheet, title)
    x0, y0 = page(0.0, sheet.width_mm)
    canvas.rectangle(x0, y0, _PAGE, scale * sheet.width_mm, fill="#f7f7f7", stroke=INK, stroke_width=0.4)
    _rest(canvas, sheet, page)
    m = sheet.margin_mm * scale
    canvas.rectangle(
        x0 + m,
        y0 + m,
        _PAGE - 2 * m,
        scale * sheet.width_mm - 2 * m,
        fill="none",
        stroke=INK,
        stroke_width=0.15,
        stroke_dasharray="2 1",
    )
    for x, y, a, b in clamps:
        left, upper = page(x, y + b)
        canvas.rectangle(
            left, upper, a * scale, b * scale, fill=canvas.hatch("clamp", INK, 1.6), stroke=INK, stroke_width=0.3
        )
    for row, piece in zip(sheet.pieces, pieces, strict=True):
        colour = _COLOURS[names.index(f"{row.frame}/{row.part}") % len(_COLOURS)]
        path = outline_path(piece.outline, page)
        canvas.path(path, fill=colour, fill_rule="evenodd", stroke=INK, stroke_width=0.2)
    for row, piece in zip(sheet.pieces, pieces, strict=True):
        x, y = page(*piece.at)
        canvas.text(x, y + 0.9, str(row.number), _TEXT, "middle", bold=True, halo=True)
    bits = _bits(sheet)
    for n, name in enumerate(names):
        own = [str(p.number) for p in sheet.pieces if f"{p.frame}/{p.part}" == name]
        x, y = _EDGE + _COLUMN * (n // rows), height - _EDGE / 2 - _LINE * (rows - 1 - n % rows)
        canvas.rectangle(x, y - 2.4, 3.0, 2.8, fill=_COLOURS[n % len(_COLOURS)], stroke=INK, stroke_width=0.15)
        canvas.text(x + 4.5, y, f"{len(own)} x {name}{bits.get(name, '')}: {_numbers(own)}", _TEXT)
    return canvas.svg()


def _heading(canvas: Canvas, sheet: NestedSheet, title: str) -> None:
    canvas.text(_EDGE, _EDGE, title, 3.6, bold=True)
    text = (
        f"{sheet.length_mm:g} x {sheet.width_mm:g} mm, rim {sheet.margin_mm:g} mm; {len(sheet.pieces)} pieces; yield "
        f"{sheet.yield_percent:.0f} % of the sheet, {sheet.yield_used_percent:.0f} % of the "
        f"{sheet.used_length_mm:.0f} mm that are used; numbers are the order of cutting"
    )
    canvas.text(_EDGE, _EDGE + _LINE, text, _TEXT)
    y = _EDGE + 2 * _LINE
    canvas.line(_EDGE, y, _EDGE + 18.0, y, stroke_width=0.3)
    canvas.arrow(_EDGE + 19.0, y, 0.0, 2.4, INK, 0.25)
    canvas.text(_EDGE + 21.0, y + 0.9, "direction 1 of the fabric", _TEXT)


def _bits(sheet: NestedSheet) -> dict[str, str]:
    """Return the bit of each part in words, where the parts of a sheet take several."""
    if len({p.cutter_mm for p in sheet.pieces}) == 1:
        return {}
    return {f"{p.frame}/{p.part}": f" ({p.cutter_mm:g} mm bit)" for p in sheet.pieces}


def _rest(canvas: Canvas, sheet: NestedSheet, page: Projection) -> None:
    if sheet.rest is None:
        return
    x, y = page(sheet.length_mm - sheet.rest.length_mm, sheet.width_mm)
    width, height = sheet.rest.length_mm * page.scale, sheet.width_mm * page.scale
    canvas.rectangle(x, y, width, height, fill=canvas.hatch("rest", "#bbbbbb", 3.0), stroke="#888888", stroke_width=0.2)
    words = f"left over: {sheet.rest.length_mm:.0f} x {sheet.rest.width_mm:.0f} mm"
    upright = 90.0 if width < 45 else 0.0
    canvas.text(x + width / 2, y + height / 2, words, _TEXT, "middle", turn=upright, halo=True)


def _numbers(own: Sequence[str]) -> str:
    """Write numbers, those after one another as a range, cut off where there are many."""
    runs: list[list[int]] = []
    for n in map(int, own):
        if runs and runs[-1][1] == n - 1:
            runs[-1][1] = n
        else:
            runs.append([n, n])
    words = [str(a) if a == b else f"{a}-{b}" for a, b in runs]
    return ", ".join(words[:9]) + (" ..." if len(words) > 9 else "")
