"""A frame and its mirror image: what is found about one is found about the other."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frames import checked, column, equipment, part, place, plate
from platewright.study.results import CheckResult

FAMILIES = ("battery.", "board.", "camera.", "carbon.", "lead.", "disc.", "body.")
SCREW, BUTTON, M2 = "screw M3 socket 12.9", "screw M3 button 10.9", "screw M2 socket 12.9"
ARMS = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
MOTOR = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=[SCREW, "arm", "motor.m"])
PROPELLER = equipment("p", {"p": "prop_5in", "nut": "prop_nut_m5_right_low"}, at="rotors", on="motor")


def frame(side: int, pack: int, wall: int, boards: int) -> CheckResult:
    """Return the check of a lopsided frame: pack, boards and a wall off its middle, to one side or the other."""
    stack = [M2, "base", "spacer M2x2", "b.esc in grommet", "spacer M2x2", "b.fc in grommet", "nut M2 insert"]
    return checked(
        ARMS,
        MOTOR,
        PROPELLER,
        plate("base", 2, (130, 100)),
        plate("deck", 2, (130, 100)),
        column("hold", SCREW, "arm", "spacer M3x5", "base", "nut M3 hex", at=[[40, 0]], of="arm", mirror=""),
        column("post", SCREW, "base", "standoff M3x30", "deck", BUTTON, at=[60, 20]),
        plate("wall", 2, (60, 20), at_mm=[0, 12], stands="xz", foot="base", offset_mm=side * wall),
        equipment("battery", {"b": "lipo_6s_1100"}, on="deck", at_mm=[0, side * pack, 2]),
        equipment("b", {"esc": "esc_20_45A", "fc": "fc_20"}, at_mm=[0, side * boards], stack=stack),
        equipment("plug", {"p": "connector_60a"}, on="base", at_mm=[-55, side * 12]),
        rotors="fore_aft_mm = 160\nlateral_mm = 160",
    )


def said(result: CheckResult) -> list[tuple[str, str, float | None]]:
    """Return codes, severities and numbers of what is found about fit."""
    rows = [(f.code, f.severity.value, f.value) for f in result.findings if f.code.startswith(FAMILIES)]
    return sorted((code, severity, None if v is None else round(v, 3)) for code, severity, v in rows)


@settings(max_examples=8, deadline=None)
@given(pack=st.integers(0, 25), wall=st.integers(24, 40), boards=st.integers(0, 6))
def test_a_mirrored_frame_gives_the_same_findings(pack: int, wall: int, boards: int) -> None:
    left, right = (frame(side, pack, wall, boards) for side in (1, -1))
    assert said(left) == said(right)
    (one,), (other,) = left.batteries, right.batteries
    assert one.inertia_percent == pytest.approx(other.inertia_percent)
    assert [(v.lead, v.rest_mm) for v in one.leads] == [(v.lead, pytest.approx(v.rest_mm)) for v in other.leads]
    swapped = {"left": "right", "right": "left", "front": "front", "rear": "rear"}
    for a, b in zip(left.boards.boards, right.boards.boards, strict=True):
        sides = {swapped[s.side]: s.free_mm for s in b.sides}
        for s in a.sides:
            assert sides[s.side] == (None if s.free_mm is None else pytest.approx(s.free_mm))


@settings(max_examples=8, deadline=None)
@given(wall=st.integers(22, 36), away=st.integers(1, 10))
def test_moving_a_wall_away_never_lowers_what_is_free(wall: int, away: int) -> None:
    near, far = (frame(1, 0, w, 0).boards.boards for w in (wall, wall + away))
    for a, b in zip(near, far, strict=True):
        for s, t in zip(a.sides, b.sides, strict=True):
            assert t.free_mm is None or (s.free_mm is not None and t.free_mm >= s.free_mm - 1e-9)
