"""`strength` of a design file: JSON, pictures, tables."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from frames import equipment, two_plates
from platewright.app.strength import strength_json, strength_study, write_strength_pictures
from platewright.cli.main import main

POST = ("screw M3 socket 12.9", "base", "standoff M3x25", "deck", "screw M3x6 button 10.9")


def bounds(path: Path) -> tuple[list[float], list[float]]:
    """Return the least and largest coordinates of a model [m]."""
    data = path.read_bytes()
    accessor = json.loads(data[20 : 20 + int.from_bytes(data[12:16], "little")])["accessors"][0]
    return accessor["min"], accessor["max"]


@pytest.fixture
def frame(tmp_path: Path) -> Path:
    path = tmp_path / "box.toml"
    pieces = (*two_plates(*POST), equipment("battery", {"battery": "lipo_6s_1100"}, on="deck", at_mm=[0, 0, 2]))
    head = 'format = 1\n[frame]\nname = "Box"\n[rotors]\nfore_aft_mm = 200\nlateral_mm = 200\n'
    path.write_text(head + "\n".join(pieces), encoding="utf-8")
    return path


def test_json_and_pictures(frame: Path, tmp_path: Path) -> None:
    study = strength_study(frame, folder=tmp_path / "cache")
    read = json.loads(strength_json(study.strength))
    assert {c["case"] for c in read["cases"]} == {"belly landing", "battery landing"}
    assert read["cases"][0]["energy_j"] > 0
    assert len(read["modes"]) == 40
    written = write_strength_pictures(study, tmp_path / "out")
    assert all(p.stat().st_size > 100 for p in written)
    wanted = {"belly_landing.svg", "mode_1.png", "mode_1.glb", "speeds.svg", "speeds.png", "strength.json"}
    wanted |= {"belly_landing_failure.svg", "belly_landing_failure.png", "first_failure.svg", "first_failure.png"}
    assert {p.name for p in written} >= wanted
    weakest = min(study.strength.cases, key=lambda row: row.energy_j or 0.0)
    first = (tmp_path / "out" / "first_failure.svg").read_text(encoding="utf-8")
    assert f"{weakest.case}: plate " in first
    assert first == (tmp_path / "out" / f"{weakest.case.replace(' ', '_')}_failure.svg").read_text(encoding="utf-8")
    whole, one = (bounds(tmp_path / "out" / f"{n}.glb") for n in ("belly_landing_frame", "belly_landing"))
    # two plates 25 mm apart, in metres; one alone is as high as it bends
    assert whole[0][2] < one[0][2] + 0.02 < whole[1][2]
    assert whole[1][2] - whole[0][2] > max(0.02, one[1][2] - one[0][2])


def test_command_prints_tables(
    frame: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    assert main(["strength", str(frame)]) == 0
    out = capsys.readouterr().out
    for words in ("belly landing", "Free vibration", "titanium-5", "fails first"):
        assert words in out


def test_a_folder_that_is_a_file_is_said(frame: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "taken").write_text("x", encoding="utf-8")
    assert main(["strength", str(frame), "--out", str(tmp_path / "taken")]) == 1
    assert "cannot be written" in capsys.readouterr().err


def test_a_second_process_finds_the_reduced_parts(frame: Path, tmp_path: Path) -> None:
    first = strength_study(frame, folder=tmp_path / "cache")
    kept = sorted((tmp_path / "cache" / "reduced").glob("*.npz"))
    written = [p.stat().st_ino for p in kept]
    again = strength_study(frame, folder=tmp_path / "cache")
    assert len(kept) == 2
    assert [p.stat().st_ino for p in kept] == written
    assert again.strength == first.strength
