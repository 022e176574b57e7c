"""Straight lines of a drawing that lie on one another: joined where they meet, taken away where covered [mm]."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator

__all__ = ["joined", "uncovered"]

Point = tuple[float, float]
Segment = tuple[Point, Point]
Key = tuple[float, float]
Span = tuple[float, Point, float, Point]

_MEET = 1e-3  # ends nearer than this meet [mm]
_UPRIGHT = 1e-5  # a line that leans less than this runs upwards [-]


def joined(segments: Iterable[Segment]) -> list[Segment]:
    """Return the same lines with as few segments as there can be.

    Examples
    --------
    >>> joined([((0.0, 0.0), (2.0, 0.0)), ((5.0, 0.0), (1.0, 0.0)), ((0.0, 1.0), (1.0, 1.0))])
    [((0.0, 0.0), (5.0, 0.0)), ((0.0, 1.0), (1.0, 1.0))]
    """
    return [(p, q) for spans in _by_line(segments).values() for _, p, _, q in _united(spans)]


def uncovered(segments: Iterable[Segment], cover: Iterable[Segment]) -> list[Segment]:
    """Return what of the segments does not lie under the cover, joined.

    Examples
    --------
    >>> uncovered([((0.0, 0.0), (9.0, 0.0))], [((2.0, 0.0), (4.0, 0.0))])
    [((0.0, 0.0), (2.0, 0.0)), ((4.0, 0.0), (9.0, 0.0))]
    """
    covers = {key: list(_united(spans)) for key, spans in _by_line(cover).items()}
    left: list[Segment] = []
    for key, spans in _by_line(segments).items():
        for span in _united(spans):
            left += _less(span, covers.get(key, []))
    return left


def _by_line(segments: Iterable[Segment]) -> dict[Key, list[Span]]:
    """Return the segments by the endless line they lie on; each from its lower to its upper place along it."""
    lines: dict[Key, list[Span]] = defaultdict(list)
    for segment in segments:
        length = math.dist(*segment)
        x, y = ((b - a) / length for a, b in zip(*segment, strict=True))
        turned = (x, y) < (-_UPRIGHT, 0.0) or (abs(x) <= _UPRIGHT and y < 0)
        (p, q), x, y = (segment[::-1], -x, -y) if turned else (segment, x, y)
        angle = round(math.atan2(y, x) % math.pi, 4) % round(math.pi, 4)
        offset = round(x * p[1] - y * p[0], 3) + 0.0
        lines[angle, offset].append((x * p[0] + y * p[1], p, x * q[0] + y * q[1], q))
    return lines


def _united(spans: list[Span]) -> Iterator[Span]:
    ordered = sorted(spans)
    start, first, end, last = ordered[0]
    for low, p, high, q in ordered[1:]:
        if low > end + _MEET:
            yield start, first, end, last
            start, first, end, last = low, p, high, q
        elif high > end:
            end, last = high, q
    yield start, first, end, last


def _less(span: Span, cover: list[Span]) -> Iterator[Segment]:
    start, first, end, last = span
    for low, p, high, q in cover:
        if high <= start + _MEET or low >= end - _MEET:
            continue
        if low > start + _MEET:
            yield first, p
        start, first = high, q
    if end > start + _MEET:
        yield first, last
