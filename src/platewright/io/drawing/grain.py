"""The double arrow along direction 1 of a part's fabric, at its true angle."""

from __future__ import annotations

import math

from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.dimensions import millimetres

__all__ = ["grain_arrow"]

_HALF = 4.0  # of the arrow [mm]
_HEAD = 2.0  # [mm]
_SPREAD = 0.25  # half the angle of a head [rad]
_TEXT = 2.4  # [mm]


def grain_arrow(canvas: Canvas, grain_deg: float, x: float, y: float, words: str) -> None:
    """Draw the arrow and words right of it.

    Parameters
    ----------
    canvas : Canvas
        The drawing, x right and y down [mm].
    grain_deg : float
        From the part's +x, counter-clockwise [deg].
    x, y : float
        Left end of arrow and base line of the words [mm].
    words : str
        What stands before the angle.
    """
    slope = -math.radians(grain_deg)
    cx, cy = x + _HALF, y - 0.9
    dx, dy = _HALF * math.cos(slope), _HALF * math.sin(slope)
    canvas.line(cx - dx, cy - dy, cx + dx, cy + dy, stroke_width=0.28)
    canvas.arrow(cx + dx, cy + dy, slope, _HEAD, INK, _SPREAD)
    canvas.arrow(cx - dx, cy - dy, slope + math.pi, _HEAD, INK, _SPREAD)
    canvas.text(x + 2 * _HALF + 2.0, y, f"{words} {millimetres(grain_deg)}° from x", _TEXT)
