"""A field over a part as a picture: bands of colour, the outline, a scale with numbers."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from platewright.geometry.loops import Outline, bounding_box, circle_loop, flatten
from platewright.io.drawing.canvas import INK, Canvas, number
from platewright.io.field_colours import band_codes

__all__ = ["SCALE_WIDTH", "field_svg", "paint_field", "paint_outline", "paint_scale"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Place = Callable[[float, float], tuple[float, float]]

SCALE_WIDTH = 34.0  # of the scale with its numbers [mm]
_BANDS = 12
_EDGE, _HEAD = 6.0, 12.0
# A triangle of six nodes as four of three, so that middles of sides count.
_FOUR = np.array([[0, 3, 5], [3, 1, 4], [5, 4, 2], [3, 4, 5]])


def field_svg(
    outline: Outline, nodes: Floats, triangles: Ints, values: Floats, title: str, unit: str, decimals: int = 3
) -> str:
    """Return a picture of a field.

    Parameters
    ----------
    outline : Outline
        Drawn on top [mm].
    nodes : (n_nodes, 2) float
        Of the mesh [mm].
    triangles : (n_triangles, 6) int
        Nodes of each.
    values : (n_nodes,) float
        The field.
    title, unit : str
        What it shows.
    decimals : int
        Of the scale's numbers.

    Notes
    -----
    Within each small triangle the field is linear; where it passes a band's limit the triangle is cut there.
    """
    x0, y0, x1, y1 = bounding_box(outline)
    width, height = x1 - x0 + 2 * _EDGE + SCALE_WIDTH, max(y1 - y0 + 2 * _EDGE, 60.0) + _HEAD
    middle = _HEAD + (height - _HEAD) / 2
    canvas = Canvas(width, height, title)
    canvas.text(_EDGE, 8.0, title, size=4.0, bold=True)

    def place(x: float, y: float) -> tuple[float, float]:
        return x - x0 + _EDGE, middle - (y - (y0 + y1) / 2)

    limits = paint_field(canvas, place, nodes, triangles[:, _FOUR].reshape(-1, 3), values)
    paint_outline(canvas, place, outline)
    paint_scale(canvas, x1 - x0 + 2 * _EDGE + 4.0, middle, limits, unit, decimals)
    return canvas.svg()


def paint_field(canvas: Canvas, place: Place, nodes: Floats, triangles: Ints, values: Floats) -> Floats:
    """Paint bands of colour and return their limits.

    Parameters
    ----------
    canvas : Canvas
        The sheet.
    place : function
        From the part's axes to the sheet.
    nodes : (n_nodes, 2) float
        Corners [mm].
    triangles : (n_triangles, 3) int
        Corners of each.
    values : (n_nodes,) float
        The field.
    """
    low, high = float(values.min()), float(values.max())
    limits: Floats = np.linspace(low, high, _BANDS + 1)
    paths: list[list[str]] = [[] for _ in range(_BANDS)]
    step = (high - low) / _BANDS or 1.0
    first = np.clip(((values[triangles].min(axis=1) - low) / step).astype(int), 0, _BANDS - 1)
    last = np.clip(((values[triangles].max(axis=1) - low) / step).astype(int), 0, _BANDS - 1)
    for corners, a, b in zip(triangles, first.tolist(), last.tolist(), strict=True):
        for band in range(a, b + 1):
            piece = _between(nodes[corners], values[corners], limits[band], limits[band + 1])
            if len(piece) > 2:
                points = " ".join(f"{number(u, 2)} {number(v, 2)}" for u, v in (place(*p) for p in piece))
                paths[band].append(f"M{points}Z")
    for code, pieces in zip(band_codes(_BANDS), paths, strict=True):
        if pieces:
            canvas.path("".join(pieces), fill=code, stroke=code, stroke_width=0.06)
    return limits


def paint_outline(canvas: Canvas, place: Place, outline: Outline, fill: str = "none") -> None:
    """Paint the edge of a part and of all its openings."""
    loops = (outline.outer, *outline.inner, *(circle_loop(c) for c in outline.circles))
    runs = ("L".join(f"{number(u)} {number(v)}" for u, v in (place(*p) for p in flatten(loop, 0.02))) for loop in loops)
    path = "".join(f"M{run}Z" for run in runs)
    canvas.path(path, fill=fill, fill_rule="evenodd", stroke=INK, stroke_width=0.25)


def paint_scale(canvas: Canvas, x: float, middle: float, limits: Floats, unit: str, decimals: int) -> None:
    """Paint the bands beside their limits, at x, half above the middle [mm]."""
    tall, codes = 3.2, band_codes(_BANDS)
    bottom = middle + tall * len(codes) / 2
    for n, code in enumerate(codes):
        canvas.rectangle(x, bottom - (n + 1) * tall, 5.0, tall, fill=code)
    for n in range(0, len(limits), 3):
        canvas.text(x + 6.5, bottom - n * tall + 0.9, number(float(limits[n]), decimals), size=2.6)
    canvas.text(x, bottom - len(codes) * tall - 2.0, unit, size=2.8, bold=True)


def _between(corners: Floats, values: Floats, low: float, high: float) -> list[tuple[float, float]]:
    """Return the part of a triangle whose linear field lies between two limits."""
    piece = [(float(x), float(y), float(v)) for (x, y), v in zip(corners, values, strict=True)]
    for limit, sign in ((low, 1.0), (high, -1.0)):
        kept: list[tuple[float, float, float]] = []
        for n, here in enumerate(piece):
            before = piece[n - 1]
            a, b = sign * (before[2] - limit), sign * (here[2] - limit)
            if (a < 0) != (b < 0):
                t = a / (a - b)
                x, y, v = (p + t * (q - p) for p, q in zip(before, here, strict=True))
                kept.append((x, y, v))
            if b >= 0:
                kept.append(here)
        piece = kept
    return [(x, y) for x, y, _ in piece]
