"""From tree to design: names, levels, sentences, everything at once."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platewright.foundation.errors import DesignFileError, Problem
from platewright.io.design_file import read_design, read_tree, resolve
from platewright.model.catalogue import load_catalogue
from platewright.model.design import Design

CATALOGUE = load_catalogue()
FRAME = """format = 1
place = [
  { id = "base", part = "plate" },
  { id = "arm", part = "arm", root_mm = [16, 12], to = "rotors" },
  { id = "deck", part = "plate" },
]
[frame]
name = "Heddle"
[parameters]
double_mm = "2 * single_mm"
single_mm = 6
reach_mm = "arm.reach_mm - 10"
[rotors]
fore_aft_mm = 160
lateral_mm = 144
[[part]]
id = "arm"
kind = "arm"
material = "plate_woven_qi"
thickness_mm = 5
nodes = [
  { id = "root", at_mm = [0, 0], radius_mm = "single_mm" },
  { id = "tip", at_mm = ["arm.reach_mm", 0], radius_mm = 14 },
]
links = [{ start = "root", end = "tip", width_mm = "double_mm" }]
cutouts = [{ shape = "circle", at_mm = ["reach_mm", 0], diameter_mm = 3 }]
[[part]]
id = "plate"
kind = "base"
material = "plate_woven_qi"
thickness_mm = 2
polygons = [{ points_mm = [[50, 20], [-50, 20], [0, "-rotor.1.y_mm / 2"]] }]
[[column]]
id = "inner"
of = "arm"
at_mm = [8, 0]
stack = ["screw M3 socket 12.9", "base", "arm", "nut M3 flanged-insert", "standoff M3x20", "deck"]
"""


def design_of(tmp_path: Path, text: str = FRAME, **arguments: object) -> Design:
    """The design of a text."""
    path = tmp_path / "frame.toml"
    path.write_text(text, encoding="utf-8")
    return resolve(read_tree(path), CATALOGUE, **arguments)  # type: ignore[arg-type]


def problems_of(tmp_path: Path, *changes: tuple[str, str]) -> list[Problem]:
    """Problems of the frame above after some replacements, each of which must apply."""
    text = FRAME
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    with pytest.raises(DesignFileError) as caught:
        design_of(tmp_path, text)
    return list(caught.value.problems)


def one_problem(tmp_path: Path, *changes: tuple[str, str]) -> Problem:
    """The only problem."""
    (problem,) = problems_of(tmp_path, *changes)
    return problem


def test_parameters_and_computed_names(tmp_path: Path) -> None:
    design = design_of(tmp_path)
    reach = math.hypot(80 - 16, 72 - 12)  # from the root to the front left axis
    arm = design.part[0]
    assert arm.nodes[1].at_mm[0] == pytest.approx(reach, rel=1e-12)  # a few roundings
    assert arm.links[0].width_mm == 12.0
    assert design.parameters["reach_mm"] == pytest.approx(reach - 10, rel=1e-12)
    assert design.part[1].polygons[0].points_mm[2] == (0.0, -36.0)


def test_a_place_to_follow_gives_the_rotors(tmp_path: Path) -> None:
    text = FRAME.replace("fore_aft_mm = 160\nlateral_mm = 144", 'follow = "arm"')
    text = text.replace('to = "rotors"', 'to = "rotors", bearing_deg = "60 - 15", reach_mm = 100')
    design = design_of(tmp_path, text)
    expected = -(12 + 100 * math.sin(math.radians(45))) / 2
    assert design.part[1].polygons[0].points_mm[2][1] == pytest.approx(expected, rel=1e-12)


def test_other_parameters_may_be_tried(tmp_path: Path) -> None:
    design = design_of(tmp_path, parameters={"single_mm": 7.0})
    assert design.part[0].links[0].width_mm == 14.0


def test_a_parameter_to_try_must_exist(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="no parameter 'singl_mm'"):
        design_of(tmp_path, parameters={"singl_mm": 7.0})


def test_a_variant_with_a_misspelt_id_hears_which_record_was_meant(tmp_path: Path) -> None:
    text = FRAME + '[[part]]\nid = "armm"\nthickness_mm = 6\n'
    with pytest.raises(DesignFileError) as caught:
        design_of(tmp_path, text)
    assert [p.code for p in caught.value.problems] == ["key.missing", "key.missing"]
    assert all("to change 'arm' instead, write its id" in p.message for p in caught.value.problems)


def test_levels_stand_in_first_and_count_then(tmp_path: Path) -> None:
    text = FRAME.replace("thickness_mm = 2\n", 'thickness_mm = "level.deck.bottom_mm - level.base.top_mm + 0 * h_mm"\n')
    text = text.replace("single_mm = 6", 'single_mm = 6\nh_mm = "1 / (level.deck.top_mm - 10)"')
    path = tmp_path / "frame.toml"
    path.write_text(text, encoding="utf-8")
    tree = read_tree(path)
    assert tree.uses_levels
    first = resolve(tree, CATALOGUE)
    assert len(first.part) == 2  # 10 - 10 = 0 mm thick, and a division by zero: both follow from the stand-in
    levels = {f"level.{place}.{side}_mm": 0.0 for place in ("base", "arm", "deck") for side in ("bottom", "top")}
    second = resolve(tree, CATALOGUE, {**levels, "level.deck.bottom_mm": 3.5})
    assert second.part[1].thickness_mm == 3.5
    with pytest.raises(DesignFileError, match=r"must be 0\.3 to 12 mm"):
        resolve(tree, CATALOGUE, {**levels, "level.deck.bottom_mm": 25.0})


def test_a_frame_without_levels_says_so(tmp_path: Path) -> None:
    path = tmp_path / "frame.toml"
    path.write_text(FRAME, encoding="utf-8")
    assert not read_tree(path).uses_levels


@pytest.mark.parametrize(
    ("old", "new", "code", "line", "path", "words"),
    [
        ("thickness_mm = 5", "thickness_mm = 15", "value.range", 20, "part[0] (arm).thickness_mm",
         "must be 0.3 to 12 mm (got 15): a plate is from the thinnest sold"),
        ("radius_mm = 14", 'radius_mm = "5 - 8"', "value.range", 23, "part[0] (arm).nodes[1] (tip).radius_mm",
         "must be greater than 0 and at most 2000 mm (got -3 from '5 - 8')"),
        ("thickness_mm = 5", "thickness_mm = inf", "value.range", 20, "part[0] (arm).thickness_mm", "got inf"),
        ("thickness_mm = 5", "thicknes_mm = 5\nthickness_mm = 5", "key.unknown", 20, "part[0] (arm).thicknes_mm",
         "did you mean 'thickness_mm'?"),
        ("thickness_mm = 5\n", "", "key.missing", 16, "part[0] (arm).thickness_mm", "every part needs it"),
        ("thickness_mm = 5", "thickness_mm = true", "value.type", 20, "part[0] (arm).thickness_mm", "got true"),
        ("thickness_mm = 5", "thickness_mm = 1979-05-27", "value.type", 20, "part[0] (arm).thickness_mm", "date"),
        ('kind = "arm"', 'kind = "arms"', "value.choice", 18, "part[0] (arm).kind", "did you mean 'arm'?"),
        ('kind = "arm"', "kind = 3", "value.choice", 18, "part[0] (arm).kind", "(got 3)"),
        ("at_mm = [8, 0]", "at_mm = [8]", "value.count", 36, "column[0] (inner).at_mm", "two numbers"),
        ("at_mm = [8, 0]", "at_mm = [8, 0, 0]", "value.count", 36, "column[0] (inner).at_mm", "at most 2"),
        ("at_mm = [8, 0]", 'at_mm = [8, "0 0"]', "expression.invalid", 36, "column[0] (inner).at_mm[1]", "'0 0'"),
        ("at_mm = [8, 0]", 'at_mm = [[8, 0], [1, "x"]]', "expression.invalid", 36, "column[0] (inner).at_mm[1][1]",
         "unknown name 'x'"),
        ("at_mm = [8, 0]", 'at_mm = "8, 0"', "value.type", 36, "column[0] (inner).at_mm", "must be a list"),
        ('shape = "circle"', 'shape = "circel"', "value.choice", 26, "part[0] (arm).cutouts[0].shape",
         "did you mean 'circle'?"),
        ('shape = "circle", ', "", "key.missing", 26, "part[0] (arm).cutouts[0].shape", "every cut-out needs it"),
        ("diameter_mm = 3", "diameter_mm = 0", "value.range", 26, "part[0] (arm).cutouts[0].diameter_mm", "got 0"),
        ("diameter_mm = 3", "radius_mm = 3, diameter_mm = 1", "key.unknown", 26, "part[0] (arm).cutouts[0].radius_mm",
         "it has shape, at_mm, diameter_mm"),
        ('"standoff M3x20"', '"standoff M3"', "stack.words", 37, "column[0] (inner).stack", "item 5 must read"),
        ('name = "Heddle"', 'name = ""', "value.text", 8, "frame.name", "must not be empty"),
        ('name = "Heddle"', 'name = ["Heddle"]', "value.type", 8, "frame.name", "must be a text (got a list)"),
        ("fore_aft_mm = 160\n", "", "rotors.ways", 13, "rotors", "both fore_aft_mm and lateral_mm"),
        ("fore_aft_mm = 160", 'fore_aft_mm = 160\nfollow = "arm"', "rotors.ways", 13, "rotors", "in one way"),
        ("fore_aft_mm = 160", 'fore_aft_mm = 160\nturns = ["cw"]', "rotors.ways", 13, "rotors", "per rotor: 4"),
        ("root_mm = [16, 12], ", "", "place.arms", 4, "place[1] (arm)", "needs root_mm or root_radius_mm"),
        ("single_mm = 6", 'single_mm = "double_mm"', "expression.cycle", 10, "parameters.double_mm",
         "double_mm -> single_mm -> double_mm"),
        ("single_mm = 6", 'single_mm = "1 / (3 - 3)"', "expression.invalid", 11, "parameters.single_mm",
         "divide by zero"),
        ("single_mm = 6", "single_mm = [6]", "value.type", 11, "parameters.single_mm", "got a list"),
        ("single_mm = 6", "single_mm = 6\nmin = 3", "parameter.name", 12, "parameters.min", "no function"),
        ("fore_aft_mm = 160", 'fore_aft_mm = "arm.reach_mm"', "expression.early", 14, "rotors.fore_aft_mm",
         "parameters only"),
        ("fore_aft_mm = 160", 'fore_aft_mm = "reach_mm"', "expression.early", 14, "rotors.fore_aft_mm",
         "parameters only"),
        ("root_mm = [16, 12]", 'root_mm = [16, "level.deck.top_mm"]', "expression.early", 4, "place[1] (arm).root_mm",
         "parameters only"),
        ("diameter_mm = 3", 'diameter_mm = "rotor.5.x_mm"', "expression.invalid", 26,
         "part[0] (arm).cutouts[0].diameter_mm", "unknown name 'rotor.5.x_mm'"),
        ("diameter_mm = 3", 'diameter_mm = "level.dekc.top_mm"', "expression.invalid", 26,
         "part[0] (arm).cutouts[0].diameter_mm", "did you mean 'level.deck.top_mm'"),
        ("[frame]", "[checks]\ncutter = 2\n[frame]", "key.unknown", 8, "checks.cutter", "did you mean 'cutter_mm'?"),
        ("[frame]", '[[load_case]]\nid = "mine"\nloads = [{ rotor = 1, force_n = 1, direction = "inward" }]\n[frame]',
         "value.choice", 9, "load_case[0] (mine).loads[0].direction", "did you mean 'inwards'?"),
        ("[frame]", '[[load_case]]\nid = "mine"\nloads = [{ rotor = 1, force_n = 1e300 }]\n[frame]',
         "value.range", 9, "load_case[0] (mine).loads[0].force_n", "must be -1000000 to 1000000 N (got 1e+300)"),
        ("[frame]", "[notes]\na = 2\n[frame]", "key.unknown", 7, "notes", "is no key of this record"),
        ("[frame]\nname = \"Heddle\"\n", "", "key.missing", None, "frame", "every design needs it"),
    ],
)  # fmt: skip
def test_one_sentence_each(
    tmp_path: Path, old: str, new: str, code: str, line: int | None, path: str, words: str
) -> None:
    problem = one_problem(tmp_path, (old, new))
    assert (problem.code, problem.file, problem.line, problem.path) == (code, "frame.toml", line, path)
    assert words in problem.message
    assert problem.message.endswith((".", "?"))
    assert "pydantic" not in str(problem)
    assert "Input should" not in str(problem)


def test_problems_come_at_once_in_the_order_of_lines(tmp_path: Path) -> None:
    found = problems_of(
        tmp_path,
        ('part = "arm"', 'part = "amr"'),
        ("thickness_mm = 5", "thickness_mm = 15"),
        ('kind = "base"', 'kind = "bases"'),
        ('"nut M3 flanged-insert"', '"nut M3 flanged-insrt"'),
        ('end = "tip"', 'end = "tipp"'),
    )
    assert [(p.line, p.code) for p in found] == [
        (4, "reference.part"),
        (20, "value.range"),
        (25, "outline.nodes"),
        (29, "value.choice"),
        (37, "hardware.unknown"),
    ]


def test_what_follows_from_a_reported_problem_is_not_reported(tmp_path: Path) -> None:
    found = problems_of(tmp_path, ("single_mm = 6", 'single_mm = "unknown_mm"'), ('kind = "base"', "kind = 1"))
    assert [p.code for p in found] == ["expression.invalid", "value.choice"]


def test_two_circles_are_two_problems_however_many_use_them(tmp_path: Path) -> None:
    circles = 'single_mm = 6\na = "b"\nb = "c + a"\nc = "b"\nd = "a + e"\ne = "e"'
    found = problems_of(tmp_path, ("single_mm = 6", circles))
    assert [p.message.split(";")[0] for p in found] == [
        "uses itself in a circle: a -> b -> a",
        "uses itself in a circle: b -> c -> b",
        "uses itself in a circle: e -> e",
    ]


def test_a_long_chain_of_parameters_is_no_problem(tmp_path: Path) -> None:
    chain = "\n".join(f'p{i} = "p{i + 1} + 1"' for i in range(3000)) + "\np3000 = 1"
    design = design_of(tmp_path, FRAME.replace("single_mm = 6", f"single_mm = 6\n{chain}"))
    assert design.parameters["p0"] == 3001.0


def test_a_problem_of_an_included_value_names_its_file(tmp_path: Path) -> None:
    (tmp_path / "parent.toml").write_text(FRAME.replace("radius_mm = 14", "radius_mm = 0"), encoding="utf-8")
    child = 'format = 1\ninclude = ["parent.toml"]\n[[part]]\nid = "arm"\nthickness_mm = 50\n'
    (tmp_path / "child.toml").write_text(child, encoding="utf-8")
    with pytest.raises(DesignFileError) as caught:
        read_design(tmp_path / "child.toml", CATALOGUE)
    assert [(p.file, p.line, p.path) for p in caught.value.problems] == [
        ("child.toml", 5, "part[0] (arm).thickness_mm"),
        ("parent.toml", 23, "part[0] (arm).nodes[1] (tip).radius_mm"),
    ]


def test_text_of_the_file_is_shown_without_control_characters(tmp_path: Path) -> None:
    problem = one_problem(tmp_path, ('"standoff M3x20"', r'"standoff \u001b[31m\n' + "x" * 3000 + '"'))
    assert problem.message.isprintable()
    assert len(problem.message) <= 500
