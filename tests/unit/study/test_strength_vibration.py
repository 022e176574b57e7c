"""Vibration of a frame: names of its shapes, arms alone, rates, what reaches boards, findings, the diagram."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from frames import LIMB, assembled, column, equipment, part, place
from frames import PARTS as KEPT
from platewright.app.load import load
from platewright.assembly.assemble import Assembly
from platewright.assembly.mass import mass_items
from platewright.io.drawing.speeds import speeds_svg
from platewright.study.strength import frame_strength
from platewright.study.strength_joints import TYPICAL
from platewright.study.strength_model import frame_model
from platewright.study.strength_modes import arm_rows
from platewright.study.strength_results import FrameMode, StrengthStudy
from platewright.study.strength_shapes import limb_axes, limb_place, rotor_place
from platewright.study.vibration_findings import vibration_findings

DESIGNS = Path(__file__).parents[2] / "designs"
SCREW = "screw M3 socket 12.9"


def quad() -> Assembly:
    return assembled(
        part("base", 2, (80, 80)),
        place("base", "base"),
        part("arm", 5, polygons=None, kind="arm", **LIMB, links=[{"start": "a", "end": "b", "width_mm": 12}]),
        place("arm", "arm", to="rotors", root_mm=[20, 20], bearing_deg=45, reach_mm=80),
        column("bolt", SCREW, "base", "arm", "nut M3 insert", at=[[5, 0], [17, 0]], of="arm", mirror=""),
        equipment("motor", {"motor": "motor_2207"}, at="rotors", turn_deg=45, stack=[SCREW, "arm", "motor.motor"]),
        equipment("propeller", {"propeller": "prop_5in", "nut": "prop_nut_m5_right_low"}, at="rotors", on="motor"),
        equipment("battery", {"battery": "lipo_6s_1100"}, on="base", at_mm=[6, 4, 8]),
        equipment(
            "boards", {"fc": "fc_20"}, stack=["screw M2 socket 12.9", "base", "boards.fc in grommet", "nut M2 insert"]
        ),
        rotors='follow = "arm"',
    )


@cache
def solved() -> StrengthStudy:
    return frame_strength(quad(), 8.0, KEPT)


def test_arms_alone_are_given_once_for_like_arms_lowest_first() -> None:
    rows = solved().strength.arm_modes
    assert {r.place for r in rows} == {"arm.1"}
    assert [r.frequency_hz for r in rows] == sorted(r.frequency_hz for r in rows)
    assert rows[0].shape == "first arm bending"
    assert {"first arm twist", "first arm edgewise bending"} <= {r.shape for r in rows}


def test_an_arm_alone_is_stiffer_than_on_its_frame() -> None:
    """Its bolts held still: more is held than in the frame, so its first bending is above the frame's lowest."""
    first = next(m for m in solved().strength.modes if "arm bending" in m.shape)
    assert solved().strength.arm_modes[0].frequency_hz > first.frequency_hz


def test_an_arm_with_its_rotors_on_pads_has_rows_of_its_own() -> None:
    """Pads above and below hang on the arm alone: they ride on it, and its bolts to the bases hold it."""
    assembly = load(DESIGNS / "coaxial.toml").assembly
    model = frame_model(assembly, TYPICAL, KEPT)
    assert {limb_place(model, r) for r in model.rotor_points} == {f"arm.{n}" for n in (1, 2, 3, 4)}
    assert {rotor_place(model, r).partition(".")[0] for r in model.rotor_points} == {"pad_upper", "pad_lower"}
    rows = arm_rows(assembly, model)
    assert [r.place for r in rows] == ["arm.1"] * 4
    assert {"first arm bending", "first arm twist"} <= {r.shape for r in rows}
    seats = [model.rotor_points[r] for r in (1, 5)]
    upper, lower = (model.frame.mass[np.ix_(p.columns[:3], p.columns[:3])].diagonal() for p in seats)
    assert upper == pytest.approx(lower)  # each pad carries its own motor and propeller, and not its fellow's
    # A bar 13.5 mm wide from the outer bolt to the axis: all tip masses turn with its end, which tilts 1.5 w / L. The
    # arm tapers from 15 to 13 mm, has a hole of 7 mm at its end and pads on it: within a tenth.
    root, axis = model.line_points["arm_outer.1", "arm.1"].position, seats[0].position
    length = float(np.hypot(*(axis - root)[:2]))
    section = model.parts["arm"].section
    stiffness = 3 * 13.5 / np.linalg.inv(section.d)[0, 0] / length**3
    here = np.array([axis[0], axis[1], root[2]])
    beside = [i for i in mass_items(assembly) if np.hypot(*(i.centre - here)[:2]) < 25]
    tip = [i for i in beside if i.name != "arm.1"]  # motors, propellers, pads and all their screws
    tip_mass = sum(i.mass for i in tip)
    turning = sum(i.inertia[0, 0] + i.mass * (i.centre - here)[2] ** 2 for i in tip) * (1.5 / length) ** 2
    bar_mass = 33 / 140 * 13.5 * length * 5 * 1.55e-9
    ought = math.sqrt(stiffness / (tip_mass + turning + bar_mass)) / (2 * math.pi)
    assert rows[0].frequency_hz == pytest.approx(ought, rel=0.1)


