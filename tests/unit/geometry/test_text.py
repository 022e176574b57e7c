import math

import pytest

from platewright.foundation.errors import GeometryError
from platewright.geometry.text import TEXT_CHARACTERS, text_strokes, text_width


def test_every_promised_character_is_drawn_within_its_cell_and_no_two_alike():
    assert set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-./ ") == set(TEXT_CHARACTERS)
    drawn = {letter: text_strokes(letter, 0, 0, 6) for letter in TEXT_CHARACTERS}
    assert len(set(drawn.values())) == len(TEXT_CHARACTERS)
    for letter, strokes in drawn.items():
        assert bool(strokes) is (letter != " ")
        assert all(len(stroke) >= 2 for stroke in strokes)
        assert all(0 <= x <= 4 and 0 <= y <= 6 for stroke in strokes for x, y in stroke)


def test_text_scales_and_turns():
    strokes = text_strokes("hl", 10, 20, 3, math.pi / 2)
    points = [point for stroke in strokes for point in stroke]
    assert min(x for x, _ in points) == pytest.approx(7)
    assert max(y for _, y in points) == pytest.approx(20 + text_width("HL", 3))


def test_unknown_character_is_named():
    with pytest.raises(GeometryError, match="got 'é' in 'pré'") as error:
        text_strokes("pré", 0, 0, 3)
    assert "É" not in str(error.value)


def test_height_must_be_positive():
    with pytest.raises(GeometryError, match="greater than 0 mm"):
        text_strokes("A", 0, 0, 0)
