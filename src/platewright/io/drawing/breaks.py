"""Where a part breaks: a heat picture of reported places on its outline, beside those computed to fail first."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.geometry.loops import Outline, bounding_box, circle_loop, flatten
from platewright.io.colours import PALETTE
from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.dimensions import scale_bar
from platewright.io.drawing.paths import Projection, outline_path
from platewright.io.drawing.plan import picture_scale
from platewright.io.field_colours import band_codes
from platewright.study.first_failures import ComputedPlace

__all__ = ["breaks_svg"]

_SPREAD = 4.0  # standard deviation about each reported place: how well people say where (no source) [mm]
_CELL = 0.5  # of the grid that the density is worked out on [mm]
_BANDS = 8
_ROOM = (250.0, 130.0)
_MARGIN, _HEAD, _ROW = 8.0, 24.0, 4.4  # [mm]
_WIDTH = 190.0  # least width of the page, for its words [mm]
_CHORD = 0.02  # [mm]
_MOST_CASES = 3  # named of each computed place
_CM2_PER_MM2 = 0.01

Floats = NDArray[np.float64]


def breaks_svg(
    outline: Outline,
    title: str,
    places: Sequence[tuple[float, float, int, int]],
    computed: Sequence[ComputedPlace],
    unknown: int = 0,
) -> str:
    """Draw where a part broke.

    Parameters
    ----------
    outline : Outline
        Of the part [mm].
    title : str
        What is shown.
    places : sequence of (float, float, int, int)
        Where it broke in the part's own axes [mm], in which revision, and how many pieces.
    computed : sequence of ComputedPlace
        Where it is computed to fail first.
    unknown : int
        Broken pieces whose place is not known.
    """
    x0, y0, x1, y1 = bounding_box(outline)
    scale = picture_scale(x1 - x0, y1 - y0, *_ROOM)
    revisions = sorted({place[2] for place in places})
    foot = _ROW * (len(revisions) + len(computed) + 1) + 12.0
    width = max(scale * (x1 - x0) + 2 * _MARGIN, _WIDTH)
    canvas = Canvas(width, scale * (y1 - y0) + _HEAD + foot + 2 * _MARGIN, title)
    page = Projection.upright(scale, (width - scale * (x0 + x1)) / 2, _HEAD + scale * y1)
    canvas.text(_MARGIN, 11.0, title, 5.0, bold=True)
    total = sum(place[3] for place in places)
    lost = f"; place not known of {unknown} more" if unknown else ""
    canvas.text(_MARGIN, 17.0, f"{total} broken at known places{lost}; smoothed over {_SPREAD:g} mm", 2.8)
    largest = _heat(canvas, page, outline, places)
    canvas.path(outline_path(outline, page), fill="none", stroke=INK, stroke_width=0.3)
    for x, y, revision, pieces in places:
        _mark(canvas, *page(x, y), revisions.index(revision), 1.1 + 0.25 * min(pieces - 1, 6))
    for n, place in enumerate(computed, 1):
        _cross(canvas, *page(*place.at_mm), str(n))
    _words(canvas, _HEAD + scale * (y1 - y0) + _MARGIN, revisions, computed, largest)
    scale_bar(canvas, _MARGIN, canvas.height - 8.0, scale, width - 2 * _MARGIN - 10.0)
    return canvas.svg()


def _heat(canvas: Canvas, page: Projection, outline: Outline, places: Sequence[tuple[float, float, int, int]]) -> float:
    """Fill the part with bands of density and return the largest [1/cm2]."""
    holes = [flatten(loop, _CHORD) for loop in (*outline.inner, *(circle_loop(c) for c in outline.circles))]
    body = shapely.Polygon(flatten(outline.outer, _CHORD), holes)
    codes = band_codes(_BANDS + 1)
    _area(canvas, page, body, "#f4f4f4")
    if not places:
        return 0.0
    x0, y0, x1, y1 = shapely.bounds(body).tolist()
    xs, ys = np.arange(x0 + _CELL / 2, x1 + _CELL, _CELL), np.arange(y0 + _CELL / 2, y1 + _CELL, _CELL)
    density: Floats = np.zeros((len(ys), len(xs)))
    for x, y, _, pieces in places:
        along = np.exp(-0.5 * ((xs - x) / _SPREAD) ** 2)
        across = np.exp(-0.5 * ((ys - y) / _SPREAD) ** 2)
        density += pieces * np.outer(across, along)
    density /= 2 * math.pi * _SPREAD**2 * _CM2_PER_MM2
    largest = float(density.max())
    bands = np.minimum((density / largest * (_BANDS + 1)).astype(int), _BANDS)
    for band in range(1, _BANDS + 1):
        boxes = [
            shapely.box(xs[a] - _CELL / 2, ys[row] - _CELL / 2, xs[b] + _CELL / 2, ys[row] + _CELL / 2)
            for row in range(len(ys))
            for a, b in _runs(bands[row] == band)
        ]
        if boxes:
            _area(canvas, page, shapely.intersection(shapely.union_all(boxes), body), codes[band])
    return largest


def _runs(inside: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return first and last index of each run of true values."""
    edges = np.diff(np.concatenate([[0], inside.astype(int), [0]]))
    return list(zip(np.flatnonzero(edges == 1).tolist(), (np.flatnonzero(edges == -1) - 1).tolist(), strict=True))


