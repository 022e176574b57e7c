import itertools
import math
import re

from platewright.io.colours import PALETTE, ROLE_COLOURS, Colour, colour_of


def test_codes_are_those_of_web_pages():
    assert all(re.fullmatch("#[0-9a-f]{6}", code) for code in PALETTE.values())
    assert all(colour.code in PALETTE.values() for colour in ROLE_COLOURS.values())


def test_colours_of_the_palette_are_apart_from_one_another():
    assert min(math.dist(Colour(a).srgb, Colour(b).srgb) for a, b in itertools.combinations(PALETTE.values(), 2)) > 0.25


def test_light_of_black_white_and_the_seam_of_the_curve():
    assert Colour("#000000").linear == (0, 0, 0)
    assert Colour("#ffffff").linear == (1, 1, 1)
    assert Colour("#0a0a0a").linear[0] == 10 / 255 / 12.92


def test_unknown_role_has_the_colour_of_other():
    assert colour_of("kite") == ROLE_COLOURS["other"]
    assert colour_of("plate", {"plate": Colour("#123456")}) == Colour("#123456")
    assert colour_of("plate", {}) == ROLE_COLOURS["other"]
