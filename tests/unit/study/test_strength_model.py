"""A frame's model: everything weighs in once, nothing is held, joints bound one another, mirrored places agree."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from frames import PARTS
from platewright.assembly.mass import mass_items, total_mass
from platewright.study.strength_joints import SOFT, STIFF, TYPICAL
from platewright.study.strength_model import FrameModel, frame_model
from platewright.study.strength_parts import PartCache
from strength_frames import box


@cache
def box_model() -> FrameModel:
    return frame_model(box(), TYPICAL, PARTS)


def test_mass_centre_and_inertia_are_those_of_the_mass_report() -> None:
    frame, total = box_model().frame, total_mass(mass_items(box()))
    modal = frame.rigid.T @ frame.mass @ frame.rigid
    assert modal[2, 2] == pytest.approx(total.mass, rel=1e-4)  # polygons of the mesh against exact holes
    centre = np.array([-modal[1, 5], modal[0, 5]]) / modal[0, 0]
    assert centre == pytest.approx(total.centre[:2], abs=1e-3)
    about = total.inertia[0, 0] + total.mass * (total.centre[1] ** 2 + total.centre[2] ** 2)
    assert modal[3, 3] == pytest.approx(about, rel=1e-3)


def test_identical_parts_are_reduced_once() -> None:
    kept: PartCache = {}
    first, second = (frame_model(box(), joints, kept) for joints in (TYPICAL, SOFT))
    assert len(kept) == 2
    assert first.parts["deck"] is second.parts["deck"]


def test_stiffer_joints_raise_frequencies() -> None:
    soft, typical, stiff = (frame_model(box(), j, PARTS).frame.modes(4).frequencies for j in (SOFT, TYPICAL, STIFF))
    assert (soft < typical).all()
    assert (typical < stiff).all()


def test_four_posts_share_an_even_load_evenly() -> None:
    model = box_model()
    frame = model.frame
    deck = frame.body(0)
    static = frame.solve(frame.load(deck, np.array([0, 0, -100.0, 0, 0, 0]))[None])
    posts = [s.force(static.freedoms)[0, 2] for s in frame.springs if s.name.startswith("post")]
    assert len(posts) == 4
    assert posts == pytest.approx([posts[0]] * 4, rel=0.01)  # the mesh is not symmetric
    # what hangs below the posts: all that lies nearer to the base's mid-plane than to the deck's
    base, top = (model.frame.plates[model.plates[n]].origin[2] for n in ("base", "deck"))
    below = sum(i.mass for i in mass_items(box()) if abs(i.centre[2] - base) < abs(i.centre[2] - top))
    assert abs(sum(posts)) == pytest.approx(100.0 * below / model.mass, rel=2e-3)


def test_a_finer_mesh_changes_frequencies_by_less_than_two_percent() -> None:
    coarse = box_model().frame.modes(3).frequencies
    fine = frame_model(box(), TYPICAL, {}, size_factor=0.6).frame.modes(3).frequencies
    assert coarse == pytest.approx(fine, rel=0.02)
