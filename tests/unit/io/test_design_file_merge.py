"""Reading and including files."""

from __future__ import annotations

from pathlib import Path

import pytest

from platewright.foundation.errors import DesignFileError, Problem
from platewright.io.design_file import read_tree

PARENT = """format = 1
[frame]
name = "Heddle"
style = "freestyle"
[rotors]
fore_aft_mm = 160
lateral_mm = 150
turns = ["cw", "ccw", "cw", "ccw"]
[[part]]
id = "arm"
thickness_mm = 5
nodes = [{ id = "root", radius_mm = 8 }, { id = "tip", radius_mm = 14 }]
links = [{ start = "root", end = "tip", width_mm = 12 }]
[[part]]
id = "deck"
thickness_mm = 2
"""


def write(folder: Path, **files: str) -> Path:
    """Write files, `__` in a name for a folder; return the first."""
    paths = []
    for name, text in files.items():
        path = folder / (name.replace("__", "/") + ".toml")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        paths.append(path)
    return paths[0]


def problems_of(path: Path, root: Path | None = None) -> list[Problem]:
    """Problems of reading a file."""
    with pytest.raises(DesignFileError) as caught:
        read_tree(path, root)
    return list(caught.value.problems)


def one_problem(path: Path, root: Path | None = None) -> Problem:
    """The only problem of reading a file."""
    (problem,) = problems_of(path, root)
    return problem


def test_a_variant_changes_only_the_keys_it_gives(tmp_path: Path) -> None:
    child = 'format = 1\ninclude = ["parent.toml"]\n[frame]\nname = "Long"\n[[part]]\nid = "arm"\nthickness_mm = 6\n'
    tree = read_tree(write(tmp_path, child=child, parent=PARENT))
    assert tree.values["frame"] == {"name": "Long", "style": "freestyle"}
    assert [part["id"] for part in tree.values["part"]] == ["arm", "deck"]
    arm = tree.values["part"][0]
    assert arm["thickness_mm"] == 6
    assert len(arm["nodes"]) == 2
    assert tree.locate(("part", 0, "thickness_mm")) == ("child.toml", 7)
    assert tree.locate(("part", 0, "links", 0, "width_mm")) == ("parent.toml", 13)
    assert tree.locate(("frame", "style")) == ("parent.toml", 4)
    assert tree.locate(("part", 1)) == ("parent.toml", 14)


def test_nodes_merge_by_id_and_other_lists_are_replaced(tmp_path: Path) -> None:
    child = """format = 1
include = ["parent.toml"]
[[part]]
id = "arm"
nodes = [{ id = "tip", radius_mm = 15 }, { id = "mid", radius_mm = 9 }, { id = "root", drop = true }]
links = [{ start = "mid", end = "tip", width_mm = 11 }]
"""
    tree = read_tree(write(tmp_path, child=child, parent=PARENT))
    arm = tree.values["part"][0]
    assert arm["nodes"] == [{"id": "tip", "radius_mm": 15}, {"id": "mid", "radius_mm": 9}]
    assert arm["links"] == [{"start": "mid", "end": "tip", "width_mm": 11}]
    assert tree.locate(("part", 0, "nodes", 0, "radius_mm")) == ("child.toml", 5)


def test_drop_removes_a_record(tmp_path: Path) -> None:
    child = 'format = 1\ninclude = ["parent.toml"]\npart = [{ id = "deck", drop = true }]\n'
    tree = read_tree(write(tmp_path, child=child, parent=PARENT))
    assert [part["id"] for part in tree.values["part"]] == ["arm"]


def test_dropping_an_unknown_record_names_the_nearest(tmp_path: Path) -> None:
    child = 'format = 1\ninclude = ["parent.toml"]\npart = [{ id = "dekc", drop = true }]\n'
    problem = one_problem(write(tmp_path, child=child, parent=PARENT))
    assert (problem.code, problem.file, problem.line) == ("record.drop", "child.toml", 3)
    assert "did you mean 'deck'?" in problem.message


