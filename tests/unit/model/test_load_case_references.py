"""Load cases: a load that names nothing, too much or the unknown, or that does not push, is one sentence."""

from __future__ import annotations

import tomllib

import pytest

from frames import equipment, plate, record
from platewright.model.design import Design
from platewright.model.load_case_references import load_case_problems

HEAD = 'format = 1\n[frame]\nname = "Sample"\n[rotors]\nfore_aft_mm = 200\nlateral_mm = 200\n'
THINGS = (
    plate("base", 4),
    record("column", id="post", at_mm=[[20, 20]], stack=["screw M3 socket 12.9", "base", "nut M3 hex"]),
    equipment("motor", {"motor": "motor_2207"}, at="rotors"),
    equipment("stack", {"esc": "esc_30", "fc": "fc_30"}, on="base"),
    equipment("camera", {"camera": "camera_micro"}, on="base"),
)


def problems(load: str) -> list[tuple[tuple[str | int, ...], str, str]]:
    text = HEAD + "\n".join(THINGS) + f'[[load_case]]\nid = "push"\nloads = [{{ {load} }}]\n'
    return list(load_case_problems(Design.model_validate(tomllib.loads(text))))


@pytest.mark.parametrize(
    "load",
    [
        "rotor = 1, force_n = 5, at_propeller = true",
        "rotor = 1, force_n = 5, at_bell = true",
        'column = "post.1", force_n = 1, direction = "left"',
        'equipment = "stack.fc", moment_n_mm = [0, 3, 0]',
        'equipment = "camera", force_n = -1, along = [1, 0, 2]',
        'place = "base", at_mm = [3, 4], force_n = 1',
    ],
)
def test_a_load_on_one_known_place_is_no_problem(load: str) -> None:
    assert problems(load) == []


@pytest.mark.parametrize(
    ("load", "key", "code", "words"),
    [
        ("force_n = 1", "", "load.place", "must name one of rotor, column, equipment and place (got none)"),
        ('rotor = 1, place = "base", force_n = 1', "", "load.place", "(got rotor and place)"),
        ('place = "bass", force_n = 1', "place", "load.place", "unknown place 'bass'; did you mean 'base'?"),
        ('column = "pots", force_n = 1', "column", "load.place", "unknown column 'pots'; did you mean 'post'?"),
        ('equipment = "gimbal", force_n = 1', "equipment", "load.place", "unknown equipment 'gimbal'"),
        ('equipment = "motor", force_n = 1', "equipment", "load.place", "name the rotor instead"),
        ('equipment = "stack", force_n = 1', "equipment", "load.place", "must say which of esc and fc"),
        ('equipment = "stack.gps", force_n = 1', "equipment", "load.place", "unknown role 'gps' of 'stack'"),
        ("rotor = 1, at_mm = [1, 2], force_n = 1", "at_mm", "load.place", "name the place, or leave at_mm out"),
        ('place = "base", at_propeller = true, force_n = 1', "at_propeller", "load.place", "name the rotor"),
        (
            'place = "base", at_bell = true, force_n = 1',
            "at_bell",
            "load.place",
            "name the rotor, or leave at_bell out",
        ),
        ("rotor = 1, at_bell = true, at_propeller = true, force_n = 1", "at_bell", "load.place", "give one of them"),
        ("rotor = 1", "", "load.force", "no force and no moment"),
        ("rotor = 1, force_n = 1e-300", "", "load.force", "0.001 N or N mm are the least"),
        ("rotor = 1, force_n = 1, along = [0, 0, 0]", "along", "load.force", "a vector of some length"),
    ],
)
def test_a_load_that_cannot_be_meant_is_one_sentence(load: str, key: str, code: str, words: str) -> None:
    ((path, found, message),) = problems(load)
    assert path == ("load_case", 0, "loads", 0, *([key] if key else []))
    assert found == code
    assert words in message
    assert message.endswith((".", "?"))


def test_a_record_left_out_counts_as_known() -> None:
    text = HEAD + '[[load_case]]\nid = "push"\nloads = [{ place = "ghost", force_n = 1 }]\n'
    design = Design.model_validate(tomllib.loads(text))
    assert list(load_case_problems(design, frozenset({"ghost"}))) == []
