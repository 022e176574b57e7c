"""`fly` of design files: numbers, JSON, pictures, tables, and what cannot be flown."""

import functools
import json
import re
from pathlib import Path

import jsonschema
import pytest

from platewright.app.fly import fly, fly_json, write_flight
from platewright.app.result_schemas import result_schema
from platewright.cli.main import main
from platewright.foundation.errors import RequestError

ROOT = Path(__file__).parents[3]
DESIGNS = [*sorted((ROOT / "examples").glob("*.toml")), *sorted((ROOT / "tests" / "designs").glob("*.toml"))]
HEDDLE = ROOT / "examples" / "heddle.toml"


@functools.cache
def flown(path=HEDDLE, speeds=None):
    return fly(path, speeds=speeds)


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
def test_every_design_flies(path):
    result = flown(path).result
    flies = [r for r in result.forward.rows if r.state == "flies"]
    assert len(flies) > 8
    assert flies[0].speed_m_s == 0
    assert abs(flies[0].tilt_deg) < 0.5
    tilts = [r.tilt_deg for r in flies]
    assert tilts == sorted(tilts)
    assert 0.005 < result.wash.lost_percent / 100 < 0.10
    assert sum(r.share_percent for r in result.drag) == pytest.approx(100)
    assert len(result.stance.rows) == 5
    assert re.search(r"\d", result.stance.answer)


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
def test_moments_add_up_and_bands_hold_the_best_estimate(path):
    for row in flown(path).result.forward.rows:
        if row.state != "flies":
            assert row.tilt_deg is None
            continue
        parts = (row.wakes_n_mm, row.discs_n_mm, row.drag_n_mm, row.centre_n_mm)
        assert row.moment_n_mm == pytest.approx(sum(parts), abs=1e-6)
        for value, band in (
            (row.tilt_deg, row.tilt_band_deg),
            (row.power_w, row.power_band_w),
            (row.eaten_percent, row.eaten_band_percent),
            (row.rear_lost_percent, row.rear_lost_band_percent),
        ):
            assert band is None or band[0] <= value <= band[1]


def test_json_has_the_form_of_its_schema():
    data = json.loads(fly_json(flown().result))
    jsonschema.Draft202012Validator(result_schema("fly")).validate(data)
    assert data["frame"] == "Heddle"
    assert data["stance"]["rows"][0]["pull_outs"][0]["load_g"] == 2


def test_speeds_asked_for_are_those_given():
    rows = flown(HEDDLE, 4).result.forward.rows
    assert [r.speed_m_s for r in rows] == pytest.approx([0, 15, 30, 45])
    usual = {r.speed_m_s: r for r in flown().result.forward.rows}
    assert rows[1].tilt_deg == pytest.approx(usual[15.0].tilt_deg, abs=0.01)


@pytest.mark.parametrize("speeds", [1, 0, 201])
def test_a_number_of_speeds_out_of_range(speeds):
    with pytest.raises(RequestError, match=f"between 2 and 200 \\(got {speeds}\\)"):
        fly(HEDDLE, speeds=speeds)


def test_without_a_propeller_it_says_so(tmp_path, capsys):
    path = tmp_path / "box.toml"
    path.write_text('format = 1\n[frame]\nname = "Box"\n[rotors]\nfore_aft_mm = 200\nlateral_mm = 200\n')
    assert main(["fly", str(path)]) == 1
    said = capsys.readouterr()
    assert (
        said.err
        == "'box.toml' cannot be flown: it must carry a motor, a propeller and a battery; add what is missing.\n"
    )
    assert said.out == ""


def test_a_frame_that_cannot_hover_says_so(tmp_path, capsys):
    path = tmp_path / "weak.toml"
    for name in ("heddle.toml", "common/base_plates.toml"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes((ROOT / "examples" / name).read_bytes())
    path.write_text('format = 1\ninclude = ["heddle.toml"]\n[drive]\nkv_rpm_per_v = 150\n')
    assert main(["fly", str(path), "--json", "--out", str(tmp_path / "out")]) == 1
    said = capsys.readouterr()
    wanted = "'weak.toml' cannot be flown: the craft of 0.57 kg cannot hover: each motor must have 69.8 V and"
    assert said.err.startswith(wanted)
    assert said.out == ""
    assert not (tmp_path / "out").exists()


def test_pictures_are_written_whole_and_the_same_each_time(tmp_path):
    names = write_flight(flown(), tmp_path / "out")
    pictures = {"authority", "control", "download", "power", "stance", "wakes"}
    assert set(names) == {f"{p}.{e}" for p in pictures for e in ("svg", "png")} | {"fly.json", "manifest.json"}
    first = {n: (tmp_path / "out" / n).read_bytes() for n in names}
    write_flight(flown(), tmp_path / "out")
    assert {n: (tmp_path / "out" / n).read_bytes() for n in names} == first
    assert "20 mm longer" in first["stance.svg"].decode()
    assert "30 m/s" in first["wakes.svg"].decode()


def test_the_command_prints_tables(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "180")
    assert main(["fly", str(HEDDLE), "--speeds", "4"]) == 0
    text = capsys.readouterr().out
    for head in ("Level flight", "Pull-out", "What spacing buys", "what to slim first", "Vortex-ring region"):
        assert head in text
    assert "-0.0 " not in text


def test_the_command_prints_json(capsys):
    assert main(["fly", str(HEDDLE), "--speeds", "2", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["rotors"] == 4
