"""Load cases of an assembly: rotors that are not there, lines not fitted, places of several instances, holes."""

from __future__ import annotations

import pytest

from frames import assembled, column, place, record, two_plates
from platewright.assembly.load_places import load_place_problems

POST = ("screw M3 socket 12.9", "base", "standoff M3x25", "deck", "screw M3x6 button 10.9")


def problems(load: str) -> list[tuple[tuple[str | int, ...], str, str]]:
    spare = column("spare", "base", at=[[0, 10]], mirror="", fitted=False)
    case = f'[[load_case]]\nid = "push"\nloads = [{{ {load} }}]\n'
    return list(load_place_problems(assembled(*two_plates(*POST), spare, case)))


@pytest.mark.parametrize(
    "load",
    [
        "rotor = 4, force_n = 1",
        'column = "post", force_n = 1',
        'column = "post.3", force_n = 1',
        'place = "deck", at_mm = [0, 0], force_n = 1',
    ],
)
def test_what_is_there_can_be_pushed(load: str) -> None:
    assert problems(load) == []


@pytest.mark.parametrize(
    ("load", "key", "words"),
    [
        ("rotor = 5, force_n = 1", "rotor", "one of the 4 rotors, 1 to 4 (got 5)"),
        ('column = "spare", force_n = 1', "column", "names 'spare', which has no fitted line"),
        ('column = "post.9", force_n = 1', "column", "names 'post.9', which has no fitted line"),
        ('place = "deck.7", force_n = 1', "place", "must name one instance: deck (got 'deck.7')"),
        ('place = "deck", at_mm = [20, 20], force_n = 1', "at_mm", "a point on the part 'deck', off its holes"),
        ('place = "deck", at_mm = [90, 0], force_n = 1', "at_mm", "(got 90, 0)"),
    ],
)
def test_what_is_not_there_is_one_sentence(load: str, key: str, words: str) -> None:
    ((path, code, message),) = problems(load)
    assert path == ("load_case", 0, "loads", 0, key)
    assert code == "load.place"
    assert words in message


def test_a_place_with_several_instances_needs_its_number() -> None:
    pieces = (
        *two_plates(*POST),
        record(
            "part",
            id="ear",
            kind="other",
            material="plate_woven_qi",
            thickness_mm=2,
            polygons=[{"points_mm": [[5, -5], [5, 5], [-5, 5], [-5, -5]]}],
        ),
        place("ear", "ear", at_mm=[0, 20], mirror="y"),
        column("pin", "screw M3 socket 12.9", "base", "ear.left", "nut M3 hex", at=[[0, 20]], mirror=""),
        column("pin_right", "screw M3 socket 12.9", "base", "ear.right", "nut M3 hex", at=[[0, -20]], mirror=""),
    )
    case = '[[load_case]]\nid = "push"\nloads = [{ place = "ear", force_n = 1 }]\n'
    ((_, _, message),) = load_place_problems(assembled(*pieces, case))
    assert "must name one instance: ear.left, ear.right (got 'ear')" in message
