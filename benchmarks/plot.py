"""Plot how time grows: every benchmark with three numeric sizes or more, from pytest-benchmark's JSON, as one SVG.

python -m benchmarks.plot RESULTS.json PICTURE.svg [NAME ...]

With names, such as "plate by freedoms", only these are drawn.
"""

from __future__ import annotations

import json
import math
import sys
from pathlib import Path

__all__ = ["growth_series", "growth_svg"]

Series = dict[str, list[tuple[float, float]]]

_WIDTH, _HEIGHT, _LEFT, _TOP, _RIGHT, _BOTTOM = 180.0, 110.0, 20.0, 12.0, 62.0, 18.0
# Okabe and Ito, "Color Universal Design", 2008; each line also has a mark of its own.
_COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#000000")
_MARKS = ("●", "■", "▲", "◆", "▼", "★", "✚")


def growth_series(results: dict[str, object]) -> Series:
    """Median seconds by size, for each benchmark that is measured at three sizes or more."""
    series: Series = {}
    for row in results["benchmarks"]:  # type: ignore[attr-defined]
        param = (row.get("param") or "").split("-")[0]
        try:
            size = float(param)
        except ValueError:
            continue
        name = row["name"].partition("[")[0].removeprefix("test_").replace("_", " ")
        series.setdefault(name, []).append((size, float(row["stats"]["median"])))
    return {name: sorted(points) for name, points in series.items() if len(points) >= 3}


def growth_svg(series: Series) -> str:
    """Return the picture: size against time, both logarithmic, with the exponent of the last step beside each name."""
    sizes = [s for points in series.values() for s, _ in points]
    times = [1e3 * t for points in series.values() for _, t in points]
    x0, x1 = math.floor(math.log10(min(sizes))), math.ceil(math.log10(max(sizes)))
    y0, y1 = math.floor(math.log10(min(times))), math.ceil(math.log10(max(times)))

    def place(size: float, milliseconds: float) -> tuple[float, float]:
        x = _LEFT + (math.log10(size) - x0) / (x1 - x0) * (_WIDTH - _LEFT - _RIGHT)
        y = _HEIGHT - _BOTTOM - (math.log10(milliseconds) - y0) / (y1 - y0) * (_HEIGHT - _TOP - _BOTTOM)
        return round(x, 2), round(y, 2)

    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_WIDTH}mm" height="{_HEIGHT}mm" '
        f'viewBox="0 0 {_WIDTH} {_HEIGHT}" font-family="Plate Sans, sans-serif" font-size="3">',
        f'<rect width="{_WIDTH}" height="{_HEIGHT}" fill="white"/>',
        f'<text x="{_LEFT}" y="7" font-size="4">Time against size (median, one core)</text>',
    ]
    for k in range(x0, x1 + 1):
        (x, low), (_, high) = place(10.0**k, 10.0**y0), place(10.0**k, 10.0**y1)
        out.append(f'<path d="M{x} {low}V{high}" stroke="#ccc" stroke-width="0.2"/>')
        out.append(f'<text x="{x}" y="{low + 4}" text-anchor="middle">{10**k:g}</text>')
    for k in range(y0, y1 + 1):
        (left, y), (right, _) = place(10.0**x0, 10.0**k), place(10.0**x1, 10.0**k)
        out.append(f'<path d="M{left} {y}H{right}" stroke="#ccc" stroke-width="0.2"/>')
        out.append(f'<text x="{left - 1.5}" y="{y + 1}" text-anchor="end">{10**k:g} ms</text>')
    out.append(f'<text x="{_LEFT}" y="{_HEIGHT - 4}">size: parts, entities, rotors ... as the name says</text>')
    for n, (name, points) in enumerate(series.items()):
        colour, mark = _COLOURS[n % len(_COLOURS)], _MARKS[n % len(_MARKS)]
        placed = [place(s, 1e3 * t) for s, t in points]
        path = " ".join(f"{x},{y}" for x, y in placed)
        out.append(f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="0.5"/>')
        out += [f'<text x="{x}" y="{y + 1}" text-anchor="middle" fill="{colour}">{mark}</text>' for x, y in placed]
        (s0, t0), (s1, t1) = points[-2:]
        exponent = math.log(t1 / t0) / math.log(s1 / s0)
        x, y = _WIDTH - _RIGHT + 3, _TOP + 6 + 8 * n
        out.append(f'<text x="{x}" y="{y}" fill="{colour}">{mark} {name}</text>')
        out.append(f'<text x="{x + 4}" y="{y + 3.5}">last step grows as size^{exponent:.1f}</text>')
    return "\n".join([*out, "</svg>", ""])


if __name__ == "__main__":
    found = growth_series(json.loads(Path(sys.argv[1]).read_text(encoding="utf-8")))
    chosen = {name: points for name, points in found.items() if not sys.argv[3:] or name in sys.argv[3:]}
    Path(sys.argv[2]).write_text(growth_svg(chosen), encoding="utf-8")
