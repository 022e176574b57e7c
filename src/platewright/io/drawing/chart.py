"""Line charts and bar charts on a sheet: axes with round ticks, bands, a legend; sizes in mm of the sheet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from platewright.io.drawing.canvas import Canvas, number

__all__ = ["Bar", "Panel", "Series", "bars_svg", "panels_svg", "round_ticks"]

_WIDTH, _PANEL, _LEFT, _RIGHT, _HEAD, _FOOT, _GAP = 150.0, 58.0, 17.0, 6.0, 14.0, 12.0, 13.0
_GRID = "#d9d9d9"
_TICKS = 5
_BAR, _NAMES, _ROW = 78.0, 52.0, 6.2


@dataclass(frozen=True)
class Series:
    """A line: its name, points, colour, dashes (empty for none), and a band about it; None breaks a line."""

    name: str
    x: Sequence[float]
    y: Sequence[float | None]
    colour: str
    dash: str = ""
    band: Sequence[tuple[float, float] | None] = ()


@dataclass(frozen=True)
class Panel:
    """One chart: what its upright axis shows, and its lines."""

    title: str
    series: tuple[Series, ...]


@dataclass(frozen=True)
class Bar:
    """One bar: its name, value, band and colour; a value of None is written as its note."""

    name: str
    value: float | None
    band: tuple[float, float] | None
    colour: str
    note: str = ""


def panels_svg(title: str, across: str, panels: Sequence[Panel]) -> str:
    """Return charts one above the other over the same axis.

    Parameters
    ----------
    title : str
        At the head.
    across : str
        What the lying axis shows.
    panels : sequence of Panel
        From the top.
    """
    legends = [_legend_rows(p) for p in panels]
    height = _HEAD + sum(_PANEL + _GAP + 4.2 * rows for rows in legends)
    canvas = Canvas(_WIDTH, height, title)
    canvas.text(_LEFT - 11, 8.0, title, size=4.0, bold=True)
    top = _HEAD
    for panel, rows in zip(panels, legends, strict=True):
        top += 4.2 * rows
        _panel(canvas, panel, top, across if panel is panels[-1] else "")
        top += _PANEL + _GAP
    return canvas.svg()


def bars_svg(title: str, unit: str, bars: Sequence[Bar], limit: float) -> str:
    """Return lying bars with their bands.

    Parameters
    ----------
    title, unit : str
        At the head and the foot.
    bars : sequence of Bar
        From the top.
    limit : float
        End of the axis; bars beyond are cut there and say their value.
    """
    height = _HEAD + _ROW * len(bars) + _FOOT
    canvas = Canvas(_NAMES + _BAR + 22.0, height, title)
    canvas.text(6.0, 8.0, title, size=4.0, bold=True)
    bottom = _HEAD + _ROW * len(bars)
    for tick in round_ticks(0.0, limit):
        x = _NAMES + _BAR * tick / limit
        canvas.line(x, _HEAD - 1, x, bottom, stroke=_GRID)
        canvas.text(x, bottom + 4.0, number(tick, 2), size=2.6, anchor="middle")
    canvas.text(_NAMES + _BAR / 2, bottom + 9.0, unit, size=2.8, anchor="middle")
    for n, bar in enumerate(bars):
        y = _HEAD + _ROW * n
        canvas.text(_NAMES - 2, y + _ROW / 2 + 0.6, bar.name, size=2.6, anchor="end")
        if bar.value is None:
            canvas.text(_NAMES + 2, y + _ROW / 2 + 0.6, bar.note, size=2.6)
            continue
        length = _BAR * min(max(bar.value, 0.0), limit) / limit
        canvas.rectangle(_NAMES, y + 1.0, length, _ROW - 2.4, fill=bar.colour)
        end = length
        if bar.band is not None:
            low, high = (_BAR * min(max(b, 0.0), limit) / limit for b in bar.band)
            middle = y + _ROW / 2 - 0.2
            canvas.line(_NAMES + low, middle, _NAMES + high, middle, stroke_width=0.35)
            for x in (low, high):
                canvas.line(_NAMES + x, middle - 1, _NAMES + x, middle + 1, stroke_width=0.35)
            end = max(end, high)
        canvas.text(_NAMES + end + 1.5, y + _ROW / 2 + 0.6, number(bar.value, 1), size=2.6)
    return canvas.svg()


def _panel(canvas: Canvas, panel: Panel, top: float, across: str) -> None:
    xs = [x for s in panel.series for x in s.x]
    ys = [y for s in panel.series for y in s.y if y is not None]
    ys += [v for s in panel.series for b in s.band if b is not None for v in b]
    low, high = min([0.0, *ys]), max([*ys, 1e-9])
    x_ticks, y_ticks = round_ticks(min(xs), max(xs)), round_ticks(low, high)
    x0, x1, y0, y1 = min(xs), max(xs), min(low, y_ticks[0]), max(high, y_ticks[-1])
    right, bottom = _WIDTH - _RIGHT, top + _PANEL

    def place(x: float, y: float) -> tuple[float, float]:
        return _LEFT + (right - _LEFT) * (x - x0) / (x1 - x0), bottom - _PANEL * (y - y0) / (y1 - y0)

    for tick in x_ticks:
        x, _ = place(tick, y0)
        canvas.line(x, top, x, bottom, stroke=_GRID)
        canvas.text(x, bottom + 3.8, number(tick, 3), size=2.6, anchor="middle")
    for tick in y_ticks:
        _, y = place(x0, tick)
        canvas.line(_LEFT, y, right, y, stroke=_GRID)
        canvas.text(_LEFT - 1.5, y + 0.9, number(tick, 3), size=2.6, anchor="end")
    canvas.rectangle(_LEFT, top, right - _LEFT, _PANEL, fill="none", stroke="#7f7f7f", stroke_width=0.2)
    for series in panel.series:
        for run in _runs(series):
            banded = [n for n in run if series.band and series.band[n] is not None]
            ends = [(series.x[n], series.band[n]) for n in banded]
            edge = [place(x, b[1]) for x, b in ends if b] + [place(x, b[0]) for x, b in reversed(ends) if b]
            if len(edge) > 2:
                canvas.polygon(edge, fill=series.colour, fill_opacity=0.15)
            points = [place(series.x[n], value) for n in run if (value := series.y[n]) is not None]
            style = {"stroke_dasharray": series.dash} if series.dash else {}
            canvas.polyline(points, stroke=series.colour, stroke_width=0.6, **style)
    canvas.text(_LEFT - 11, top - 1.6 - 4.2 * _legend_rows(panel), panel.title, size=3.0, bold=True)
    if _legend_rows(panel):
        step = (right - _LEFT) / 3
        for n, series in enumerate(panel.series):
            x, y = _LEFT + step * (n % 3), top - 2.0 - 4.2 * (_legend_rows(panel) - 1 - n // 3)
            style = {"stroke_dasharray": series.dash} if series.dash else {}
            canvas.line(x, y - 0.9, x + 8, y - 0.9, stroke=series.colour, stroke_width=0.6, **style)
            canvas.text(x + 9.5, y, series.name, size=2.6)
    if across:
        canvas.text((_LEFT + right) / 2, bottom + 8.6, across, size=2.8, anchor="middle")


def _legend_rows(panel: Panel) -> int:
    return math.ceil(len(panel.series) / 3) if len(panel.series) > 1 else 0


def _runs(series: Series) -> list[list[int]]:
    """Return numbers of neighbouring points that there are."""
    runs: list[list[int]] = [[]]
    for n, y in enumerate(series.y):
        if y is None:
            runs.append([])
        else:
            runs[-1].append(n)
    return [r for r in runs if len(r) > 1]


def round_ticks(low: float, high: float) -> list[float]:
    """Return round numbers that hold a range, about five of them.

    Examples
    --------
    >>> round_ticks(0.0, 43.0)
    [0.0, 10.0, 20.0, 30.0, 40.0]
    """
    step = (high - low) / _TICKS
    size = 10.0 ** math.floor(math.log10(step))
    step = next(m * size for m in (1.0, 2.0, 2.5, 5.0, 10.0) if m * size >= step * (1 - 1e-9))
    first = math.ceil(low / step - 1e-9)
    return [round(k * step, 9) + 0.0 for k in range(first, math.floor(high / step + 1e-9) + 1)]
