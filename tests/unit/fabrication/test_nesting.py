"""Nests are complete, keep their spacing, turns, rims and clamps, use openings and offcuts, and can be stopped."""

import dataclasses
import math
import time

import pytest

from nests import QUARTERS, arm, ell, frame_parts, independent_faults, ring, shelves
from platewright.fabrication.filling import fill
from platewright.fabrication.groups import grouped, ungrouped
from platewright.fabrication.nest import Layout, Nest, NestPart, Piece, Stock, faults_of
from platewright.fabrication.nesting import nest_parts
from platewright.fabrication.rectangles import largest_rectangle
from platewright.fabrication.strip import Search, pack_strip
from platewright.foundation.errors import GeometryError
from platewright.geometry.loops import Outline
from platewright.geometry.shapes import rectangle_loop

SHEET = Stock("sheet", 500, 400, 8, cost=70)
SPACING = 3.0


def nest(parts, stocks=(SHEET,), seconds=0.0, **keys):
    return nest_parts(parts, stocks, SPACING, seconds, 1, time.monotonic, **keys)


def counts(made):
    found = {}
    for layout in made.layouts:
        for piece in layout.pieces:
            found[piece.part] = found.get(piece.part, 0) + 1
    return found


def test_a_nest_on_the_grid_is_whole_and_sound():
    parts = frame_parts(6)
    made = nest(parts)
    assert counts(made) == {p.key: 6 for p in parts}
    assert independent_faults(made) == []
    assert all(any(math.isclose(p.turn, t) for t in QUARTERS) for layout in made.layouts for p in layout.pieces)


def test_without_time_for_the_library_it_is_the_same_every_time():
    parts = frame_parts(3)
    assert nest(parts).layouts == nest(parts).layouts


def test_small_parts_lie_in_openings():
    pads = NestPart("pad", Outline(rectangle_loop(0, 0, 20, 20)), 9, QUARTERS)
    made = nest([ring("frame", 100, 12, 1), pads], [Stock("just", 118, 118, 8)])
    assert counts(made) == {"frame": 1, "pad": 9}
    assert independent_faults(made) == []


def test_groups_move_as_one_and_come_apart_again():
    parts = {"frame": ring("frame", 100, 12, 1), "pad": ell("pad", 30, 30, 9, 1), "far": ell("far", 30, 30, 9, 1)}
    pieces = (Piece("frame", 70, 70, math.pi / 2), Piece("pad", 55, 60, 0.0), Piece("far", 200, 40, 0.0))
    made, groups = grouped(pieces, parts)
    assert len(made) == 2
    back = {p.part: p for p in ungrouped(made, groups)}
    for piece in pieces:
        assert (back[piece.part].x, back[piece.part].y) == pytest.approx((piece.x, piece.y))
        assert math.remainder(back[piece.part].turn - piece.turn, math.tau) == pytest.approx(0)


def test_a_group_turns_only_as_all_its_members_may():
    guest = dataclasses.replace(ell("pad", 30, 30, 9, 1), turns=(0.0, math.pi))
    parts = {"frame": ring("frame", 100, 12, 1), "pad": guest}
    made, groups = grouped((Piece("frame", 70, 70, math.pi / 2), Piece("pad", 55, 60, 0.0)), parts)
    turns = groups[made[0].part].part.turns
    assert sorted(round(math.degrees(t)) % 360 for t in turns) == [90, 270]


def test_clamps_and_rims_are_kept_clear_of():
    stock = Stock("clamped", 300, 200, 10, clamps=((0, 80, 30, 40), (140, 90, 20, 20)))
    made = nest([arm("arm", 80, 10, 8), ell("bracket", 40, 30, 9, 10)], [stock], seconds=2)
    assert independent_faults(made) == []


def test_offcuts_come_first_and_one_of_which_there_is_one_is_used_once():
    rest = Stock("rest", 200, 150, 8, cost=0, available=1, offcut=True)
    made = nest(frame_parts(2), [SHEET, rest])
    assert [layout.stock.key for layout in made.layouts].count("rest") == 1
    assert made.layouts[0].stock.key == "rest"


def test_the_last_pieces_go_on_the_cheaper_sheet():
    small = Stock("small", 200, 150, 8, cost=12)
    made = nest([ell("bracket", 60, 40, 9, 3)], [SHEET, small])
    assert [layout.stock.key for layout in made.layouts] == ["small"]


def test_a_part_larger_than_the_sheet_is_refused_in_a_sentence():
    with pytest.raises(GeometryError, match=r"part 'long' of 505 x 20 mm fits on no sheet .* 500 x 400 mm"):
        nest([NestPart("long", Outline(rectangle_loop(0, 0, 505, 20)), 1, QUARTERS)])


