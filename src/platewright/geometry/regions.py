"""Exact union, difference and offset of plane regions bounded by lines and arcs.

A region is a tuple of closed loops; a point is inside when a ray from it crosses them an odd number of times. Results
run with material on their left: outer loops counter-clockwise, openings clockwise.

Every candidate edge is cut where it meets another; a piece bounds the result when exactly one side of it is inside. An
offset's candidates are the shifted edges and arcs about the corners. What is left is joined into loops. No tessellation
takes part.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from platewright.foundation.errors import GeometryError
from platewright.geometry.crossings import divide
from platewright.geometry.curves import Bools, Curves, Floats, Points, Spans, curves_of
from platewright.geometry.loops import Circle, Loop, Outline, contains, loop_area, reverse_loop
from platewright.geometry.shapes import circle_of
from platewright.geometry.tracing import trace

__all__ = ["Region", "combine", "offset", "outlines_of", "union"]

Region = tuple[Loop, ...]

SMALLEST_RADIUS = 1e-7  # arcs that shrink below it vanish [mm]
TURN = 1e-9  # tangents that differ by less run on smoothly [rad]


def combine(regions: Sequence[Region], rule: Callable[[Bools], Bools]) -> Region:
    """Return the region where `rule` holds.

    Parameters
    ----------
    regions : sequence of Region
        Operands.
    rule : callable
        From (n_points, n_regions) bool, inside which operand, to (n_points,) bool, inside the result.
    """
    groups = [curves_of([loop.vertices for loop in region]) for region in regions]
    owner = np.repeat(np.arange(len(groups)), [len(g) for g in groups])
    curves = Curves.joined(groups)
    spans = Spans(curves, owner)
    return trace(divide(curves), lambda points: rule(spans.inside(points)))


def union(regions: Sequence[Region]) -> Region:
    """Return what lies in any of the regions."""
    return combine(regions, lambda inside: np.any(inside, axis=1))


def offset(region: Region, distance: float) -> Region:
    """Return the region grown (positive) or shrunk (negative) by a distance [mm], with arcs round its corners.

    The loops must run with material on their left, as `combine` leaves them.
    """
    curves = curves_of([loop.vertices for loop in region])
    if not len(curves):
        return ()
    ends = np.cumsum([len(curves_of([loop.vertices])) for loop in region])
    following = np.arange(len(curves)) + 1
    following[ends - 1] = np.concatenate([[0], ends[:-1]])
    candidates = Curves.joined([_parallel(curves, distance), _corner_arcs(curves, curves.take(following), distance)])
    spans = Spans(curves, np.zeros(len(curves), dtype=np.intp))

    def inside(points: Points) -> Bools:
        within = spans.inside(points)[:, 0]
        clear = curves.distance(points).min(axis=1) >= abs(distance)
        result: Bools = within | ~clear if distance > 0 else within & clear
        return result

    return trace(divide(candidates), inside)


def outlines_of(region: Region) -> tuple[Outline, ...]:
    """Return the connected pieces of a region whose loops run with material on their left."""
    outers = sorted((loop for loop in region if loop_area(loop) > 0), key=loop_area)
    holes: list[list[Loop]] = [[] for _ in outers]
    rounds: list[list[Circle]] = [[] for _ in outers]
    for loop in region:
        if loop_area(loop) > 0:
            continue
        x, y = _just_outside(loop)
        for k, outer in enumerate(outers):
            if contains(Outline(outer), x, y):
                circle = circle_of(loop)
                if circle is None:
                    holes[k].append(reverse_loop(loop))
                else:
                    rounds[k].append(circle)
                break
        else:
            msg = f"the opening at ({x:.3f}, {y:.3f}) mm just touches another or the edge; part or overlap them."
            raise GeometryError(msg)
    return tuple(
        Outline(outer, tuple(holes[k]), tuple(sorted(rounds[k], key=lambda c: (c.x, c.y, c.radius))))
        for k, outer in enumerate(outers)
    )


def _parallel(curves: Curves, distance: float) -> Curves:
    """Return each edge shifted to its right; arcs that shrink to nothing are left out."""
    radius = np.where(curves.is_arc, curves.radius + distance * np.sign(curves.sweep), 0.0)
    shift_start, shift_end = -1j * curves.tangent(0.0) * distance, -1j * curves.tangent(1.0) * distance
    moved = Curves(
        curves.start + shift_start, curves.end + shift_end, curves.centre, radius, curves.angle, curves.sweep
    )
    return moved.take(~curves.is_arc | (radius > SMALLEST_RADIUS))


def _corner_arcs(before: Curves, after: Curves, distance: float) -> Curves:
    """Return the arcs about the corners that the shifted edges leave open."""
    t_in, t_out = before.tangent(1.0), after.tangent(0.0)
    turn: Floats = np.angle(t_out * t_in.conj())
    # A cusp may be read as a turn to either side: offer both.
    cusp = np.abs(turn) > np.pi - 1e-6
    turn = np.where(cusp, np.sign(distance) * np.abs(turn), turn)
    opened = turn * distance > TURN * abs(distance)
    centre: Points = before.end[opened]
    start = -1j * t_in[opened] * distance
    sweep = turn[opened]
    end = start * np.exp(1j * sweep)
    return Curves(centre + start, centre + end, centre, np.full(len(centre), abs(distance)), np.angle(start), sweep)


def _just_outside(loop: Loop) -> tuple[float, float]:
    """Return a point in material beside a clockwise opening."""
    (x0, y0, bulge), (x1, y1, _) = loop.vertices[:2]
    p, q = complex(x0, y0), complex(x1, y1)
    middle = (p + q) / 2 - 1j * (q - p) * bulge / 2
    aside = middle + 1j * (q - p) / abs(q - p) * 1e-5
    return aside.real, aside.imag
