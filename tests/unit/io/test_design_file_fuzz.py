"""Whatever a file holds, reading it gives a design or a `DesignFileError` with sentences fit to print."""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from platewright.foundation.errors import DesignFileError
from platewright.io.design_file import read_tree, resolve
from platewright.model.catalogue import load_catalogue
from platewright.model.design import Design
from platewright.model.problem_codes import PROBLEM_CODES

CATALOGUE = load_catalogue()
FRAME = """format = 1
place = [
  { id = "base", part = "plate" },
  { id = "arm", part = "arm", root_mm = [16, 12], to = "rotors" },
  { id = "cheek", part = "plate", stands = "xz", foot = "base", mirror = "y", offset_mm = 9 },
]
[frame]
name = "Heddle"
[parameters]
a_mm = "2 * b_mm"
b_mm = 6
top_mm = "level.base.top_mm + rotor.1.x_mm"
[rotors]
fore_aft_mm = 160
lateral_mm = 144
[[part]]
id = "arm"
kind = "arm"
material = "plate_woven_qi"
thickness_mm = 5
nodes = [{ id = "root", at_mm = [0, 0], radius_mm = "b_mm" },
  { id = "tip", at_mm = ["arm.reach_mm", 0], radius_mm = 9 }]
links = [{ start = "root", end = "tip", width_mm = "a_mm" }]
webs = [{ nodes = ["root", "tip", "root"] }]
cutouts = [{ shape = "circle", at_mm = ["top_mm", 0], diameter_mm = 3 }]
marks = [{ text = "A", at_mm = [1, 1], height_mm = 2 }]
[[part]]
id = "plate"
kind = "base"
material = "plate_woven_qi"
thickness_mm = 2
polygons = [{ points_mm = [[50, 20], [-50, 20], [0, -9]] }]
[[column]]
id = "inner"
of = "arm"
at_mm = [8, 0]
sets_level = ["base"]
stack = ["screw M3 socket 12.9", "base", "arm", "nut M3 flanged-insert", "motor.motor"]
[[equipment]]
id = "motor"
use = { motor = "motor_2207" }
at = "rotors"
stack = ["screw M3x8 socket 12.9", "arm access 6", "motor.motor"]
[[tab]]
id = "feet"
of = "cheek"
into = ["base"]
along_mm = [4]
length_mm = 3
[[key]]
id = "arms"
of = "arm"
[checks]
cutter_mm = 2
"""
VALUES = tomllib.loads(FRAME)
QUIET = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
_WORDS = [
    "",
    "arm",
    "base",
    "id",
    "rotors",
    "circle",
    "polygon",
    "a_mm",
    "drop",
    "xz",
    "y",
    "gap",
    "follow",
    "cutouts",
    "nan",
]
_TEXTS = st.sampled_from(
    [
        "1/0",
        "a_mm",
        "level.base.top_mm",
        "rotor.9.x_mm",
        "arm.reach_mm",
        "cheek.reach_mm",
        "c_mm + (",
        "1e9*9",
        "\x1b[3m",
        "../x",
        *_WORDS,
    ]
)
_LEAVES = (
    st.integers(-3, 5000)
    | st.floats()
    | st.booleans()
    | _TEXTS
    | st.text(max_size=5)
    | st.sampled_from([10**400, -(10**25)])
)
_VALUES = st.recursive(
    _LEAVES,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from(_WORDS), inner, max_size=3),
    max_leaves=6,
)


def paths_of(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    items: Any = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [found for key, inner in items for found in ((*path, key), *paths_of(inner, (*path, key)))]


@st.composite
def mutated(draw: st.DrawFn) -> dict[str, Any]:
    """The frame with a few values replaced, removed, added or put in each other's place."""
    values = copy.deepcopy(VALUES)
    for _ in range(draw(st.integers(1, 4))):
        path = draw(st.sampled_from(paths_of(values) or [("format",)]))
        inner: Any = values
        for key in path[:-1]:
            inner = inner[key]
        what = draw(st.sampled_from(["replace", "replace", "remove", "add", "double"]))
        if what == "remove" and path[-1] in (inner if isinstance(inner, dict) else range(len(inner))):
            del inner[path[-1]]
        elif what == "add" and isinstance(inner, dict):
            inner[draw(st.sampled_from(_WORDS)) or "other"] = draw(_VALUES)
        elif what == "double" and isinstance(inner, list):
            inner.append(copy.deepcopy(inner[-1]))
        else:
            inner[path[-1]] = draw(_VALUES)
    return values


def read(path: Path) -> Design | None:
    """The design of a file; None for a design file error that is fit to print."""
    try:
        return resolve(read_tree(path), CATALOGUE)
    except DesignFileError as error:
        problems = error.problems
    assert problems
    for problem in problems:
        assert problem.code in PROBLEM_CODES
        assert str(problem).isprintable()
        assert problem.message.endswith((".", "?", "..."))
        assert not any(word in problem.message for word in ("Input should", "pydantic", "valid tuple", "Traceback"))
    return None


def test_the_frame_itself_is_read(tmp_path: Path) -> None:
    path = tmp_path / "frame.toml"
    path.write_text(FRAME, encoding="utf-8")
    assert read(path) is not None


@QUIET
@given(mutated())
def test_mutated_files(tmp_path: Path, values: dict[str, Any]) -> None:
    path = tmp_path / "frame.toml"
    path.write_text(tomlkit.dumps(values), encoding="utf-8", errors="replace")
    read(path)


@QUIET
@given(st.integers(0, len(FRAME)), st.integers(0, 6), st.text(alphabet='[]{}=",.#\n\\ a1\0é', max_size=4))
def test_mutated_text(tmp_path: Path, start: int, length: int, new: str) -> None:
    path = tmp_path / "frame.toml"
    path.write_text(FRAME[:start] + new + FRAME[start + length :], encoding="utf-8")
    read(path)


@QUIET
@given(st.binary(max_size=60))
def test_any_bytes(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "frame.toml"
    path.write_bytes(data)
    assert read(path) is None


@QUIET
@given(mutated())
def test_mutated_variants(tmp_path: Path, values: dict[str, Any]) -> None:
    (tmp_path / "parent.toml").write_text(FRAME, encoding="utf-8")
    values["include"] = ["parent.toml"]
    (tmp_path / "frame.toml").write_text(tomlkit.dumps(values), encoding="utf-8", errors="replace")
    read(tmp_path / "frame.toml")


def test_levels_given_later(tmp_path: Path) -> None:
    path = tmp_path / "frame.toml"
    path.write_text(FRAME, encoding="utf-8")
    with pytest.raises(DesignFileError, match=r"unknown name 'level\.base\.top_mm'"):
        resolve(read_tree(path), CATALOGUE, levels={})
