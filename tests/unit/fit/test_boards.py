"""Stacks of boards whose gaps can be added up by hand, and wires along a plate."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frames import assembled, catalogue, column, equipment, plate
from platewright.assembly.assemble import Assembly
from platewright.fit.board_access import battery_pads, open_air, pad_access, plug_sides
from platewright.fit.boards import BoardPlace, board_places
from platewright.fit.interference import prisms_of
from platewright.fit.wires import Run, beside, distance_to_run, wire_runs
from platewright.model.catalogue.electronics import Board

SCREW, BUTTON, M2 = "screw M3 socket 12.9", "screw M3 button 10.9", "screw M2 socket 12.9"
POST = column("post", SCREW, "base", "standoff M3x30", "deck", BUTTON, at=[50, 40])
PLATES = plate("base", 2, (120, 100)), plate("deck", 2, (120, 100))
ESC, FC = (catalogue().get(Board, name) for name in ("esc_20_45A", "fc_20"))
GROMMET_MM = 5.2  # compressed, of M2
UNDER = (GROMMET_MM - 1.6) / 2  # from the foot of a grommet to the board in its groove


def frame(*more: str, turn: float = 0.0, spacer: str = "spacer M2x2") -> Assembly:
    stack = [M2, "base", "spacer M2x4", "b.esc in grommet", spacer, "b.fc in grommet", "nut M2 insert"]
    boards = equipment("b", {"esc": "esc_20_45A", "fc": "fc_20"}, stack=stack, turn_deg=turn)
    return assembled(*PLATES, POST, boards, *more)


def places(made: Assembly) -> list[BoardPlace]:
    return board_places(made, prisms_of(made))


def test_gaps_follow_from_spacers_and_grommets() -> None:
    esc, fc = places(frame())
    assert esc.in_grommets
    assert esc.under_board.gap == pytest.approx(4 + UNDER)
    assert esc.under_parts.gap == pytest.approx(4 + UNDER - ESC.underside_parts_mm)
    between = 2 * UNDER + 2 - ESC.topside_parts_mm - FC.underside_parts_mm
    assert esc.over_parts.gap == pytest.approx(between)
    assert fc.under_parts.gap == pytest.approx(between)
    top = 4 + GROMMET_MM + 2 + UNDER + 1.6 + FC.topside_parts_mm
    assert fc.over_parts.gap == pytest.approx(30 - top)
    assert fc.over_parts.body is not None
    assert fc.over_parts.body.name == "deck"


def test_a_side_is_as_free_as_what_stands_before_it() -> None:
    wall = plate("wall", 2, (60, 30), at_mm=[0, 12], stands="yz", foot="base", offset_mm=30)
    esc, fc = places(frame(wall))
    sides = {s.name: s for s in fc.sides}
    assert sides["front"].clear.gap == pytest.approx(30 - 1 - FC.length_mm / 2)
    assert sides["front"].clear.body is not None
    assert sides["front"].clear.body.name == "wall"
    assert sides["rear"].clear.gap == math.inf
    assert {s.name: s.clear.gap for s in esc.sides}["front"] == pytest.approx(30 - 1 - ESC.length_mm / 2)


def test_a_plug_finds_the_gap_between_two_posts() -> None:
    """Posts before both corners of a side leave its middle free."""
    posts = column("pair", SCREW, "base", "standoff M3x30", "deck", BUTTON, at=[22, 11], mirror="y")
    _, fc = places(frame(posts))
    assert {s.name: s.clear.gap for s in fc.sides}["front"] == math.inf


def test_sides_turn_with_the_board() -> None:
    wall = plate("wall", 2, (60, 30), at_mm=[0, 12], stands="yz", foot="base", offset_mm=30)
    straight, turned = (places(frame(wall, turn=t))[1] for t in (0.0, 90.0))
    assert [s.name for s in straight.sides] == ["front", "left", "rear", "right"]
    assert [s.name for s in turned.sides] == ["left", "rear", "right", "front"]
    assert turned.sides[3].clear.gap == pytest.approx(straight.sides[0].clear.gap)


def test_moving_a_wall_away_never_narrows_a_side() -> None:
    gaps = []
    for x in range(18, 50, 4):
        wall = plate("wall", 2, (60, 30), at_mm=[0, 12], stands="yz", foot="base", offset_mm=x)
        gaps.append({s.name: s.clear.gap for s in places(frame(wall))[1].sides}["front"])
    assert gaps == sorted(gaps)


def test_every_board_with_plugs_has_words_that_are_understood() -> None:
    for record in catalogue().of_class(Board):
        assert (len(plug_sides(record.plugs, 12, 8)) > 0) == bool(record.plugs)
        assert len(plug_sides(record.plugs, 12, 8)) <= 4


def test_power_pads_look_at_the_connector() -> None:
    esc = places(frame())[0]
    for sign in (1, -1):
        (pad,) = battery_pads(esc, np.array([60.0 * sign, 0, 0]))
        assert pad[0] == pytest.approx(sign * ESC.length_mm / 2)


def test_pads_under_a_wide_cover_want_it_off() -> None:
    made = frame()
    groups = pad_access(made, places(made)[0])
    assert [pad.kind for pad in groups] == ["motor"] * 4 + ["battery"]
    assert {pad.off for pad in groups} == {("deck",)}
    cover = plate("cover", 2, (90, 90)), column("c", SCREW, "base", "standoff M3x20", "cover", BUTTON, at=[38, 38])
    covered = frame(*cover)
    for pad in pad_access(covered, places(covered)[0]):
        assert set(pad.off) == {"deck", "cover"}


def test_pads_beside_a_narrow_deck_are_reached() -> None:
    narrow = plate("deck", 2, (120, 20)), column("p", SCREW, "base", "standoff M3x30", "deck", BUTTON, at=[50, 5])
    made = assembled(PLATES[0], *narrow, *_boards())
    groups = pad_access(made, places(made)[0])
    assert {pad.off for pad in groups if pad.kind == "motor"} == {()}


def test_air_is_less_between_plates_than_without_the_deck() -> None:
    made = frame()
    open_plates = [board_places(made, prisms_of(made))[1]]
    share = open_air(open_plates[0], 50.0)
    assert 0 < share < 1
    narrow = assembled(*PLATES, POST.replace("M3x30", "M3x20"), *_boards())
    assert open_air(places(narrow)[1], 50.0) < share


def _boards() -> tuple[str, ...]:
    stack = [M2, "base", "spacer M2x4", "b.esc in grommet", "spacer M2x2", "b.fc in grommet", "nut M2 insert"]
    return (equipment("b", {"esc": "esc_20_45A", "fc": "fc_20"}, stack=stack),)


def test_a_power_lead_runs_along_the_plate_and_rises_to_the_pads() -> None:
    made = frame(equipment("plug", {"p": "connector_60a"}, on="base", at_mm=[-50, 0]))
    (run,) = (r for r in wire_runs(made, prisms_of(made), places(made)) if r.kind == "power")
    plug = next(b for b in made.bodies if b.owner == "plug")
    start = np.array(plug.frame.point(0, 0, plug.solids[0].shape.height / 2))
    end = np.array([-ESC.length_mm / 2, 0, 2 + 4 + UNDER + 1.6])
    assert run.path[0] == pytest.approx(start)
    assert run.path[-1] == pytest.approx(end)
    assert run.length == pytest.approx(abs(end[0] - start[0]) + abs(end[2] - start[2]) + 15)
    assert run.edges == ()


def test_a_cable_to_an_antenna_on_the_deck_passes_its_edge() -> None:
    made = frame(
        equipment("rx", {"r": "receiver_small"}, on="base", at_mm=[-35, 0]),
        equipment("tube", {"a": "antenna_receiver_tube"}, on="deck", at_mm=[-35, 20], through=["deck"]),
    )
    (run,) = (r for r in wire_runs(made, prisms_of(made), places(made)) if r.kind == "coax")
    assert (run.start, run.end) == ("rx.r", "tube.a")
    assert "deck" in run.edges or "base" in run.edges


def test_two_runs_lie_beside_one_another_for_as_long_as_they_are_near() -> None:
    video = Run("video", "a", "b", ((0.0, 0.0, 0.0), (100.0, 0.0, 0.0)), 100.0, ())
    power = Run("power", "c", "d", ((60.0, 6.0, 0.0), (160.0, 6.0, 0.0)), 100.0, ())
    (pair,) = beside([video, power], "video", "power", 10.0)
    assert pair.gap == pytest.approx(6)
    assert pair.length == pytest.approx(40 + 8, abs=1.0)  # 8 before its end, where the slant is still under 10
    assert beside([video, power], "video", "power", 5.0) == []
    assert distance_to_run(power, np.array([[0.0, 6.0, 0.0]]))[0] == pytest.approx(60)
