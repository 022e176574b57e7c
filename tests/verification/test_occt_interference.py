"""Interference and distance of prisms against the CAD kernel.

Reference: Open CASCADE Technology, BRepAlgoAPI_Common and BRepExtrema_DistShapeShape, as shipped with build123d; the
kernel's solids carry true arcs and cylinders, built from the same outlines by `geometry.solid`.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from platewright.assembly.bodies import Box, Cylinder, Frame3, Hexagon, Plate, Shape, profile_of, upright
from platewright.fit.proximity import common, distance
from platewright.fit.solids import CHORD, prism_of
from platewright.geometry.kernel import kernel
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop, slot_loop
from platewright.geometry.solid import extrude

_ARM = Outline(slot_loop(-12, 0, 12, 0, 11), (slot_loop(-4, 0, 5, 0, 4),), (Circle(-11, 0, 1.6), Circle(11, 0, 1.6)))
_WINDOW = Outline(
    rectangle_loop(0, 0, 30, 22, corner=4), (rectangle_loop(2, 0, 12, 9, corner=1.5),), (Circle(-9, 5, 3),)
)
SHAPES: tuple[Shape, ...] = (
    Plate(_ARM, 4.0),
    Plate(_WINDOW, 2.0),
    Cylinder(2.5, 14.0),
    Cylinder(6.0, 5.0, 4.0),
    Hexagon(8.0, 6.0),
    Box(9.0, 7.0, 5.0),
)
# Both solids keep chords within CHORD of their arcs, so a distance may differ by twice that, and a little rounding.
BOUND = 2 * CHORD + 1e-6


def _frame(rng: np.random.Generator, kind: str) -> Frame3:
    x, y, z = rng.uniform(-13, 13, 3)
    turn = rng.uniform(-math.pi, math.pi)
    if kind == "parallel":
        return upright(x, y, z / 3, turn, down=bool(rng.integers(2)))
    if kind == "square":
        c, s = math.cos(turn), math.sin(turn)
        return Frame3((x, y, z), (c, s, 0.0), (0.0, 0.0, 1.0))
    q = np.linalg.qr(rng.normal(size=(3, 3)))[0]
    return Frame3((x, y, z), tuple(q[0].tolist()), tuple(q[1].tolist()))


def _kernel(shape: Shape, frame: Frame3) -> Any:
    place = kernel().Plane(origin=frame.origin, x_dir=frame.u, z_dir=frame.n).location
    return extrude(profile_of(shape), shape.height).moved(place)


def _cases(kind: str, count: int) -> list[tuple[Shape, Shape, Frame3]]:
    rng = np.random.default_rng({"parallel": 1, "square": 2, "any": 3}[kind])
    pairs = [(a, b) for n, a in enumerate(SHAPES) for b in SHAPES[n:]]
    return [(*pairs[k % len(pairs)], _frame(rng, kind)) for k in range(count)]


def _compare(kind: str, count: int) -> tuple[int, int]:
    still = Frame3((0.0, 0.0, 0.0))
    overlaps = apart = 0
    for shape, other, frame in _cases(kind, count):
        ours = prism_of(shape, still), prism_of(other, frame)
        theirs = _kernel(shape, still), _kernel(other, frame)
        shared = theirs[0].intersect(theirs[1])
        parts = [] if shared is None else list(shared) if isinstance(shared, list | tuple) else [shared]
        volume = sum(p.volume for p in parts)
        found = common(*ours)
        gap, known = distance(*ours), theirs[0].distance_to(theirs[1])
        where = (kind, shape, other, frame, volume, found, gap, known)
        if volume > 0.05:  # below this the overlap may be shallower than the chords
            overlaps += 1
            assert found is not None, where
            assert gap == 0, where
        elif known > BOUND:
            apart += 1
            assert found is None, where
            assert gap == pytest.approx(known, abs=1e-6 if kind == "parallel" else BOUND), where
    return overlaps, apart


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["parallel", "square", "any"])
def test_overlap_and_distance_at_random_placements(kind: str) -> None:
    overlaps, apart = _compare(kind, 210)
    assert overlaps > 40
    assert apart > 40


@pytest.mark.parametrize("kind", ["parallel", "square", "any"])
def test_overlap_and_distance_at_some_placements(kind: str) -> None:
    overlaps, apart = _compare(kind, 21)
    assert overlaps + apart > 15


def test_depth_is_how_far_the_kernel_must_move_them_apart() -> None:
    """A pin pressed sideways into a plate, along the normal of contact: moved back by the depth, they just touch."""
    still = Frame3((0.0, 0.0, 0.0))
    for push in (0.02, 0.1, 0.4):
        frame = upright(0.0, 5.5 + 2.5 - push, -3.0)
        found = common(prism_of(SHAPES[0], still), prism_of(SHAPES[2], frame))
        assert found is not None
        assert found.depth == pytest.approx(push, abs=1e-9)
        back = upright(0.0, 8.0 - push + found.depth + 0.001, -3.0)
        assert _kernel(SHAPES[0], still).distance_to(_kernel(SHAPES[2], back)) == pytest.approx(0.001, abs=1e-6)