def test_a_part_that_fits_only_across_its_fabric_is_refused():
    narrow = Stock("narrow", 300, 100, 5)
    with pytest.raises(GeometryError, match="turns its fabric allows"):
        nest([NestPart("tall", Outline(rectangle_loop(0, 0, 20, 150)), 1, (0.0, math.pi))], [narrow])


def test_stopped_at_any_moment_the_best_so_far_is_whole():
    def stop(text):
        if "packing" in text:
            raise KeyboardInterrupt

    parts = frame_parts(4)
    made = nest(parts, seconds=4, progress=stop)
    assert made.interrupted
    assert made.seconds < 4
    assert counts(made) == {p.key: 4 for p in parts}
    assert independent_faults(made) == []


def test_stopped_while_other_orders_are_tried_the_better_one_is_not_lost():
    parts, better = frame_parts(10), []

    def stop_at_the_second(text):
        if text.startswith("order") and len(better) > 1:
            raise KeyboardInterrupt

    made = nest(parts, seconds=60, progress=stop_at_the_second, keep=better.append)
    assert made.interrupted
    assert made.score == min(found.score for found in better)
    assert made.score < better[0].score
    assert all(list(faults_of(found)) == [] for found in better)


def test_stopped_while_the_first_nest_is_laid_it_is_laid_all_the_same(monkeypatch):
    calls = []

    def laid(*given):
        calls.append(given)
        if len(calls) == 1:
            raise KeyboardInterrupt
        return fill(*given)

    monkeypatch.setattr("platewright.fabrication.nesting.fill", laid)
    made = nest(frame_parts(2), seconds=30)
    assert made.interrupted
    assert made.seconds < 15
    assert independent_faults(made) == []


def test_stopped_before_the_library_has_found_anything(monkeypatch):
    def stopped(_):
        raise KeyboardInterrupt

    monkeypatch.setattr("platewright.fabrication.strip.time.sleep", stopped)
    parts = frame_parts(2)
    with pytest.raises(KeyboardInterrupt):
        pack_strip([(p, p.quantity) for p in parts], 384, SPACING, Search(1, 1), lambda _: None)
    made = nest(parts, seconds=5)
    assert made.interrupted
    assert independent_faults(made) == []


def test_going_on_from_an_earlier_nest_is_no_worse():
    parts = frame_parts(3)
    first = nest(parts)
    after = nest(parts, seconds=2, start=first)
    assert after.score <= first.score
    assert independent_faults(after) == []


def test_as_dense_as_the_library_and_denser_than_shelves():
    parts = frame_parts(2)
    strip = pack_strip([(p, p.quantity) for p in parts], SHEET.width - 16, SPACING, Search(5, 1, workers=None))
    made = nest(parts, seconds=5)
    assert len(made.layouts) == 1
    used = made.layouts[0].used_length(made.by_key) - SHEET.margin
    assert used <= strip.length + 1e-6
    boxes = shelves(parts, SHEET.length, SHEET.width, SHEET.margin, SPACING)
    assert boxes > 1.15 * (used + SHEET.margin) * SHEET.width
    assert independent_faults(made) == []


def test_the_check_sees_what_is_wrong():
    part = ell("bracket", 40, 30, 9, 2)
    pieces = (Piece("bracket", 20, 20, 0.0), Piece("bracket", 31, 20, 0.0))
    wrong = Nest((part,), (Layout(SHEET, pieces),), SPACING)
    assert any("too near" in fault for fault in faults_of(wrong))
    assert independent_faults(wrong) != []
    outside = Nest((part,), (Layout(SHEET, (Piece("bracket", 2, 20, 0.0),)),), SPACING)
    assert [*faults_of(outside)] == ["bracket leaves sheet", "bracket: 1 pieces instead of 2"]


def test_largest_rectangle_between_two_clamps():
    assert largest_rectangle((0, 0, 100, 60), [(0, 25, 12, 35), (90, 25, 100, 35)]) == (12, 0, 90, 60)


def test_a_part_at_any_angle():
    free = dataclasses.replace(arm("arm", 80, 10, 6), turns=None)
    made = nest([free], [Stock("tight", 150, 120, 5)], seconds=1)
    assert independent_faults(made) == []


def test_two_small_sheets_give_way_to_a_larger_one_that_is_cheaper():
    small, large = Stock("small", 200, 150, 8, cost=12), Stock("large", 300, 200, 8, cost=20)
    made = nest([ell("bracket", 60, 40, 9, 24)], [small, large])
    assert [layout.stock.key for layout in made.layouts] == ["large"]
