"""A view made of lines, with those behind something dashed or left out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from platewright.io.drawing.canvas import INK, Canvas, number

__all__ = ["LineView", "lines_svg"]

Line = Sequence[tuple[float, float]]
_MARGIN = 4.0


class LineView(Protocol):
    """A view as lines: points (x to the right, y up) [mm]."""

    @property
    def visible(self) -> Sequence[Line]:
        """Lines in sight."""

    @property
    def hidden(self) -> Sequence[Line]:
        """Lines behind something."""


def lines_svg(view: LineView, size: tuple[float, float], title: str, show_hidden: bool = False) -> str:
    """Draw the lines of a view as large as the picture allows.

    Parameters
    ----------
    view : LineView
        What is seen [mm].
    size : (float, float)
        Of the picture [mm].
    title : str
        For readers of the file.
    show_hidden : bool
        Draw hidden lines dashed.
    """
    width, height = size
    canvas = Canvas(width, height, title)
    points = [p for line in (*view.visible, *view.hidden) for p in line]
    if not points:
        return canvas.svg()
    x0, x1 = min(p[0] for p in points), max(p[0] for p in points)
    y0, y1 = min(p[1] for p in points), max(p[1] for p in points)
    room_x, room_y = width - 2 * _MARGIN, height - 2 * _MARGIN
    scale = min(room_x / max(x1 - x0, 1e-6), room_y / max(y1 - y0, 1e-6))

    def page(x: float, y: float) -> tuple[float, float]:
        return width / 2 + scale * (x - (x0 + x1) / 2), height / 2 - scale * (y - (y0 + y1) / 2)

    if show_hidden and view.hidden:
        canvas.path(_path(view.hidden, page), fill="none", stroke=INK, stroke_width=0.1, stroke_dasharray="1 0.7")
    if view.visible:
        canvas.path(_path(view.visible, page), fill="none", stroke=INK, stroke_width=0.16, stroke_linecap="round")
    return canvas.svg()


def _path(lines: Sequence[Line], page: Callable[[float, float], tuple[float, float]]) -> str:
    return " ".join(
        "M" + " L".join(f"{number(x, 2)} {number(y, 2)}" for x, y in (page(*p) for p in line)) for line in lines
    )
