"""The plan of a frame in a terminal: outlines as braille dots, or as plain characters where braille cannot be shown."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import OutputError
from platewright.io.drawing.painting import is_disc
from platewright.io.drawing.silhouettes import TOP, Figure, figures

__all__ = ["plan_text"]

_DOT_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))  # of a braille cell, rows from the top
_BRAILLE = 0x2800
_SMALL = 1.2  # bodies less than this many dots across are left out [-]
_CHORD = 24  # chords in a quarter circle [-]
Dots = NDArray[np.bool_]


def plan_text(assembly: Assembly, columns: int = 80, ascii_only: bool = False) -> str:
    """Return the plan as lines of text, nose up; nearer bodies hide what lies under them.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    columns : int
        Width of the terminal, 20 to 400 characters.
    ascii_only : bool
        Two dots to a character, above one another, as `'`, `.` and `:`; otherwise two by four in braille.

    Raises
    ------
    OutputError
        If the width is out of range.
    """
    if not 20 <= columns <= 400:
        msg = f"a picture in the terminal must be from 20 to 400 characters wide (got {columns})."
        raise OutputError(msg)
    shapes = figures(assembly.bodies, TOP)
    if not shapes:
        return ""
    left, low = min(f.box[0] for f in shapes), min(f.box[1] for f in shapes)
    right, high = max(f.box[2] for f in shapes), max(f.box[3] for f in shapes)
    per_cell = (1, 2) if ascii_only else (2, 4)
    width = columns * per_cell[0]
    scale = (width - 1) / (right - left)
    height = math.ceil((high - low) * scale / per_cell[1] + 1) * per_cell[1]
    dots: Dots = np.zeros((height, width), dtype=bool)
    for figure in shapes:
        if min(figure.box[2] - figure.box[0], figure.box[3] - figure.box[1]) * scale < _SMALL:
            continue
        _draw(dots, figure, scale, left, high)
    return _plain(dots) if ascii_only else _braille(dots)


def _draw(dots: Dots, figure: Figure, scale: float, left: float, high: float) -> None:
    """Clear what a figure covers, then set its edge; a turning propeller covers nothing and is dotted."""
    polygon = shapely.transform(
        figure.polygon(_CHORD), lambda c: np.column_stack([(c[:, 0] - left) * scale, (high - c[:, 1]) * scale])
    )
    disc = is_disc(figure.body, figure.number)
    if not disc:
        x0, y0, x1, y1 = (int(v) for v in shapely.bounds(polygon))
        columns, rows = np.meshgrid(np.arange(x0, x1 + 2), np.arange(y0, y1 + 2))
        inside = shapely.contains_xy(polygon, columns.ravel(), rows.ravel()).reshape(columns.shape)
        inside &= (rows < dots.shape[0]) & (columns < dots.shape[1])
        dots[rows[inside], columns[inside]] = False
    rings = [polygon.exterior, *([] if disc else polygon.interiors)]
    for ring in rings:
        count = max(int(ring.length * (0.25 if disc else 2.0)), 8)
        points = shapely.get_coordinates(shapely.line_interpolate_point(ring, np.linspace(0, ring.length, count + 1)))
        x, y = np.rint(points).astype(int).T
        keep = (x >= 0) & (y >= 0) & (x < dots.shape[1]) & (y < dots.shape[0])
        dots[y[keep], x[keep]] = True


def _braille(dots: Dots) -> str:
    cells = np.full((dots.shape[0] // 4, dots.shape[1] // 2), _BRAILLE)
    for row, bits in enumerate(_DOT_BITS):
        for column, bit in enumerate(bits):
            cells += dots[row::4, column::2] * bit
    return "\n".join("".join(chr(c) if c != _BRAILLE else " " for c in line).rstrip() for line in cells.tolist())


def _plain(dots: Dots) -> str:
    cells = dots[0::2] + 2 * dots[1::2].astype(int)
    return "\n".join("".join(" '.:"[c] for c in line).rstrip() for line in cells.tolist())
