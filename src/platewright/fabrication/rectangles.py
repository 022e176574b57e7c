"""The largest rectangle of a rectangle in which others are taken, its sides along x and y. Lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["largest_rectangle"]

Box = tuple[float, float, float, float]


def largest_rectangle(frame: Box, taken: Sequence[Box]) -> Box:
    """Return the largest free rectangle: x0, y0, x1, y1 [mm].

    Parameters
    ----------
    frame : (x0, y0, x1, y1)
        Where it must lie [mm].
    taken : sequence of (x0, y0, x1, y1)
        What it must not meet [mm].

    Examples
    --------
    >>> largest_rectangle((0, 0, 100, 50), [(0, 20, 10, 30)])
    (10, 0, 100, 50)
    """
    left = sorted({frame[0], *(b[2] for b in taken if frame[0] < b[2] < frame[2])})
    right = sorted({frame[2], *(b[0] for b in taken if frame[0] < b[0] < frame[2])})
    low = sorted({frame[1], *(b[3] for b in taken if frame[1] < b[3] < frame[3])})
    high = sorted({frame[3], *(b[1] for b in taken if frame[1] < b[1] < frame[3])})
    best, largest = (frame[0], frame[1], frame[0], frame[1]), 0.0
    for x0 in left:
        for x1 in right:
            for y0 in low:
                for y1 in high:
                    area = max(x1 - x0, 0.0) * max(y1 - y0, 0.0)
                    if area > largest and not any(b[0] < x1 and b[2] > x0 and b[1] < y1 and b[3] > y0 for b in taken):
                        best, largest = (x0, y0, x1, y1), area
    return best
