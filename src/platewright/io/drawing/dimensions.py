"""Dimension lines, scale bars and labels that keep their distance."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platewright.io.drawing.canvas import INK, Canvas, number
from platewright.io.drawing.lettering import text_width

__all__ = ["THIN", "dimension", "millimetres", "scale_bar", "spread"]

THIN = 0.13  # width of thin lines [mm]
_ARROW = 2.0


def millimetres(value: float, decimals: int = 2) -> str:
    """Write a length for a drawing: up to two decimals, no trailing zeros."""
    return number(value, decimals)


def dimension(
    canvas: Canvas,
    start: tuple[float, float],
    end: tuple[float, float],
    offset: float,
    text: str,
    size: float = 2.5,
) -> None:
    """Draw a dimension between two points of the page.

    Parameters
    ----------
    canvas : Canvas
        Where.
    start, end : (float, float)
        Measured points, on the page [mm].
    offset : float
        Distance of the dimension line, to the right of the way from start to end as the page is seen [mm].
    text : str
        The figure.
    size : float
        Height of the lettering [mm].
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    ux, uy = dx / length, dy / length
    nx, ny = -uy * math.copysign(1.0, offset), ux * math.copysign(1.0, offset)
    away = abs(offset)
    a, b = ((p[0] + nx * away, p[1] + ny * away) for p in (start, end))
    for point in (start, end):
        x, y = point
        canvas.line(
            x + nx * 0.8, y + ny * 0.8, x + nx * (away + 1.2), y + ny * (away + 1.2), stroke_width=THIN, stroke=INK
        )
    angle = math.atan2(uy, ux)
    inside = length > 3 * _ARROW
    if inside:
        canvas.line(*a, *b, stroke_width=THIN)
    else:
        canvas.line(a[0] - ux * 5, a[1] - uy * 5, b[0] + ux * 5, b[1] + uy * 5, stroke_width=THIN)
    canvas.arrow(*a, angle + (math.pi if inside else 0.0), _ARROW)
    canvas.arrow(*b, angle + (0.0 if inside else math.pi), _ARROW)
    turn = math.degrees(angle)
    turn = turn - 180 if turn > 90 else turn + 180 if turn <= -90 else turn
    if abs(turn - 90) < 1e-6:
        turn = -90.0
    lift = math.radians(turn)
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    if not inside or text_width(text, size) > length - 1:
        beyond = 6.0 + text_width(text, size) / 2 + length / 2
        middle = (middle[0] + ux * beyond, middle[1] + uy * beyond)
    canvas.text(
        middle[0] + math.sin(lift) * 0.9, middle[1] - math.cos(lift) * 0.9, text, size, "middle", turn=turn, halo=True
    )


def scale_bar(canvas: Canvas, x: float, y: float, scale: float, room: float) -> None:
    """Draw a bar of a round length [mm of the thing] that fits in `room` [mm of the page], from its left end."""
    lengths = [v for v in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000) if v * scale <= room]
    length = lengths[-1] if lengths else 1
    parts = 5 if str(length)[0] == "5" else 4 if str(length)[0] == "2" else 5
    step = length * scale / parts
    for n in range(parts):
        canvas.rectangle(
            x + n * step, y, step, 1.4, fill=INK if n % 2 == 0 else "#ffffff", stroke=INK, stroke_width=THIN
        )
    canvas.text(x, y + 4.2, "0", 2.3, "middle")
    canvas.text(x + length * scale, y + 4.2, f"{length} mm", 2.3, "middle")


def spread(wanted: Sequence[float], distance: float, low: float, high: float) -> list[float]:
    """Move label positions apart as little as a few sweeps can, keeping their order.

    Parameters
    ----------
    wanted : sequence of float
        Positions in rising order [mm].
    distance : float
        Least distance between neighbours [mm].
    low, high : float
        Bounds of the positions [mm].

    Examples
    --------
    >>> spread([1.0, 1.0, 9.0], 2.0, 0.0, 10.0)
    [0.0, 2.0, 9.0]
    """
    groups: list[tuple[float, int]] = []  # centre of a run of labels, and how many it holds
    for value in wanted:
        groups.append((value, 1))
        while True:
            centre, count = groups[-1]
            half = (count - 1) * distance / 2
            groups[-1] = (max(low + half, min(high - half, centre)), count)
            if len(groups) < 2:
                break
            (c1, n1), (c2, n2) = groups[-2:]
            if c2 - (n2 - 1) * distance / 2 - (c1 + (n1 - 1) * distance / 2) >= distance - 1e-9:
                break
            groups[-2:] = [((c1 * n1 + c2 * n2) / (n1 + n2), n1 + n2)]
    return [centre + (k - (count - 1) / 2) * distance for centre, count in groups for k in range(count)]
