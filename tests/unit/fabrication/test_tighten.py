"""Pieces drawn together end at the spacing, in openings too, and never nearer to anything."""

import math
import random

import pytest

from nests import QUARTERS, arm, ell, frame_parts, independent_faults, ring
from platewright.fabrication.filling import fill, largest_first
from platewright.fabrication.nest import Layout, Nest, NestPart, Piece, Stock
from platewright.fabrication.raster import Grid
from platewright.fabrication.tighten import tightened
from platewright.geometry.loops import Outline
from platewright.geometry.shapes import rectangle_loop

SPACING = 3.0
SHEET = Stock("sheet", 500, 400, 8)
PAD = NestPart("pad", Outline(rectangle_loop(0, 0, 20, 20)), 2, QUARTERS)


def drawn(pieces, parts, stock=SHEET):
    return tightened(Layout(stock, tuple(pieces)), {p.key: p for p in parts}, Grid(SPACING))


def test_two_pieces_in_a_row_slide_to_the_rim_and_to_the_spacing():
    wide = NestPart("wide", Outline(rectangle_loop(0, 0, 30, 380)), 2, (0.0,))
    made = drawn([Piece("wide", 25.3, 200, 0.0), Piece("wide", 59.1, 200, 0.0)], [wide])
    first, second = sorted(p.x for p in made.pieces)
    assert first == pytest.approx(23, abs=0.05)
    assert second == pytest.approx(23 + 30 + SPACING, abs=0.1)


def test_the_piece_that_reaches_farthest_goes_into_an_opening():
    frame = ring("frame", 100, 12, 1)
    narrow = Stock("narrow", 500, 118, 8)
    made = drawn([Piece("frame", 58, 59, 0.0), Piece("pad", 125, 59, 0.0)], [frame, PAD], narrow)
    assert made.used_length({"frame": frame, "pad": PAD}) == pytest.approx(108, abs=0.05)
    assert independent_faults(Nest((frame, PAD), (made,), SPACING)) == []


def test_a_clamp_is_not_slid_into():
    held = Stock("held", 500, 400, 8, clamps=((8, 150, 20, 100),))
    made = drawn([Piece("pad", 60, 200, 0.0)], [PAD], held)
    assert made.pieces[0].x - 10 == pytest.approx(8, abs=1)  # laid anew beside the clamp
    tall = NestPart("tall", Outline(rectangle_loop(0, 0, 20, 380)), 1, (0.0,))
    made = drawn([Piece("tall", 60, 200, 0.0)], [tall], held)
    assert made.pieces[0].x - 10 == pytest.approx(28 + SPACING, abs=0.1)


@pytest.mark.parametrize("seed", range(4))
def test_no_longer_than_before_and_without_fault(seed):
    rng = random.Random(seed)
    parts = [*frame_parts(2), arm("long", 160, 16, 2), ell("wide", 90, 70, 14, 2)]
    rng.shuffle(parts)
    loose = Grid(SPACING + 1.5)
    (layout,) = fill(largest_first(parts) if seed else [p for p in parts for _ in range(2)], [SHEET], loose)
    made = drawn(layout.pieces, parts)
    by_key = {p.key: p for p in parts}
    assert made.used_length(by_key) < layout.used_length(by_key)
    assert independent_faults(Nest(tuple(parts), (made,), SPACING)) == []
    assert all(any(math.isclose(p.turn, t) for t in QUARTERS) for p in made.pieces)
