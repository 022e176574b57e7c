"""Names in a column at the right of a picture, each with a line to what it names."""

from __future__ import annotations

from collections.abc import Sequence

from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.dimensions import THIN, spread
from platewright.io.drawing.lettering import text_width

__all__ = ["Callout", "callout_width", "write_callouts"]

Callout = tuple[str, float, float]
_SIZE, _STEP, _LEADER = 2.6, 5.0, 12.0  # lettering, least distance of names, room for their lines [mm]


def callout_width(callouts: Sequence[Callout]) -> float:
    """Return the width that names and their lines need [mm]."""
    return max((text_width(c[0], _SIZE, bold=True) for c in callouts), default=-_LEADER) + _LEADER


def write_callouts(canvas: Canvas, callouts: Sequence[Callout], margin: float) -> None:
    """Write names at the right edge.

    Parameters
    ----------
    canvas : Canvas
        The picture.
    callouts : sequence of (str, float, float)
        Name, and the point of the page it belongs to [mm].
    margin : float
        White at the edges of the page [mm].
    """
    rows = sorted(callouts, key=lambda c: (round(c[2], 3), c[0]))
    x = canvas.width - margin - callout_width(callouts) + _LEADER
    places = spread([c[2] for c in rows], _STEP, margin + 2, canvas.height - margin - 2)
    for (text, px, py), y in zip(rows, places, strict=True):
        leader = [(px, py), (x - 5.0, y), (x - 1.0, y)]
        canvas.polyline(leader, stroke="#ffffff", stroke_width=0.5, stroke_opacity=0.7)
        canvas.polyline(leader, stroke_width=THIN)
        canvas.circle(px, py, 0.5, fill=INK, stroke="#ffffff", stroke_width=0.15)
        canvas.text(x, y + 0.9, text, _SIZE, bold=True)