def test_drop_stands_alone(tmp_path: Path) -> None:
    child = 'format = 1\ninclude = ["parent.toml"]\npart = [{ id = "deck", drop = true, thickness_mm = 3 }]\n'
    assert "thickness_mm" in one_problem(write(tmp_path, child=child, parent=PARENT)).message


def test_another_way_of_the_rotors_replaces_the_included_one(tmp_path: Path) -> None:
    child = 'format = 1\ninclude = ["parent.toml"]\n[rotors]\nfollow = "arm"\n'
    tree = read_tree(write(tmp_path, child=child, parent=PARENT))
    assert tree.values["rotors"] == {"follow": "arm", "turns": ["cw", "ccw", "cw", "ccw"]}


def test_one_key_of_the_same_way_keeps_the_other(tmp_path: Path) -> None:
    child = 'format = 1\ninclude = ["parent.toml"]\n[rotors]\nfore_aft_mm = 184\n'
    rotors = read_tree(write(tmp_path, child=child, parent=PARENT)).values["rotors"]
    assert (rotors["fore_aft_mm"], rotors["lateral_mm"]) == (184, 150)


def test_a_key_of_the_rotors_that_is_no_way_keeps_the_way(tmp_path: Path) -> None:
    child = 'format = 1\ninclude = ["parent.toml"]\n[rotors]\ncoaxial = true\n'
    rotors = read_tree(write(tmp_path, child=child, parent=PARENT)).values["rotors"]
    assert (rotors["fore_aft_mm"], rotors["coaxial"]) == (160, True)


def test_a_file_included_by_two_ways_counts_once(tmp_path: Path) -> None:
    top = 'format = 1\ninclude = ["a.toml", "sub/b.toml"]\n'
    a = 'format = 1\ninclude = ["common.toml"]\n[parameters]\nx_mm = 2\n'
    b = 'format = 1\ninclude = ["../common.toml"]\n'
    tree = read_tree(write(tmp_path, top=top, a=a, sub__b=b, common="format = 1\n[parameters]\nx_mm = 1\n"))
    assert tree.values["parameters"] == {"x_mm": 2}
    assert [source.name for source in tree.files] == ["common.toml", "a.toml", "sub/b.toml", "top.toml"]


def test_a_circle_of_includes_names_its_chain(tmp_path: Path) -> None:
    files = {name: f'format = 1\ninclude = ["{other}.toml"]\n' for name, other in (("a", "b"), ("b", "c"), ("c", "b"))}
    problem = one_problem(write(tmp_path, **files))
    assert (problem.code, problem.file, problem.line) == ("include.cycle", "c.toml", 2)
    assert "b.toml -> c.toml -> b.toml" in problem.message


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ('"../outside.toml"', "leads out of it"),
        ('"/etc/hosts"', "relative"),
        (r'"C:\\base.toml"', "relative"),
        ('"link.toml"', "leads out of it"),
        ('"none.toml"', "does not exist"),
        ('"sub"', "is a folder"),
        ('""', "name of a file"),
        ("3", "name of a file"),
        (r'"a\u0000b"', "can"),
    ],
)
def test_includes_that_cannot_be_read(tmp_path: Path, entry: str, words: str) -> None:
    root = tmp_path / "root"
    write(tmp_path, outside="format = 1\n")
    top = write(root, top=f"format = 1\ninclude = [{entry}]\n")
    (root / "sub").mkdir()
    (root / "link.toml").symlink_to(tmp_path / "outside.toml")
    problem = one_problem(top)
    assert words in problem.message
    assert (problem.path, problem.file, problem.line) == ("include[0]", "top.toml", 2)


def test_a_wider_root_lets_includes_climb(tmp_path: Path) -> None:
    top = write(tmp_path, frames__top='format = 1\ninclude = ["../base.toml"]\n', base="format = 1\n")
    assert read_tree(top, root=tmp_path).files[0].name == "../base.toml"


def test_a_drawing_is_named_from_the_folder_of_the_design(tmp_path: Path) -> None:
    base = 'format = 1\npart = [{ id = "arm", drawing = "arm.dxf" }]\n'
    top = write(tmp_path, top='format = 1\ninclude = ["common/base.toml"]\n', common__base=base)
    (tmp_path / "common/arm.dxf").write_text("")
    assert read_tree(top).values["part"][0]["drawing"] == "common/arm.dxf"