def test_arms_are_named_by_their_pattern() -> None:
    names = [m.shape for m in solved().strength.modes]
    assert len(set(names)) == len(names)
    assert any(n.startswith("first arm bending") for n in names)
    assert any(n.startswith("first battery") for n in names)


def test_axes_of_an_arm_point_outwards_and_up() -> None:
    model = solved().model
    for rotor, point in model.rotor_points.items():
        axes = limb_axes(model, rotor)
        assert axes.T @ axes == pytest.approx(np.eye(3))
        assert float(axes[:2, 0] @ point.position[:2]) > 0.99 * float(np.linalg.norm(point.position[:2]))
        assert rotor_place(model, rotor).startswith("arm.")


def test_a_board_shakes_more_at_its_screws_than_in_its_middle_and_its_plate_bends_little() -> None:
    strength = solved().strength
    assert {r.thing for r in strength.shakes} == {"boards.fc"}
    for row in strength.shakes:
        assert row.edge_m_s2 > 0
        assert row.rate_deg_s > 0
    places = [r for r in strength.board_places if r.state == "hover"]
    assert len(places) == 4
    for row in places:
        assert row.bending_deg_s < row.rate_deg_s * 2


def mode(frequency: float, moves: str = "arm", shape: str = "first arm bending") -> FrameMode:
    return FrameMode(frequency, 0.9 * frequency, 1.1 * frequency, shape, moves, 90.0)


def test_a_mode_is_a_finding_within_15_percent_of_hover_and_not_beyond() -> None:
    strength = solved().strength
    hover = next(r for r in strength.speeds if r.state == "hover")
    for times, wanted in ((1.14, True), (0.86, True), (1.16, False), (0.84, False)):
        alone = replace(strength, modes=(mode(times * hover.rate_hz),), speeds=(hover,))
        assert [f.code for f in vibration_findings(alone)] == (["vibration.rate"] if wanted else [])


def test_what_stands_on_mounts_is_no_finding_and_cruise_at_hovers_speed_is_said_once() -> None:
    strength = solved().strength
    hover = next(r for r in strength.speeds if r.state == "hover")
    near = mode(hover.blade_rate_hz)
    carried = replace(strength, modes=(replace(near, moves="battery.battery"),), speeds=(hover,))
    assert list(vibration_findings(carried)) == []
    twice = replace(strength, modes=(near,), speeds=(hover, replace(hover, state="cruise")))
    (found,) = vibration_findings(twice)
    assert found.code == "vibration.blades"
    assert found.value == pytest.approx(0.0, abs=1e-9)


def test_the_diagram_names_speeds_rays_and_shapes() -> None:
    text = speeds_svg(solved().strength)
    for words in (
        "hover ",
        "full throttle ",
        "once per turn",
        "blades, 3 per turn",
        "first arm bending",
        "rotor speed",
    ):
        assert words in text


def test_without_speeds_the_diagram_has_its_lines_only() -> None:
    bare = replace(solved().strength, speeds=())
    text = speeds_svg(bare)
    assert "once per turn" not in text
    assert "first arm bending" in text
