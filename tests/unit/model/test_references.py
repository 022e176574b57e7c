"""What a design names must exist and serve."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from platewright.model.catalogue import load_catalogue
from platewright.model.design import Design
from platewright.model.references import reference_problems

CATALOGUE = load_catalogue()
PLATE = {"kind": "base", "material": "plate_woven_qi", "thickness_mm": 2}
SQUARE = [{"points_mm": [[0, 0], [9, 0], [9, 9]]}]
SCREW = "screw M3 socket 12.9"
GOOD: dict[str, Any] = {
    "format": 1,
    "frame": {"name": "Heddle", "frame_class": "5in"},
    "rotors": {"fore_aft_mm": 160, "lateral_mm": 150},
    "part": [
        {"id": "plate", **PLATE, "polygons": SQUARE},
        {
            "id": "arm",
            **PLATE,
            "nodes": [{"id": "a", "at_mm": [0, 0], "radius_mm": 5}, {"id": "b", "at_mm": [9, 0], "radius_mm": 5}],
            "links": [{"start": "a", "end": "b", "width_mm": 4}],
            "webs": [{"nodes": ["a", "b", "a"]}],
        },
    ],
    "place": [
        {"id": "base", "part": "plate"},
        {"id": "arm", "part": "arm", "to": "rotors", "root_mm": [9, 9]},
        {"id": "cheek", "part": "plate", "stands": "xz", "foot": "base", "mirror": "y"},
    ],
    "column": [
        {"id": "bolt", "at_mm": [[1, 1]], "sets_level": ["base"], "stack": [SCREW, "base", "arm", "nut M3 insert"]},
        {"id": "nose", "axis": "y", "foot": "base", "at_mm": [[1, 9]],
         "stack": [SCREW, "cheek.right", "standoff M3x20", "cheek.left", SCREW]},
    ],
    "equipment": [
        {"id": "motor", "use": {"motor": "motor_2207"}, "at": "rotors", "stack": [SCREW, "arm.1", "motor.motor"]},
    ],
    "tab": [{"id": "feet", "of": "cheek", "into": ["base"], "along_mm": [4], "length_mm": 3}],
    "key": [{"id": "arms", "of": "arm"}],
}  # fmt: skip


def problems_of(values: dict[str, Any], left_out: frozenset[str] = frozenset()) -> list[tuple[Any, ...]]:
    """Reference problems of plain values."""
    return list(reference_problems(Design.model_validate(values), CATALOGUE, left_out))


def changed(path: tuple[str | int, ...], value: object) -> dict[str, Any]:
    """The good design with one value changed, or removed for None."""
    values: Any = copy.deepcopy(GOOD)
    inner = values
    for key in path[:-1]:
        inner = inner[key]
    if value is None:
        del inner[path[-1]]
    else:
        inner[path[-1]] = value
    return values  # type: ignore[no-any-return]


def test_a_good_design_has_none() -> None:
    assert problems_of(GOOD) == []


_BOLT = ("column", 0, "stack", 1)


@pytest.mark.parametrize(
    ("path", "value", "code", "words"),
    [
        (("frame", "frame_class"), "5inch", "reference.catalogue", "5in"),
        (("part", 0, "material"), "plate_woven_q", "reference.catalogue", "plate_woven_qi"),
        (("part", 1, "links", 0, "end"), "c", "outline.nodes", "there are a, b"),
        (("part", 1, "webs", 0, "nodes", 1), "c", "outline.nodes", "there are a, b"),
        (("place", 0, "part"), "plat", "reference.part", "did you mean 'plate'"),
        (("place", 2, "foot"), "bas", "reference.place", "did you mean 'base'"),
        (("place", 2, "foot"), "cheek", "reference.place", "lies on a level"),
        (("column", 0, "of"), "arn", "reference.place", "did you mean 'arm'"),
        (("column", 1, "foot"), "bas", "reference.place", "did you mean 'base'"),
        (("column", 0, "sets_level", 0), "bse", "reference.place", "did you mean 'base'"),
        (_BOLT, "bse", "reference.place", "did you mean 'base'"),
        (_BOLT, "base.left", "reference.place", "of which there is one"),
        (("column", 1, "stack", 1), "cheek.rigth", "reference.place", "did you mean 'right'"),
        (("column", 0, "stack", 2), "arm.5", "reference.place", "there are 1, 2, 3, 4"),
        (_BOLT, "motor", "reference.equipment", "'motor.motor'"),
        (_BOLT, "motor.bell", "reference.equipment", "there are motor"),
        (_BOLT, "moter.motor", "reference.equipment", "did you mean 'motor'"),
        (_BOLT, "nut M3 press in bas", "reference.place", "did you mean 'base'"),
        (_BOLT, "nut M3 press in cheek", "reference.place", "does not go through"),
        (_BOLT, "screw M3 sockett 12.9", "hardware.unknown", "M3 socket"),
        (_BOLT, "screw M3 socket 12.8", "hardware.unknown", "12.9"),
        (_BOLT, "screw M3x17.5 socket 12.9", "hardware.length", "16, 18"),
        (_BOLT, "screw M7 socket 12.9", "hardware.unknown", "M7"),
        (_BOLT, "nut M3 insrt", "hardware.unknown", "M3 insert"),
        (_BOLT, "washer M3 largge", "hardware.unknown", "M3 large"),
        (_BOLT, "standoff M3x21", "hardware.length", "20, 22"),
        (_BOLT, "standoff M5x20", "hardware.unknown", "M5"),
        (_BOLT, "spacer M3x5 steele", "hardware.unknown", "M3"),
        (("equipment", 0, "use", "motor"), "motor_2270", "reference.catalogue", "motor_2207"),
        (("equipment", 0, "at_mm"), [0, 0], "equipment.position", "left out"),
        (("equipment", 0, "on"), "arn", "reference.place", "did you mean 'arm'"),
        (("equipment", 0, "through"), ["base", "arn"], "reference.place", "did you mean 'arm'"),
        (("equipment", 0, "pattern"), "16x61", "reference.catalogue", "16x16"),
        (("tab", 0, "of"), "base", "reference.place", "stands on edge"),
        (("tab", 0, "into", 0), "cheek", "reference.place", "lies on a level"),
        (("key", 0, "of"), "base", "reference.place", "goes to the rotors"),
        (("key", 0, "of"), "ram", "reference.place", "unknown place 'ram'"),
    ],
)
def test_each_name_is_looked_up(path: tuple[str | int, ...], value: object, code: str, words: str) -> None:
    found = problems_of(changed(path, value))
    message = next(text for where, its_code, text in found if where[: len(path)] == path and its_code == code)
    assert words in message
    assert message.endswith((".", "?"))


@pytest.mark.parametrize(
    ("path", "value", "where", "code", "words"),
    [
        (("part", 0, "polygons"), None, ("part", 0), "outline.source", "has no outline"),
        (("part", 0, "drawing"), "a.dxf", ("part", 0), "outline.source", "has both"),
        (("part", 1, "nodes", 1, "id"), "a", ("part", 1, "nodes"), "record.duplicate", "2 nodes with the id 'a'"),
        (("part", 1, "links", 0, "end"), "a", ("part", 1, "links", 0), "outline.nodes", "join two nodes"),
        (("place", 2, "foot"), None, ("place", 2), "place.stands", "needs foot"),
        (("place", 2, "to"), "rotors", ("place", 2, "to"), "place.stands", "cannot lead"),
        (("place", 2, "mirror"), "xy", ("place", 2, "mirror"), "place.stands", "must be x or y"),
        (("place", 1, "mirror"), "y", ("place", 1, "mirror"), "place.arms", "at every rotor already"),
        (("place", 0, "foot"), "base", ("place", 0, "foot"), "place.stands", "leave foot out"),
        (("column", 1, "axis"), "x", ("place", 2), "place.stands", "needs offset_mm"),
        (("place", 0, "id"), "motor", ("place", 0, "id"), "record.duplicate", "piece of equipment"),
        (("column", 0, "sets_level", 0), "cheek", ("column", 0, "sets_level", 0), "reference.place", "goes through"),
    ],
)
def test_what_a_record_needs(
    path: tuple[str | int, ...], value: object, where: tuple[str | int, ...], code: str, words: str
) -> None:
    assert any(found[:2] == (where, code) and words in found[2] for found in problems_of(changed(path, value)))


def test_a_record_left_out_counts_as_known() -> None:
    values = changed(("column", 0, "stack", 3), "ghost")
    assert [code for _, code, _ in problems_of(values)] == ["reference.place"]
    assert problems_of(values, frozenset({"ghost"})) == []
