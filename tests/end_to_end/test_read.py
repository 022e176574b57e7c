"""`platewright read` from the command line, on drawings that other programs wrote."""

import shutil
from pathlib import Path

import pytest

from platewright.cli.main import main

FOREIGN = Path(__file__).parents[1] / "data" / "foreign"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "200")
    for name in ("tray_freecad_r14.dxf", "paddle_inkscape_r14.dxf", "sheet_freecad_r14.dxf"):
        shutil.copy(FOREIGN / name, tmp_path)
    return tmp_path


def test_tables_say_what_was_seen(folder, capsys):
    assert main(["read", "tray_freecad_r14.dxf"]) == 0
    out = capsys.readouterr().out
    assert out.count("motor 12x12") == 4
    assert "Everything in the drawing is explained." in out
    assert "123.00 x 113.00" in out


def test_part_picture_and_clean_drawing_are_written_and_check_takes_them(folder, capsys):
    words = ["read", "tray_freecad_r14.dxf", "--part", "tray.toml", "--thickness-mm", "4", "--picture", "tray.svg"]
    assert main([*words, "--id", "tray", "--kind", "base"]) == 0
    assert {"tray.toml", "tray.dxf", "tray.svg"} <= {path.name for path in folder.iterdir()}
    capsys.readouterr()
    assert main(["check", "tray.toml", "--json"]) in (0, 1)
    assert '"invalid"' not in capsys.readouterr().out
    assert main(["read", "tray.dxf"]) == 0  # the clean drawing is a drawing too


def test_part_can_go_to_the_terminal_alone(folder, capsys):
    words = ["read", "paddle_inkscape_r14.dxf", "--units", "mm", "--part", "-", "--drawing", "clean.dxf"]
    assert main([*words, "--thickness-mm", "2"]) == 0
    captured = capsys.readouterr()
    assert captured.out.startswith("# One plate, read from paddle_inkscape_r14.dxf")
    assert "Recognised" in captured.err


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["paddle_inkscape_r14.dxf"], "states no units"),
        (["none.dxf"], "does not exist"),
        (["tray_freecad_r14.dxf", "--part", "a.toml"], "needs --thickness-mm"),
        (
            ["tray_freecad_r14.dxf", "--part", "tray_freecad_r14.toml", "--thickness-mm", "2"],
            "must not take the place of",
        ),
        (["tray_freecad_r14.dxf", "--part", "-", "--thickness-mm", "2"], "needs --drawing"),
        (["tray_freecad_r14.dxf", "--picture", "a.gif"], "must end in .svg or .png"),
        (["tray_freecad_r14.dxf", "--drawing", "a.dxf"], "--drawing needs --part"),
        (["tray_freecad_r14.dxf", "--part", "a.txt", "--thickness-mm", "2"], "--part must end in .toml"),
        (["tray_freecad_r14.dxf", "--id", "A part"], "--id must be lower-case letters"),
        (["sheet_freecad_r14.dxf", "--part", "a.toml", "--thickness-mm", "2"], "say with --plate"),
        (["tray_freecad_r14.dxf", "--part", "a.toml", "--thickness-mm", "99"], "must be from 0.2 to 20 mm"),
    ],
)
def test_what_is_wrong_is_one_sentence_and_status_1(folder, capsys, words, sentence):
    before = sorted(path.name for path in folder.iterdir())
    assert main(["read", *words]) == 1
    error = capsys.readouterr().err.strip()
    assert sentence in error
    assert "\n" not in error
    assert sorted(path.name for path in folder.iterdir()) == before
