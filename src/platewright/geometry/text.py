"""Engraved marks: text as single strokes, in letters drawn for this project on a grid four wide and six high."""

from __future__ import annotations

from platewright.foundation.errors import GeometryError
from platewright.geometry.loops import Isometry

__all__ = ["TEXT_CHARACTERS", "text_strokes", "text_width"]

# Strokes parted by blanks; each point two digits, x 0..4 and y 0..6 above the base line.
_LETTERS = {
    " ": "",
    "-": "1333",
    ".": "2021",
    "/": "0046",
    "0": "103041453616050110 1135",
    "1": "152620 1030",
    "2": "05163645440040",
    "3": "05163645443323 334241301001",
    "4": "30360242",
    "5": "460603334241301001",
    "6": "36160501103041423303",
    "7": "064610",
    "8": "13334241301001021304051636454433",
    "9": "10304145361605041343",
    "A": "0004264440 0343",
    "B": "00063645443303 3342413000",
    "C": "4536160501103041",
    "D": "00062644422000",
    "E": "46060040 0333",
    "F": "460600 0333",
    "G": "45361605011030414323",
    "H": "0006 4046 0343",
    "I": "1030 2026 1636",
    "J": "4641301001",
    "K": "0006 4602 1340",
    "L": "060040",
    "M": "0006234640",
    "N": "00064046",
    "O": "103041453616050110",
    "P": "00063645443303",
    "Q": "103041453616050110 2240",
    "R": "00063645443303 2340",
    "S": "453616050413334241301001",
    "T": "0646 2026",
    "U": "060110304146",
    "V": "062046",
    "W": "0610233046",
    "X": "0046 0640",
    "Y": "062346 2320",
    "Z": "06460040",
}
TEXT_CHARACTERS = "".join(_LETTERS)
_HEIGHT = 6
_ADVANCE = 6  # four of width and two between letters

Stroke = tuple[tuple[float, float], ...]


def text_strokes(text: str, x: float, y: float, height: float, turn: float = 0.0) -> tuple[Stroke, ...]:
    """Return the strokes of a text whose base line starts at (x, y).

    Parameters
    ----------
    text : str
        Letters A-Z (small ones are raised), digits, `- . /` and blank.
    x, y : float
        Start of the base line [mm].
    height : float
        Height of a capital [mm].
    turn : float
        Direction of the base line [rad].

    Raises
    ------
    GeometryError
        If a character is not in the set, or the height is not positive.

    Examples
    --------
    >>> text_strokes("L", 1, 2, 6)
    (((1.0, 8.0), (1.0, 2.0), (5.0, 2.0)),)
    """
    if not height > 0:
        msg = f"the height of a text must be greater than 0 mm (got {height})."
        raise GeometryError(msg)
    scale, motion = height / _HEIGHT, Isometry.from_turn(turn, x, y)
    strokes: list[Stroke] = []
    for place, letter in enumerate(text):
        if letter.upper() not in _LETTERS:
            msg = f"a mark may hold only {TEXT_CHARACTERS!r} (got {letter!r} in {text!r})."
            raise GeometryError(msg)
        for stroke in _LETTERS[letter.upper()].split():
            grid = [(int(stroke[k]) + _ADVANCE * place, int(stroke[k + 1])) for k in range(0, len(stroke), 2)]
            strokes.append(tuple(motion.apply(scale * u, scale * v) for u, v in grid))
    return tuple(strokes)


def text_width(text: str, height: float) -> float:
    """Return the length of a text along its base line [mm]."""
    return max(_ADVANCE * len(text) - 2, 0) * height / _HEIGHT
