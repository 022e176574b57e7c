"""Frames: closed forms of bodies and bars, mirrored frames, and what a rigid motion may not do."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platewright.foundation.errors import StructureError
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.structure.frame import Frame
from platewright.structure.links import Tube, beam_flexibility, series_stiffness
from platewright.structure.ply import isotropic_ply
from platewright.structure.points import Lump, PlacedPlate, Spring
from platewright.structure.reduce import ReducedPlate, Reductions
from platewright.structure.stacks import single_stack

KEPT = Reductions()
STEEL, DENSITY = 200_000.0, 7.85e-9
STIFF = np.diag([1e6, 1e6, 1e6, 1e8, 1e8, 1e8])


def strip(length: float, modes: int = 6, size: float = 6.0) -> ReducedPlate:
    ends = (Circle(-length / 2 + 5, 0, 1.0), Circle(length / 2 - 5, 0, 1.0))
    outline = Outline(rectangle_loop(0, 0, length, 10), (), ends)
    plate = single_stack(isotropic_ply(STEEL, 0.3), 2.0, DENSITY)
    return KEPT.get(outline, plate, 0.0, ((0,), (1,)), size, modes)


def lying(name: str, reduced: ReducedPlate, at: tuple[float, float, float], turn: float = 0.0) -> PlacedPlate:
    c, s = math.cos(turn), math.sin(turn)
    return PlacedPlate(name, reduced, np.array(at), np.array([[c, -s, 0], [s, c, 0], [0, 0, 1.0]]))


def test_free_strip_vibrates_as_a_free_beam() -> None:
    """beta L = 4.7300: f = 22.373 / (2 pi) sqrt(E I / (m L^4)); a beam ten times as long as wide, so 1 %."""
    frame = Frame([lying("strip", strip(200), (30.0, -20.0, 5.0), 0.4)])
    closed = 22.3733 / (2 * math.pi) * math.sqrt(STEEL * 2**2 / 12 / DENSITY / 200**4)
    assert frame.modes(1).frequencies[0] == pytest.approx(closed, rel=0.01)


def test_two_bodies_on_a_spring() -> None:
    frame = Frame([], [np.zeros(3), np.array([0.0, 0.0, 20.0])])
    for n, mass in enumerate((1e-4, 3e-4)):
        frame.carry(Lump(frame.body(n), mass, frame.bodies[n], np.eye(3) * 1.0))
    stiffness = np.diag([1e9, 1e9, 50.0, 1e9, 1e9, 1e9])
    frame.join(Spring("spring", frame.body(0), frame.body(1), np.array([0.0, 0.0, 10.0]), stiffness))
    frame.check()
    assert frame.modes(1).frequencies[0] == pytest.approx(math.sqrt(50 * (1 / 1e-4 + 1 / 3e-4)) / (2 * math.pi))


def test_a_force_on_a_free_body_accelerates_it_and_loads_the_spring_by_the_other_body() -> None:
    frame = Frame([], [np.zeros(3), np.array([0.0, 0.0, 20.0])])
    for n, mass in enumerate((1e-4, 3e-4)):
        frame.carry(Lump(frame.body(n), mass, frame.bodies[n], np.eye(3)))
    frame.join(Spring("spring", frame.body(0), frame.body(1), np.array([0.0, 0.0, 10.0]), STIFF))
    static = frame.solve(frame.load(frame.body(0), np.array([0, 0, 8.0, 0, 0, 0]))[None])
    assert static.acceleration[0, 2] == pytest.approx(8 / 4e-4)
    assert frame.springs[0].force(static.freedoms)[0, 2] == pytest.approx(-8 * 3 / 4)
    assert static.energy[0] == pytest.approx(0.5 * 6**2 / 1e6)


def test_portal_sways_like_two_built_in_posts() -> None:
    """Two heavy bodies on two posts 80 mm apart: each post is 12 E I / L^3 against sway, when ends cannot turn."""
    post = Tube(3.0, 0.0, STEEL)
    base, top = np.zeros(3), np.array([0.0, 0.0, 40.0])
    frame = Frame([], [base, top])
    for n in (0, 1):
        frame.carry(Lump(frame.body(n), 1.0, frame.bodies[n], np.eye(3) * 1e9))
    for x in (-40.0, 40.0):
        k = series_stiffness([beam_flexibility(40.0, [post])])
        frame.join(Spring("post", frame.body(0), frame.body(1), np.array([x, 0.0, 40.0]), k))
    lateral = frame.stiffness[6, 6]
    ei = STEEL * post.second_moment_of_area
    # shear of the posts takes 0.6 % off
    assert lateral == pytest.approx(2 * 12 * ei / 40**3, rel=0.02)
    assert lateral < 2 * 12 * ei / 40**3


def test_two_strips_bolted_end_to_end_with_stiff_links_are_nearly_one() -> None:
    pair = Frame([lying("a", strip(105), (-47.5, 0, 0)), lying("b", strip(105), (47.5, 0, 0))])
    pair.join(Spring("joint", pair.point(0, 1), pair.point(1, 0), np.zeros(3), STIFF))
    one = Frame([lying("one", strip(200), (0, 0, 0))])
    # the ends overlap by ten millimetres, which weighs at the middle and stiffens it
    assert pair.modes(1).frequencies[0] == pytest.approx(one.modes(1).frequencies[0], rel=0.06)


def test_a_mirrored_frame_gives_mirrored_answers() -> None:
    answers = []
    for sign in (1, -1):
        frame = Frame([lying("a", strip(100), (0, 0, 0), 0.3 * sign)], [np.array([0.0, sign * 30.0, 15.0])])
        frame.carry(Lump(frame.body(0), 2e-5, np.array([3.0, sign * 31.0, 16.0]), np.eye(3) * 0.01))
        frame.join(Spring("s", frame.point(0, 1), frame.body(0), np.array([0.0, sign * 20.0, 5.0]), STIFF * 1e-3))
        static = frame.solve(frame.load(frame.point(0, 0), np.array([1.0, sign * 2.0, 5.0, 0, 0, 0]))[None])
        answers.append((frame.modes(5).frequencies, static.energy, frame.body(0).motion(static.freedoms)[0]))
    assert answers[0][0] == pytest.approx(answers[1][0], rel=1e-3)  # the two meshes are not mirror images
    assert answers[0][1] == pytest.approx(answers[1][1], rel=1e-3)
    assert answers[0][2] == pytest.approx(answers[1][2] * [1, -1, 1, -1, 1, -1], rel=5e-3, abs=1e-9)


def test_a_patch_follows_rigid_motions() -> None:
    frame = Frame([lying("a", strip(100), (10.0, 5.0, 2.0), 0.5)])
    nodes = frame.plates[0].reduced.mesh.nodes
    patch = frame.patch(0, np.flatnonzero(np.hypot(nodes[:, 0] - 12, nodes[:, 1]) < 6))
    moved = patch.motion(frame.rigid.T)
    away = patch.position
    assert moved[5, :3] == pytest.approx([-away[1], away[0], 0], abs=1e-6)
    assert moved[:3, :3] == pytest.approx(np.eye(3), abs=1e-9)


def test_effective_mass_of_a_struck_rod() -> None:
    """A rod struck across its end, 95 mm from its middle: 1 / (1/m + d^2/I)."""
    frame = Frame([lying("a", strip(200), (0, 0, 0))])
    m = float(frame.rigid[:, 2] @ frame.mass @ frame.rigid[:, 2])
    inertia = float(frame.rigid[:, 4] @ frame.mass @ frame.rigid[:, 4])
    holes = 2 * math.pi * 2 * DENSITY * 95**2  # what the two holes take away
    whole = 200 * 10 * 2 * DENSITY * 200**2 / 12
    assert inertia == pytest.approx(whole - holes, rel=1e-3)
    found = frame.effective_mass(frame.load(frame.point(0, 1), np.array([0.0, 0, 1, 0, 0, 0])))
    assert found == pytest.approx(1 / (1 / m + 95**2 / inertia), rel=1e-6)


def test_more_modes_of_a_part_change_little() -> None:
    """Six modes of each kind keep the first three frequencies within 0.2 %."""
    few, many = (Frame([lying("a", strip(200, n), (0, 0, 0))]).modes(3).frequencies for n in (6, 14))
    assert few == pytest.approx(many, rel=2e-3)


def test_a_finer_mesh_changes_the_first_frequency_little() -> None:
    coarse, fine = (Frame([lying("a", strip(200, 6, s), (0, 0, 0))]).modes(1).frequencies for s in (6.0, 2.5))
    assert coarse == pytest.approx(fine, rel=2e-3)


def test_loose_plates_are_refused() -> None:
    frame = Frame([lying("a", strip(100), (0, 0, 0)), lying("b", strip(100), (0, 0, 10))])
    with pytest.raises(StructureError, match="hangs together by nothing"):
        frame.check()
