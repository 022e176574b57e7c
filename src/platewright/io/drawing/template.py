"""The template of a part at full size, cut into tiles that fit a page, with crop marks and a strip in common."""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.assembly.assemble import FinishedPart
from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import Outline, bounding_box, transform_outline
from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.marks import draw_marks
from platewright.io.drawing.paths import Projection, outline_path
from platewright.model.design import Part

__all__ = ["TILE_HEIGHT", "TILE_WIDTH", "Tile", "template_tiles"]

TILE_WIDTH, TILE_HEIGHT = 186.0, 232.0  # of an A4 page within its margins and below its head [mm]
_STRIP = 10.0  # shared by neighbouring tiles [mm]
_MARGIN = 3.0  # white about the part [mm]


@dataclass(frozen=True)
class Tile:
    """One page of a template: its picture, and where it belongs.

    Parameters
    ----------
    svg : str
        `TILE_WIDTH` by `TILE_HEIGHT` [mm].
    row, column : int
        From 1, from the top left.
    rows, columns : int
        Of the whole template.
    """

    svg: str
    row: int
    column: int
    rows: int
    columns: int


def template_tiles(finished: FinishedPart) -> tuple[Tile, ...]:
    """Return the tiles of a part at 1:1, turned by 90 degrees where that needs fewer of them."""
    motions = (Isometry(), Isometry.from_turn(math.pi / 2))
    placed = [(motion, transform_outline(finished.outline, motion)) for motion in motions]
    motion, outline = min(placed, key=lambda p: math.prod(_grid(p[1])))
    rows, columns = _grid(outline)
    return tuple(
        Tile(_tile(finished.part, motion, outline, r, c, rows, columns), r + 1, c + 1, rows, columns)
        for r in range(rows)
        for c in range(columns)
    )


def _grid(outline: Outline) -> tuple[int, int]:
    x0, y0, x1, y1 = bounding_box(outline)
    return _count(y1 - y0, TILE_HEIGHT), _count(x1 - x0, TILE_WIDTH)


def _count(length: float, tile: float) -> int:
    needed = length + 2 * _MARGIN
    return 1 if needed <= tile else math.ceil((needed - _STRIP) / (tile - _STRIP))


def _tile(part: Part, motion: Isometry, outline: Outline, row: int, column: int, rows: int, columns: int) -> str:
    x0, y0, x1, y1 = bounding_box(outline)
    whole_x = TILE_WIDTH * columns - _STRIP * (columns - 1)
    whole_y = TILE_HEIGHT * rows - _STRIP * (rows - 1)
    page = Projection.upright(
        1.0,
        whole_x / 2 - (x0 + x1) / 2 - column * (TILE_WIDTH - _STRIP),
        whole_y / 2 + (y0 + y1) / 2 - row * (TILE_HEIGHT - _STRIP),
    )
    canvas = Canvas(TILE_WIDTH, TILE_HEIGHT, f"template of {part.id}, row {row + 1}, column {column + 1}")
    canvas.open_window("tile", 0.0, 0.0, TILE_WIDTH, TILE_HEIGHT)
    canvas.path(outline_path(outline, page), fill="#f4f4f4", fill_rule="evenodd", stroke=INK, stroke_width=0.2)
    draw_marks(canvas, part, lambda x, y: page(*motion.apply(x, y)))
    for circle in outline.circles:
        x, y = page(circle.x, circle.y)
        arm = min(circle.radius, 3.0)
        canvas.line(x - arm, y, x + arm, y, stroke_width=0.1)
        canvas.line(x, y - arm, x, y + arm, stroke_width=0.1)
    canvas.close_window()
    if rows * columns > 1:
        _crop_marks(canvas, row, column, rows, columns)
    return canvas.svg()


def _crop_marks(canvas: Canvas, row: int, column: int, rows: int, columns: int) -> None:
    """Draw corner marks and the middle of each strip, where neighbouring tiles are cut and joined."""
    for x, sx in ((0.0, 1), (TILE_WIDTH, -1)):
        for y, sy in ((0.0, 1), (TILE_HEIGHT, -1)):
            canvas.line(x, y, x + sx * 6, y, stroke_width=0.3)
            canvas.line(x, y, x, y + sy * 6, stroke_width=0.3)
    half = _STRIP / 2
    style: dict[str, str | float] = {"stroke_width": 0.15, "stroke_dasharray": "3 2"}
    for x, here in ((half, column > 0), (TILE_WIDTH - half, column < columns - 1)):
        if here:
            canvas.line(x, 0.0, x, TILE_HEIGHT, **style)
            canvas.text(x - 0.8, TILE_HEIGHT / 2, "cut here and join", 2.2, "middle", turn=-90)
    for y, here in ((half, row > 0), (TILE_HEIGHT - half, row < rows - 1)):
        if here:
            canvas.line(0.0, y, TILE_WIDTH, y, **style)
            canvas.text(TILE_WIDTH / 2, y - 0.8, "cut here and join", 2.2, "middle")
