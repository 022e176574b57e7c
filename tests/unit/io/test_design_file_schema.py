"""The JSON Schema, the page of keys, and the reasons of ranges, against the records."""

from __future__ import annotations

import json
import tomllib
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from platewright.io.design_file.reasons import reason
from platewright.io.design_file.record_types import bounds_of
from platewright.io.design_file.reference_page import design_file_page
from platewright.io.design_file.schema import SCHEMA_FILE, all_records, file_schema, schema_text

ROOT = Path(__file__).parents[3]
VARIANT = """format = 1
include = ["heddle.toml"]
[frame]
mass_target_g = 95
[parameters]
arm_mm = "12 + 2"
[[part]]
id = "arm"
thickness_mm = "arm_mm / 2"
nodes = [{ id = "tip", radius_mm = 15 }]
[[place]]
id = "brace"
drop = true
"""
WHOLE = """format = 1
place = [{ id = "base", part = "base", at_mm = [0, "2 * 3"], over = true }]
[frame]
name = "Bobbin"
[rotors]
at_mm = [[50, 50], [-50, 50], [-50, -50], [50, -50]]
turns = ["cw", "ccw", "cw", "ccw"]
[[part]]
id = "base"
kind = "base"
material = "plate_woven_qi"
thickness_mm = 3
polygons = [{ points_mm = [[0, 0], [9, 0], [9, 9]], corner_mm = 1 }]
cutouts = [{ shape = "slot", start_mm = [0, 0], end_mm = [4, 0], width_mm = 2 }]
marks = [{ text = "BOBBIN A", at_mm = [0, 0], height_mm = 3 }]
[[column]]
id = "a"
at_mm = [1, 2]
stack = ["base"]
[[column]]
id = "b"
at_mm = [[1, 2], [3, "4"]]
stack = ["base"]
[[equipment]]
id = "motor"
use = { motor = "motor_1404" }
at = "rotors"
"""


def errors_of(text: str) -> list[str]:
    """Where a file does not keep the schema."""
    validator = jsonschema.Draft202012Validator(file_schema())
    return [error.json_path for error in validator.iter_errors(tomllib.loads(text))]


def test_shipped_schema_is_fresh() -> None:
    shipped = files("platewright.io.design_file").joinpath(SCHEMA_FILE).read_text(encoding="utf-8")
    assert shipped == schema_text()


def test_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(json.loads(schema_text()))


@pytest.mark.parametrize("text", [VARIANT, WHOLE])
def test_files_as_makers_write_them_keep_it(text: str) -> None:
    assert errors_of(text) == []


@pytest.mark.parametrize(
    "path",
    sorted(
        path
        for folder in ("examples", "tests/designs")
        for path in (ROOT / folder).rglob("*.toml")
        if path.name != "shop.toml"
        if path.parent.name != "parts"  # files of one part alone are no designs
    ),
    ids=lambda p: p.name,
)
def test_the_examples_keep_it(path: Path) -> None:
    assert errors_of(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ("format = 1", "format = 2", "$.format"),
        ("format = 1\n", "", "$"),
        ("thickness_mm = 3", "thickness_mm = 13", "$.part[0].thickness_mm"),
        ("thickness_mm = 3", "thicknes_mm = 3", "$.part[0]"),
        ('shape = "slot"', 'shape = "slto"', "$.part[0].cutouts[0]"),
        ("over = true", "over = 1", "$.place[0].over"),
        ('id = "a"\n', "", "$.column[0]"),
        ("at_mm = [1, 2]\n", "at_mm = [1, 2, 3]\n", "$.column[0].at_mm"),
    ],
)
def test_what_is_wrong_breaks_it(old: str, new: str, where: str) -> None:
    assert old in WHOLE
    assert where in errors_of(WHOLE.replace(old, new, 1))


def test_every_range_has_its_reason() -> None:
    missing = [
        f"{record.__name__}.{field}"
        for record in all_records()
        for field in record.model_fields
        if (bounds := bounds_of(record, field)) is not None and not reason(field, bounds)
    ]
    assert missing == []


def test_every_key_is_described() -> None:
    keys = [(r.__name__, name, info.description) for r in all_records() for name, info in r.model_fields.items()]
    assert [key for key in keys if not key[2]] == []


def test_page_of_keys_is_fresh_and_whole() -> None:
    page = (ROOT / "docs/reference/design_file.md").read_text(encoding="utf-8")
    assert page == design_file_page()
    keys: list[Any] = [name for record in all_records() for name in record.model_fields]
    assert all(f"| `{name}` |" in page for name in keys)
