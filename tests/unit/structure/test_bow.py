"""Plates that do not fit: a strip bowed over three supports against the beam, balance, and what a rigid misfit does."""

from __future__ import annotations

import numpy as np
import pytest
from tests.unit.structure.test_frame import lying

from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.structure.bow import Misfit, drawn_together, force_of
from platewright.structure.frame import Frame
from platewright.structure.links import transfer
from platewright.structure.ply import isotropic_ply
from platewright.structure.points import Lump, Spring
from platewright.structure.reduce import Reductions
from platewright.structure.stacks import single_stack

KEPT = Reductions()
MODULUS, THICKNESS, WIDTH, HALF = 60_000.0, 2.0, 10.0, 90.0
SUPPORTS = (-HALF, 0.0, HALF)
# stiff up and down, hardly otherwise: simple supports
SIMPLE = np.diag([1e-2, 1e-2, 1e6, 1e-2, 1e-2, 1e-2])


def bowed(rises: tuple[float, ...], size: float = 4.0) -> tuple[Frame, list[Misfit], np.ndarray]:
    """Return a strip on a heavy block, its supports raised, drawn together."""
    holes = tuple(Circle(x, 0, 1.0) for x in SUPPORTS)
    outline = Outline(rectangle_loop(0, 0, 2 * HALF + 10, WIDTH), (), holes)
    plate = single_stack(isotropic_ply(MODULUS, 0.3), THICKNESS, 1.6e-9)
    frame = Frame(
        [lying("strip", KEPT.get(outline, plate, 0.0, ((0,), (1,), (2,)), size, 6), (0, 0, 0))], [np.zeros(3)]
    )
    frame.carry(Lump(frame.body(0), 1.0, np.zeros(3), np.eye(3) * 1e4))
    misfits = []
    for n, (x, rise) in enumerate(zip(SUPPORTS, rises, strict=True)):
        spring = Spring(f"post {n}", frame.body(0), frame.point(0, n), np.array([x, 0.0, 0.0]), SIMPLE)
        frame.join(spring)
        misfits.append(Misfit(spring, np.array([0.0, 0.0, rise])))
    return frame, misfits, drawn_together(frame, misfits)


def test_a_strip_over_a_raised_middle_is_a_beam() -> None:
    """F = 48 E I h / L^3, simply supported; 5 % for rigid rims, and a plate's width."""
    _, misfits, freedoms = bowed((0.0, 1.5, 0.0))
    closed = 48 * MODULUS * WIDTH * THICKNESS**3 / 12 * 1.5 / (2 * HALF) ** 3
    forces = [force_of(m.spring, freedoms, misfits)[2] for m in misfits]
    assert forces[1] == pytest.approx(-closed, rel=0.05)  # the strip presses the raised block down
    assert forces[0] == pytest.approx(closed / 2, rel=0.05)
    assert sum(forces) == pytest.approx(0, abs=1e-6 * closed)


def test_the_raised_place_ends_up_as_high_as_it_was_raised() -> None:
    frame, _, freedoms = bowed((0.0, 1.5, 0.0))
    up = [float(frame.point(0, n).motion(freedoms)[2]) for n in range(3)]
    assert up[1] - (up[0] + up[2]) / 2 == pytest.approx(1.5, rel=1e-3)


def test_a_misfit_that_is_rigid_bends_nothing() -> None:
    frame, misfits, freedoms = bowed((1.0, 1.5, 2.0))
    forces = [abs(force_of(m.spring, freedoms, misfits)[2]) for m in misfits]
    assert max(forces) < 0.05  # the springs against turning are not quite nothing
    block = frame.body(0).motion(freedoms)
    assert (transfer(np.array([HALF, 0.0, 0.0])) @ block)[2] < 0


def test_a_finer_mesh_changes_the_force_little() -> None:
    coarse, fine = (
        force_of(misfits[1].spring, freedoms, misfits)[2]
        for _, misfits, freedoms in (bowed((0.0, 1.5, 0.0), size) for size in (4.0, 2.0))
    )
    assert coarse == pytest.approx(fine, rel=5e-3)


def test_a_support_that_slides_holds_nothing() -> None:
    """With the middle sliding up and down only its ends hold the strip, and nothing bends it."""
    frame, misfits, _ = bowed((0.0, 1.5, 0.0))
    ends = [misfits[0], misfits[2]]
    raised = [Misfit(m.spring, np.array([0.0, 0.0, 1.5])) for m in ends]
    free, stuck = (drawn_together(frame, raised, s) for s in ([(misfits[1].spring, np.array([0.0, 0.0, 1.0]))], []))
    assert abs(force_of(ends[0].spring, free, raised)[2]) < 0.02
    assert abs(force_of(ends[0].spring, stuck, raised)[2]) > 1.0
