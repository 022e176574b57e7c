"""Holes added to a finished outline.

A hole wholly in material is only written down, which takes no boolean and keeps every other edge as it is. One that
meets an edge, an opening or another hole is cut with the exact boolean, and reported.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from platewright.foundation.errors import GeometryError
from platewright.geometry.crosscheck import check_outline
from platewright.geometry.crossings import JOIN, crossing_points
from platewright.geometry.curves import Bools, Curves, Ints, Spans, curves_of
from platewright.geometry.loops import Circle, Loop, Outline, boundary, circle_loop, reverse_loop
from platewright.geometry.regions import Region, combine, outlines_of

__all__ = ["pierce"]


def pierce(
    outline: Outline, circles: Sequence[Circle] = (), slots: Sequence[Loop] = ()
) -> tuple[Outline, tuple[int, ...]]:
    """Return the outline with holes added, and which of them touch something.

    Parameters
    ----------
    outline : Outline
        The plate.
    circles : sequence of Circle
        Round holes.
    slots : sequence of Loop
        Other openings.

    Returns
    -------
    Outline
        The pierced plate.
    tuple of int
        Numbers of the holes that meet an edge, an opening or one another (circles first, then slots), ascending.

    Raises
    ------
    GeometryError
        If the holes cut the plate into pieces or consume it.

    Examples
    --------
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> plate = Outline(rectangle_loop(0, 0, 20, 10))
    >>> pierced, touching = pierce(plate, [Circle(0, 0, 1.5), Circle(9, 0, 1.5)])
    >>> pierced.circles, touching
    ((Circle(x=0.0, y=0.0, radius=1.5),), (1,))
    """
    touching = _touching(outline, circles, slots)
    n = len(circles)
    free = Outline(
        outline.outer,
        outline.inner + tuple(loop for k, loop in enumerate(slots) if n + k not in touching),
        outline.circles + tuple(circle for k, circle in enumerate(circles) if k not in touching),
    )
    if not touching:
        return free, ()
    cutters = [circle_loop(circles[k]) if k < n else slots[k - n] for k in touching]
    return _cut(free, cutters), touching


def _touching(outline: Outline, circles: Sequence[Circle], slots: Sequence[Loop]) -> tuple[int, ...]:
    found = set(np.nonzero(_circles_touch(outline, circles))[0].tolist()) if circles else set()
    edges = boundary(outline)
    drawn = [curves_of([circle_loop(c).vertices]) for c in circles] if slots else []
    cutters = [*drawn, *(curves_of([loop.vertices]) for loop in slots)]
    boxes = [_box(cutter) for cutter in cutters]
    for k in range(len(circles), len(cutters)):
        if not _lies_free(cutters[k], edges):
            found.add(k)
        for j in range(k):
            if _boxes_meet(boxes[k], boxes[j]) and not _apart(cutters[k], cutters[j]):
                found |= {j, k}
    return tuple(sorted(found))


def _circles_touch(outline: Outline, circles: Sequence[Circle]) -> Bools:
    centre = np.array([complex(c.x, c.y) for c in circles])
    radius = np.array([c.radius for c in circles])
    loops = curves_of([loop.vertices for loop in (outline.outer, *outline.inner)])
    touch: Bools = loops.distance(centre).min(axis=1) <= radius + JOIN
    touch |= ~Spans(loops, _one_region(loops)).inside(centre)[:, 0]
    everyone = np.concatenate([centre, np.array([complex(c.x, c.y) for c in outline.circles], dtype=complex)])
    reach = np.concatenate([radius, np.array([c.radius for c in outline.circles])])
    near = np.abs(centre[:, None] - everyone) <= radius[:, None] + reach + JOIN
    near[np.arange(len(circles)), np.arange(len(circles))] = False
    touch |= near.any(axis=1)
    return touch


def _lies_free(cutter: Curves, edges: Curves) -> bool:
    """Return whether a cutter lies in material, meets no edge and holds no opening."""
    if len(crossing_points(cutter, edges)):
        return False
    in_material = Spans(edges, _one_region(edges)).inside(cutter.start[:1])[0, 0]
    return bool(in_material and not Spans(cutter, _one_region(cutter)).inside(edges.start).any())


def _box(curves: Curves) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = curves.boxes()
    return float(x0.min()), float(y0.min()), float(x1.max()), float(y1.max())


def _boxes_meet(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    return a[0] <= b[2] + JOIN and b[0] <= a[2] + JOIN and a[1] <= b[3] + JOIN and b[1] <= a[3] + JOIN


def _apart(a: Curves, b: Curves) -> bool:
    if len(crossing_points(a, b)):
        return False
    a_in_b = Spans(b, _one_region(b)).inside(a.start[:1]).any()
    return not (a_in_b or Spans(a, _one_region(a)).inside(b.start[:1]).any())


def _one_region(curves: Curves) -> Ints:
    return np.zeros(len(curves), dtype=np.intp)


def _cut(outline: Outline, cutters: Sequence[Loop]) -> Outline:
    openings = (*outline.inner, *(circle_loop(c) for c in outline.circles))
    plate: Region = (outline.outer, *(reverse_loop(loop) for loop in openings))
    result = combine([plate, *((loop,) for loop in cutters)], lambda inside: inside[:, 0] & ~inside[:, 1:].any(axis=1))
    pieces = outlines_of(result)
    if len(pieces) != 1:
        msg = f"the holes must leave one connected piece (got {len(pieces)}); move or drop the hole that cuts through."
        raise GeometryError(msg)
    check_outline(pieces[0], plate, cutters, ())
    return pieces[0]
