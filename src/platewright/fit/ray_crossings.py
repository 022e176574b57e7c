"""Where rays run between two planes, in a disc, and over the edges of a section, each in the axes of one prism."""

from __future__ import annotations

import numpy as np

from platewright.fit.solids import Section
from platewright.geometry.curves import Floats, Points

__all__ = ["between", "first_crossing", "in_disc"]


def between(start: Floats, step: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return from where to where rays lie between two planes; from inf to -inf for those that never do."""
    level = np.abs(step) < 1e-12
    safe = np.where(level, 1.0, step)
    one, other = (low - start) / safe, (high - start) / safe
    within = (low < start) & (start < high)
    enter: Floats = np.where(level, np.where(within, -np.inf, np.inf), np.minimum(one, other))
    leave: Floats = np.where(level, np.where(within, np.inf, -np.inf), np.maximum(one, other))
    return enter, leave


def in_disc(radius: Floats, start: Points, step: Points) -> tuple[Floats, Floats]:
    """Return from where to where rays, seen along the axis, lie in a disc; from inf to -inf for those that never do."""
    a = np.abs(step) ** 2
    b, c = (start.conj() * step).real, np.abs(start) ** 2 - radius**2
    upright = a < 1e-18
    root = b**2 - a * c
    safe = np.where(upright, 1.0, a)
    span = np.sqrt(np.maximum(root, 0.0))
    met = np.where(upright, c < 0, root > 0)
    first: Floats = np.where(met, np.where(upright, -np.inf, (-b - span) / safe), np.inf)
    last: Floats = np.where(met, np.where(upright, np.inf, (-b + span) / safe), -np.inf)
    return first, last


def first_crossing(section: Section, start: Points, step: Points, enter: Floats, leave: Floats) -> Floats:
    """Return where rays first cross an edge of a section between two places along them; infinite where they do not."""
    edges, best = section.curves, np.full(len(start), np.inf)
    lines, arcs = edges.lines, edges.arcs
    x, y, dx, dy, low, high = (v[:, None] for v in (start.real, start.imag, step.real, step.imag, enter, leave))
    if len(lines):
        chord = lines.end - lines.start
        cx, cy, ax, ay = chord.real, chord.imag, lines.start.real - x, lines.start.imag - y
        det = dx * cy - dy * cx
        safe = np.where(det == 0, 1.0, det)
        t, s = (ax * cy - ay * cx) / safe, (ax * dy - ay * dx) / safe
        best = np.where((det != 0) & (s >= 0) & (s <= 1) & (t >= low) & (t <= high), t, np.inf).min(axis=1)
    if len(arcs):
        ax, ay = x - arcs.centre.real, y - arcs.centre.imag
        a, b = dx * dx + dy * dy, ax * dx + ay * dy
        root = b * b - a * (ax * ax + ay * ay - arcs.radius**2)
        row, arc = np.nonzero(root > 0)
        root, a, b = np.sqrt(root[row, arc]), np.maximum(a, 1e-300)[row, 0], b[row, arc]
        for t in ((-b - root) / a, (-b + root) / a):
            met = (t >= enter[row]) & (t <= leave[row])
            ray, at = row[met], t[met]
            share = arcs.take(arc[met]).fraction_of(start[ray] + at * step[ray])
            np.minimum.at(best, ray, np.where((share >= 0) & (share <= 1), at, np.inf))
    return best