@pytest.mark.parametrize(
    ("drawing", "words"), [("../../x.dxf", "leads out of it"), ("none.dxf", "does not exist"), ("/x.dxf", "relative")]
)
def test_a_drawing_that_cannot_be_reached(tmp_path: Path, drawing: str, words: str) -> None:
    problem = one_problem(write(tmp_path, top=f'format = 1\npart = [{{ id = "arm", drawing = "{drawing}" }}]\n'))
    assert (problem.code, problem.line) == ("drawing.path", 2)
    assert words in problem.message


@pytest.mark.parametrize(
    ("text", "code", "line", "words"),
    [
        ("[frame]\n", "file.format", 1, "begin the file with format = 1"),
        ("format = 2\n", "file.format", 1, "got 2"),
        ("format = true\n", "file.format", 1, "got True"),
        ("format = 1\n\nname = = 3\n", "file.syntax", 3, "not valid TOML"),
        ("format = 1\nx = [1,\n", "file.syntax", 2, "not valid TOML"),
        ("format = 1\na = 1\na = 2\n", "file.syntax", 3, "not valid TOML"),
        ("format = 1\nx = " + "[" * 3000 + "]" * 3000 + "\n", "file.syntax", None, "too deeply"),
        ('format = 1\npart = "arm"\n', "record.form", 2, "[[part]]"),
        ("format = 1\nplace = [1]\n", "record.form", 2, "[[place]]"),
        ("format = 1\nframe = 3\n", "record.form", 2, "[frame]"),
        ('format = 1\n[[part]]\nkind = "arm"\n', "record.id", 2, "needs an id"),
        ('format = 1\n[[part]]\nid = "a"\n[[place]]\nid = "a"\n[[part]]\nid = "a"\n', "record.duplicate", 7, "'a'"),
        ('format = 1\npart = [{ id = "a", nodes = [{ id = "n" }, { id = "n" }] }]\n', "record.duplicate", 2, "'n'"),
        ("format = 1\ninclude = 3\n", "include.path", 2, "list of file names"),
    ],
)
def test_files_that_are_wrong(tmp_path: Path, text: str, code: str, line: int | None, words: str) -> None:
    problem = one_problem(write(tmp_path, top=text))
    assert (problem.code, problem.file, problem.line) == (code, "top.toml", line)
    assert words in problem.message


def test_bytes_that_are_no_text(tmp_path: Path) -> None:
    path = tmp_path / "top.toml"
    path.write_bytes(b"format = 1\nname = '\xff'\n")
    problem = one_problem(path)
    assert (problem.code, problem.line) == ("file.unreadable", 2)
    assert "UTF-8" in problem.message


def test_a_file_that_is_too_large(tmp_path: Path) -> None:
    assert "at most 2 MB (got 2.1 MB)" in one_problem(write(tmp_path, top="# " + "x" * 2_100_000)).message


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    assert one_problem(tmp_path / "none.toml").code == "file.missing"
    assert one_problem(tmp_path).code == "file.unreadable"


def test_problems_of_all_files_come_at_once_sorted(tmp_path: Path) -> None:
    top = 'include = ["b.toml", "none.toml"]\n'
    found = problems_of(write(tmp_path, a=top, b='format = 1\n[[part]]\nkind = "x"\n[[part]]\nkind = "y"\n'))
    assert [(p.file, p.line, p.code) for p in found] == [
        ("a.toml", 1, "file.format"),
        ("a.toml", 1, "file.missing"),
        ("b.toml", 2, "record.id"),
        ("b.toml", 4, "record.id"),
    ]


def test_a_byte_order_mark_and_windows_lines_are_read(tmp_path: Path) -> None:
    path = tmp_path / "top.toml"
    path.write_bytes(b"\xef\xbb\xbfformat = 1\r\n[frame]\r\nname = 'x'\r\n")
    tree = read_tree(path)
    assert tree.locate(("frame", "name")) == ("top.toml", 3)
