from functools import cache

import pytest

from frames import assembled, column, equipment, part, place, plate
from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import OutputError
from platewright.io.terminal import plan_text


@cache
def frame() -> Assembly:
    stack = ("screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9")
    return assembled(plate("base", 4, (120, 60)), plate("deck", 2, (40, 40)), column("post", *stack, at=((10, 10),)))


def dots(text: str) -> set[tuple[int, int]]:
    """Dots of a braille picture as (column, row)."""
    bits = (
        (0x01, 0, 0),
        (0x02, 0, 1),
        (0x04, 0, 2),
        (0x40, 0, 3),
        (0x08, 1, 0),
        (0x10, 1, 1),
        (0x20, 1, 2),
        (0x80, 1, 3),
    )
    return {
        (2 * column_ + dx, 4 * row + dy)
        for row, line in enumerate(text.split("\n"))
        for column_, sign in enumerate(line)
        if sign != " "
        for bit, dx, dy in bits
        if (ord(sign) - 0x2800) & bit
    }


@pytest.mark.parametrize("columns", [20, 61, 120])
def test_picture_fills_the_width_in_proportion(columns: int) -> None:
    seen = dots(plan_text(frame(), columns))
    width = max(x for x, _ in seen) - min(x for x, _ in seen)
    height = max(y for _, y in seen) - min(y for _, y in seen)
    assert width == 2 * columns - 1
    # the base is 120 mm along x, which is up, and 60 mm across
    assert height / width == pytest.approx(2.0, abs=2 / width)


def test_picture_is_symmetric_like_the_frame() -> None:
    seen = dots(plan_text(frame(), 60))
    low, high = min(x for x, _ in seen), max(x for x, _ in seen)
    mirrored = {(low + high - x, y) for x, y in seen}
    assert len(seen ^ mirrored) <= 0.1 * len(seen)  # rounding to dots goes one way


def test_upper_plate_hides_what_lies_under_it() -> None:
    seen = dots(plan_text(assembled(*_covered()), 60))
    # the deck of the same outline and a base cut-out under it: only the rim and the screws of the deck remain
    bare = dots(plan_text(assembled(*_covered(cut=False)), 60))
    assert seen == bare


def _covered(cut: bool = True) -> tuple[str, ...]:
    cutouts = {"cutouts": [{"shape": "circle", "at_mm": [0, 0], "diameter_mm": 8}]} if cut else {}
    stack = ("screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9")
    return part("base", 4, **cutouts), place("base", "base"), plate("deck", 2), column("post", *stack)


def test_plain_characters_hold_two_dots_each() -> None:
    text = plan_text(frame(), 60, ascii_only=True)
    assert set(text) <= set(" '.:\n")
    assert max(len(line) for line in text.split("\n")) == 60
    assert text.isascii()


def test_motors_and_discs_are_drawn_round() -> None:
    motors = equipment(
        "motor", {"motor": "motor_2207"}, at="rotors", stack=["screw M3 socket 12.9", "base", "motor.motor"]
    )
    props = equipment("prop", {"propeller": "prop_5in", "nut": "prop_nut_m5_right"}, at="rotors", on="motor")
    stack = ("screw M3 socket 12.9", "base", "standoff M3x20", "deck", "screw M3 button 10.9")
    text = plan_text(
        assembled(plate("base", 4, (230, 230)), plate("deck", 2), column("post", *stack), motors, props), 80
    )
    seen = dots(text)
    scale = 159 / (200 + 129.5)
    assert max(x for x, _ in seen) == 159
    assert max(y for _, y in seen) == pytest.approx(329.5 * scale, abs=1)


@pytest.mark.parametrize("columns", [0, 19, 401])
def test_width_out_of_range_is_refused(columns: int) -> None:
    with pytest.raises(OutputError, match="from 20 to 400"):
        plan_text(frame(), columns)