def _area(canvas: Canvas, page: Projection, shape: shapely.Geometry, fill: str) -> None:
    parts = []
    for polygon in shapely.get_parts(shape).tolist():
        if isinstance(polygon, shapely.Polygon) and not polygon.is_empty:
            for ring in (polygon.exterior, *polygon.interiors):
                points = [page(x, y) for x, y in shapely.get_coordinates(ring)[:-1].tolist()]
                parts.append("M" + " L".join(f"{x:.3f} {y:.3f}" for x, y in points) + " Z")
    if parts:
        canvas.path(" ".join(parts), fill=fill, fill_rule="evenodd", stroke=fill, stroke_width=0.05)


def _mark(canvas: Canvas, x: float, y: float, kind: int, size: float) -> None:
    """Draw a reported place; its shape says the revision."""
    style: dict[str, str | float] = {"fill": "#ffffff", "fill_opacity": 0.75, "stroke": INK, "stroke_width": 0.3}
    corners = (0, 4, 3, 5)[kind % 4]
    if not corners:
        canvas.circle(x, y, size, **style)
        return
    turn = -math.pi / 2 + (math.pi / 4 if corners == 4 else 0.0)
    angles = [turn + 2 * math.pi * k / corners for k in range(corners)]
    canvas.polygon([(x + 1.25 * size * math.cos(a), y + 1.25 * size * math.sin(a)) for a in angles], **style)


def _cross(canvas: Canvas, x: float, y: float, text: str, half: float = 2.4) -> None:
    for width, colour in ((1.5, "#ffffff"), (0.7, PALETTE["vermillion"])):
        for sign in (1, -1):
            canvas.line(x - half, y - sign * half, x + half, y + sign * half, stroke=colour, stroke_width=width)
    canvas.text(x + half + 0.6, y - half + 0.4, text, 3.4, bold=True, fill=PALETTE["vermillion"])


def _words(
    canvas: Canvas, y: float, revisions: Sequence[int], computed: Sequence[ComputedPlace], largest: float
) -> None:
    x = _MARGIN
    for n, revision in enumerate(revisions):
        _mark(canvas, x + 2.0, y - 1.0, n, 1.1)
        canvas.text(x + 6.0, y, f"broke here, revision {revision}", 2.8)
        y += _ROW
    for n, place in enumerate(computed, 1):
        _cross(canvas, x + 2.0, y - 1.0, "", 1.3)
        first = set(place.first_of_all)
        cases = sorted(place.cases, key=lambda c: c not in first)
        more = f" and {len(cases) - _MOST_CASES} more" if len(cases) > _MOST_CASES else ""
        named = ", ".join(f"{c} (first of all)" if c in first else c for c in cases[:_MOST_CASES])
        canvas.text(x + 6.0, y, f"{n}: computed to fail first here at {named}{more}", 2.8)
        y += _ROW
    if largest:
        codes = band_codes(_BANDS + 1)
        for n, code in enumerate(codes[1:]):
            canvas.rectangle(x + 6.0 * n, y - 2.2, 6.0, 2.8, fill=code)
        canvas.text(x + 6.0 * _BANDS + 2.0, y, f"{largest / (_BANDS + 1):.2g} to {largest:.2g} broken per cm²", 2.8)
