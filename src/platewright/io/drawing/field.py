"""A field over a part as a picture: bands of colour, the outline, a scale with numbers."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from platewright.geometry.loops import Loop, Outline, bounding_box, circle_loop, flatten
from platewright.io.drawing.canvas import Canvas, number
from platewright.io.field_colours import band_codes

__all__ = ["field_svg"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_BANDS = 12
_EDGE, _SCALE_WIDTH, _HEAD = 6.0, 34.0, 12.0
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
    width, height = x1 - x0 + 2 * _EDGE + _SCALE_WIDTH, max(y1 - y0 + 2 * _EDGE, 60.0) + _HEAD
    middle = _HEAD + (height - _HEAD) / 2
    canvas = Canvas(width, height, title)
    canvas.text(_EDGE, 8.0, title, size=4.0, bold=True)

    def place(x: float, y: float) -> tuple[float, float]:
        return x - x0 + _EDGE, middle - (y - (y0 + y1) / 2)

    low, high = float(values.min()), float(values.max())
    limits = np.linspace(low, high, _BANDS + 1)
    codes = band_codes(_BANDS)
    small = triangles[:, _FOUR].reshape(-1, 3)
    paths: list[list[str]] = [[] for _ in range(_BANDS)]
    step = (high - low) / _BANDS or 1.0
    first = np.clip(((values[small].min(axis=1) - low) / step).astype(int), 0, _BANDS - 1)
    last = np.clip(((values[small].max(axis=1) - low) / step).astype(int), 0, _BANDS - 1)
    for corners, a, b in zip(small, first.tolist(), last.tolist(), strict=True):
        for band in range(a, b + 1):
            piece = _between(nodes[corners], values[corners], limits[band], limits[band + 1])
            if len(piece) > 2:
                points = " ".join(f"{number(u)} {number(v)}" for u, v in (place(*p) for p in piece))
                paths[band].append(f"M{points}Z")
    for code, pieces in zip(codes, paths, strict=True):
        if pieces:
            canvas.path("".join(pieces), fill=code, stroke=code, stroke_width=0.06)
    for loop in (outline.outer, *outline.inner, *(circle_loop(c) for c in outline.circles)):
        canvas.polygon([place(*p) for p in _points(loop)], fill="none", stroke="#1a1a1a", stroke_width=0.25)
    _scale(canvas, x1 - x0 + 2 * _EDGE + 4.0, middle, codes, limits, unit, decimals)
    return canvas.svg()


def _scale(canvas: Canvas, x: float, middle: float, codes: list[str], limits: Floats, unit: str, decimals: int) -> None:
    tall = 3.2
    bottom = middle + tall * len(codes) / 2
    for n, code in enumerate(codes):
        canvas.rectangle(x, bottom - (n + 1) * tall, 5.0, tall, fill=code)
    for n in range(0, len(limits), 3):
        canvas.text(x + 6.5, bottom - n * tall + 0.9, number(float(limits[n]), decimals), size=2.6)
    canvas.text(x, bottom - len(codes) * tall - 2.0, unit, size=2.8, bold=True)


def _points(loop: Loop) -> tuple[tuple[float, float], ...]:
    return flatten(loop, 0.02)


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
