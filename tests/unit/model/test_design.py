"""The design records."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from platewright.model.design import Column, Design, Equipment, Part, Place
from platewright.model.outline import CircleCutout, SlotCutout

PART: dict[str, Any] = {"id": "arm", "kind": "arm", "material": "plate_woven_qi", "thickness_mm": 5}


def test_any_number_may_be_an_expression() -> None:
    part = Part.model_validate({**PART, "thickness_mm": "t_mm / 2"}, context={"lookup": {"t_mm": 9.0}.__getitem__})
    assert part.thickness_mm == 4.5


def test_without_names_plain_arithmetic_works() -> None:
    assert Part.model_validate({**PART, "thickness_mm": "2 + 3"}).thickness_mm == 5.0
    with pytest.raises(ValidationError, match="unknown name"):
        Part.model_validate({**PART, "thickness_mm": "t_mm"})


@pytest.mark.parametrize("value", [True, "true", [5], None, float("inf"), float("nan"), 0.29, 12.01, 10**400])
def test_a_thickness_is_a_number_in_range(value: object) -> None:
    with pytest.raises(ValidationError):
        Part.model_validate({**PART, "thickness_mm": value})


@pytest.mark.parametrize("value", ["true", 1, "yes"])
def test_a_flag_is_true_or_false_alone(value: object) -> None:
    with pytest.raises(ValidationError):
        Place.model_validate({"id": "a", "part": "a", "over": value})


@pytest.mark.parametrize("name", ["Arm", "1arm", "arm-1", "", "a" * 41, "ärm"])
def test_identifiers(name: str) -> None:
    with pytest.raises(ValidationError):
        Part.model_validate({**PART, "id": name})


def test_unknown_keys_are_refused_and_records_frozen() -> None:
    with pytest.raises(ValidationError):
        Part.model_validate({**PART, "thicknes_mm": 5})
    with pytest.raises(ValidationError):
        Part.model_validate(PART).thickness_mm = 4.0


def test_one_point_stands_for_a_list_of_one() -> None:
    column = Column.model_validate({"id": "c", "at_mm": [3, "1 + 1"], "stack": ["gap"]})
    assert column.at_mm == ((3.0, 2.0),)
    column = Column.model_validate({"id": "c", "at_mm": [[3, 2], [1, 0]], "stack": ["gap"]})
    assert column.at_mm == ((3.0, 2.0), (1.0, 0.0))


def test_a_stack_reports_the_item_that_is_not_understood() -> None:
    with pytest.raises(ValidationError, match="item 2 must read 'nut"):
        Column.model_validate({"id": "c", "at_mm": [3, 2], "stack": ["gap", "nut M3"]})


def test_cutouts_are_told_apart_by_shape() -> None:
    cutouts = [
        {"shape": "circle", "at_mm": [0, 0], "diameter_mm": 3},
        {"shape": "slot", "start_mm": [0, 0], "end_mm": [5, 0], "width_mm": 3},
    ]
    part = Part.model_validate({**PART, "cutouts": cutouts})
    assert [type(cutout) for cutout in part.cutouts] == [CircleCutout, SlotCutout]


def test_equipment_takes_two_or_three_coordinates() -> None:
    for at_mm in ([1], [1, 2, 3, 4]):
        with pytest.raises(ValidationError):
            Equipment.model_validate({"id": "e", "use": {"a": "b"}, "at_mm": at_mm})
    assert Equipment.model_validate({"id": "e", "use": {"a": "b"}, "at_mm": [1, 2, 3]}).at_mm == (1.0, 2.0, 3.0)


def test_the_least_design() -> None:
    design = Design.model_validate({"format": 1, "frame": {"name": "Bobbin"}, "rotors": {"at_mm": [[1, 1]]}})
    assert design.checks.cutter_mm == 2.0
    assert design.part == ()
