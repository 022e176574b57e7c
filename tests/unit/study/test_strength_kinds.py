"""Margins by kind of failure: every kind is there, the least is the first failure, holes and heads by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frames import PARTS, assembled, column, plate
from platewright.assembly.assemble import Assembly
from platewright.study.part_bolts import first_ply_stress, interlaminar_strength
from platewright.study.strength_holes import hole_uses, pull_through_uses
from platewright.study.strength_joints import TYPICAL
from platewright.study.strength_laminates import ply_strengths
from platewright.study.strength_model import FrameModel, frame_model
from strength_frames import solved

KINDS = {
    "ply, max strain",
    "ply, Tsai-Wu",
    "screw, tension and shear",
    "thread, stripping",
    "bearing",
    "shear-out",
    "net tension",
    "pull-through",
}


def test_a_hit_on_a_tip_loads_every_kind() -> None:
    rows = [row for row in solved().strength.kinds if row.case == "tip from above 1"]
    assert {row.kind for row in rows} >= KINDS
    assert len({row.kind for row in rows}) == len(rows)


def test_the_least_margin_of_any_kind_is_that_of_the_first_failure() -> None:
    strength = solved().strength
    for case in strength.cases:
        first = min((row for row in strength.kinds if row.case == case.case), key=lambda row: row.times)
        assert first.what == case.first_failure
        assert first.kind.endswith(case.how)
        assert first.by_first == pytest.approx(1)
        if case.margin is not None:
            assert first.times == pytest.approx(case.margin)
    for row in strength.kinds:
        assert row.band[0] <= row.times <= row.band[1]


def _pinned() -> tuple[Assembly, FrameModel]:
    assembly = assembled(
        plate("base", 2, (30, 30)),
        plate("top", 3, (30, 30)),
        column("pin", "screw M3 socket 12.9", "base", "top", "nut M3 hex", at=[[9, 0], [-9, 0]], mirror=""),
    )
    return assembly, frame_model(assembly, TYPICAL, PARTS)


def test_net_tension_is_the_mean_over_what_is_left_beside_the_hole() -> None:
    """A strip of 30 mm less a hole of 3.2 mm, pulled along the sheet, against its first ply times the hole's notch."""
    assembly, model = _pinned()
    joint = next(j for j in model.bolted if j.line.name == "pin.1")
    six = np.array([[300.0, 0, 0, 0, 0, 0]])
    used = {what: float(share[0]) for what, _, share in hole_uses(assembly, model, [(joint, six)], "typical")}
    laminate = model.parts["base"].laminate
    strengths = tuple(ply_strengths(assembly.catalogue, "plate_woven_qi", len(laminate.plies), "typical"))
    x = 1.6 / (1.6 + 1.016)
    strength = 2 / (2 + x**2 + 3 * x**4) * first_ply_stress(laminate, strengths, 0.0, (1, 0, 0))
    by_hand = 300 / ((30 - 3.2) * 2) / strength
    assert used["net tension of pin.1 in base"] == pytest.approx(by_hand, rel=1e-6)


def test_a_head_and_a_nut_are_pulled_through_by_what_opens_the_joint() -> None:
    """F / (pi d t) by the shear strength between plies; a moment pulls by the radius it opens about."""
    assembly, model = _pinned()
    joint = next(j for j in model.bolted if j.line.name == "pin.1")
    fit = next(s for s in assembly.screws if s.line.name == "pin.1")
    head = fit.screw.bearing_d_min_mm or fit.screw.head_d_min_mm or fit.screw.head_d_max_mm
    strength = interlaminar_strength(assembly.catalogue, "plate_woven_qi")[0]
    pull, press = 400.0 * joint.axis, -400.0 * joint.axis
    six = np.zeros((2, 6))
    six[0, :3], six[1, :3] = pull, press
    used = {what: share for what, _, share in pull_through_uses(assembly, [(joint, six)], "typical")}
    assert set(used) == {"pull-through of pin.1 in base", "pull-through of pin.1 in top"}
    assert used["pull-through of pin.1 in base"][0] == pytest.approx(400 / (math.pi * head * 2) / strength)
    assert used["pull-through of pin.1 in base"][1] == 0
    across = np.zeros((1, 6))
    across[0, 3] = 500.0
    turned = {what: share for what, _, share in pull_through_uses(assembly, [(joint, across)], "typical")}
    by_hand = 500 / joint.radius / (math.pi * head * 2) / strength
    assert turned["pull-through of pin.1 in base"][0] == pytest.approx(by_hand)
