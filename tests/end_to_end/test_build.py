"""A whole build: complete, the same each time, and never half written."""

import csv
import hashlib
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import ezdxf
import pytest

from platewright.app.build import build
from platewright.cli import main
from platewright.foundation.errors import OutputError

ROOT = Path(__file__).resolve().parents[2]
BOBBIN = ROOT / "examples" / "bobbin.toml"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    out = tmp_path_factory.mktemp("build") / "bobbin"
    build(BOBBIN, out)
    return out


def contents(folder):
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_every_part_has_a_cut_file_and_a_sheet(folder):
    rows = list(csv.DictReader((folder / "parts_list.csv").read_text(encoding="utf-8").splitlines()))
    parts = [r for r in rows if r["kind"] == "part"]
    assert {r["item"] for r in parts} == {"base", "deck", "cheek"}
    for row in parts:
        (drawing,) = (folder / "cut").glob(f"{row['item']}_*mm_x{row['quantity']}.dxf")
        assert ezdxf.readfile(drawing).units == ezdxf.units.MM
        assert (folder / "drawings" / f"{row['item']}.pdf").read_bytes().startswith(b"%PDF")


def test_the_parts_list_names_every_screw_by_length_and_place(folder):
    text = (folder / "parts_list.txt").read_text(encoding="utf-8")
    assert "Screws" in text
    assert "motor x 16" in text
    assert "hex key" in text


def test_the_manifest_has_the_hash_of_every_file_and_the_cautions(folder):
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    files = contents(folder)
    del files["manifest.json"]
    assert set(manifest["files"]) == set(files)
    assert all(manifest["files"][n]["sha256"] == hashlib.sha256(b).hexdigest() for n, b in files.items())
    assert any("Carbon dust" in c for c in manifest["cautions"])
    assert manifest["design_files"] == ["bobbin.toml"]


def test_the_same_input_gives_the_same_bytes_in_another_process(folder, tmp_path):
    command = "from platewright.cli import main; raise SystemExit(main())"
    environment = {**os.environ, "PYTHONHASHSEED": "7", "TZ": "Pacific/Auckland"}
    out = tmp_path / "again"
    subprocess.run(
        [sys.executable, "-c", command, "build", str(BOBBIN), "--out", str(out)],
        check=True,
        capture_output=True,
        env=environment,
        cwd=tmp_path,
    )
    assert contents(out) == contents(folder)


def test_a_build_that_stops_half_way_leaves_the_old_one_whole(tmp_path):
    out = tmp_path / "kit"
    out.mkdir()
    (out / "manifest.json").write_text('{"platewright": "0", "files": {}}', encoding="utf-8")
    before = contents(out)

    def stop(what):
        if what == "parts list":
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        build(BOBBIN, out, progress=stop)
    assert contents(out) == before
    assert [p.name for p in tmp_path.iterdir()] == ["kit"]


def test_a_killed_build_leaves_the_old_one_whole_and_the_next_tidies_up(tmp_path, folder):
    out = tmp_path / "kit"
    out.mkdir()
    (out / "manifest.json").write_text('{"platewright": "0", "files": {}}', encoding="utf-8")
    before = contents(out)
    command = "from platewright.cli import main; raise SystemExit(main())"
    process = subprocess.Popen(
        [sys.executable, "-c", command, "build", str(BOBBIN), "--out", str(out)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    deadline = time.monotonic() + 60
    while not any(p.name.endswith(".new") and (p / "cut").is_dir() for p in tmp_path.iterdir()):
        assert time.monotonic() < deadline
        assert process.poll() is None
        time.sleep(0.005)
    process.send_signal(signal.SIGKILL)
    process.wait()
    assert contents(out) == before
    build(BOBBIN, out)
    assert contents(out) == contents(folder)
    assert [p.name for p in tmp_path.iterdir()] == ["kit"]


def test_a_folder_of_somebody_elses_files_is_left_alone(tmp_path, capsys):
    out = tmp_path / "letters"
    out.mkdir()
    (out / "dear.txt").write_text("aunt", encoding="utf-8")
    assert main(["build", str(BOBBIN), "--out", str(out)]) == 1
    assert "holds files that no build wrote" in capsys.readouterr().err
    assert (out / "dear.txt").read_text(encoding="utf-8") == "aunt"


def test_a_file_in_place_of_the_folder_is_refused(tmp_path):
    out = tmp_path / "kit"
    out.write_text("not a folder", encoding="utf-8")
    with pytest.raises(OutputError, match="is not a folder"):
        build(BOBBIN, out)


def test_an_invalid_design_writes_nothing(tmp_path, capsys):
    path = tmp_path / "frame.toml"
    path.write_text("format = 1\n", encoding="utf-8")
    assert main(["build", str(path), "--out", str(tmp_path / "kit")]) == 1
    assert "frame.toml" in capsys.readouterr().err
    assert not (tmp_path / "kit").exists()
