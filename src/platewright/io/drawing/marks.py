"""Engraved marks of a part as thin strokes on its drawing."""

from __future__ import annotations

import math
from collections.abc import Callable

from platewright.geometry.text import text_strokes, text_width
from platewright.io.drawing.canvas import Canvas
from platewright.model.design import Part
from platewright.model.outline import Mark

__all__ = ["draw_marks", "mark_strokes"]


def draw_marks(canvas: Canvas, part: Part, page: Callable[[float, float], tuple[float, float]]) -> None:
    """Draw the marks of a part.

    Parameters
    ----------
    canvas : Canvas
        Where.
    part : Part
        Whose marks.
    page : callable
        From the part's own axes to the page [mm].
    """
    for mark in part.marks:
        for stroke in mark_strokes(mark):
            canvas.polyline([page(x, y) for x, y in stroke], stroke_width=0.15, stroke="#666666")


def mark_strokes(mark: Mark) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Return the strokes of a mark about its middle, in the part's own axes [mm]."""
    height, turn = float(mark.height_mm), math.radians(float(mark.turn_deg))
    back, down = text_width(mark.text, height) / 2, height / 2
    x = float(mark.at_mm[0]) - back * math.cos(turn) + down * math.sin(turn)
    y = float(mark.at_mm[1]) - back * math.sin(turn) - down * math.cos(turn)
    return text_strokes(mark.text, x, y, height, turn)
