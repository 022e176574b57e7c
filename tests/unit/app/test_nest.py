"""Nesting kits of the examples: files for other readers, whole or not at all, gone on with, refused in sentences."""

import csv
import json
import math
import subprocess
import sys
import time
from decimal import Decimal
from pathlib import Path

import ezdxf
import jsonschema
import pytest

from platewright.app.load import load
from platewright.app.nest import nest, nest_json
from platewright.app.result_schemas import result_schema
from platewright.cli import main
from platewright.foundation.errors import RequestError
from platewright.geometry.loops import cut_length

ROOT = Path(__file__).parents[3]
EXAMPLES = ROOT / "examples"
FRAMES = [EXAMPLES / "heddle.toml", EXAMPLES / "bobbin.toml"]


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    out = tmp_path_factory.mktemp("nest") / "sheets"
    return nest(FRAMES, [2, 3], out, seconds=0), out


def test_every_piece_of_every_kit_is_there(made):
    report, _ = made
    found = [(p.frame, p.part) for row in report.groups for sheet in row.sheets for p in sheet.pieces]
    for path, kits in zip(FRAMES, (2, 3), strict=True):
        for name, finished in load(path).assembly.parts.items():
            assert found.count((path.stem, name)) == kits * finished.quantity
    assert len(found) == report.pieces


def test_the_dxf_holds_the_pieces_in_full(made):
    """Cut length of each sheet as another reader measures it, against the outlines."""
    report, out = made
    parts = {(f.stem, n): p.outline for f in FRAMES for n, p in load(f).assembly.parts.items()}
    for row in report.groups:
        for sheet in row.sheets:
            space = ezdxf.readfile(out / f"{sheet.id}.dxf").modelspace()
            length = sum(_length(e) for e in space if e.dxf.layer in ("CUT_OUTSIDE", "CUT_INSIDE", "HOLES"))
            expected = sum(cut_length(parts[p.frame, p.part]) for p in sheet.pieces)
            assert length == pytest.approx(expected, rel=1e-9)


def _length(entity):
    if entity.dxftype() == "CIRCLE":
        return 2 * math.pi * entity.dxf.radius
    total, points = 0.0, list(entity.get_points("xyb"))
    for (xa, ya, bulge), (xb, yb, _) in zip(points, points[1:] + points[:1], strict=True):
        chord, angle = math.hypot(xb - xa, yb - ya), 4 * math.atan(abs(bulge))
        total += chord if angle < 1e-12 else chord * angle / (2 * math.sin(angle / 2))
    return total


def test_fabric_lies_along_the_sheet_or_across(made):
    report, _ = made
    grains = {(f.stem, n): float(p.part.grain_deg) for f in FRAMES for n, p in load(f).assembly.parts.items()}
    for row in report.groups:
        for sheet in row.sheets:
            for p in sheet.pieces:
                assert math.remainder(p.turn_deg + grains[p.frame, p.part], 90) == pytest.approx(0, abs=1e-6)


def test_yield_price_and_rests(made):
    report, out = made
    sheets = [sheet for row in report.groups for sheet in row.sheets]
    assert sum(s.price for s in sheets) == report.price
    assert all(s.price == 0 for s in sheets if s.is_offcut)
    assert report.price > Decimal(0)
    for sheet in sheets:
        assert sheet.yield_percent == pytest.approx(100 * sheet.part_area_mm2 / (sheet.length_mm * sheet.width_mm))
    with (out / "rests.csv").open(newline="", encoding="utf-8") as file:
        rests = list(csv.DictReader(file))
    assert len(rests) == sum(1 for s in sheets if s.rest is not None)
    manifest = json.loads((out / "manifest.json").read_text(encoding="utf-8"))
    assert {"nest.json", "pieces.csv", "rests.csv"} < manifest["files"].keys()


def test_json_keeps_its_schema(made):
    jsonschema.validate(json.loads(nest_json(made[0])), result_schema("nest"))


def test_it_goes_on_from_what_the_folder_holds(tmp_path):
    out = tmp_path / "sheets"
    first = nest(FRAMES[1:], [4], out, seconds=0)
    after = nest(FRAMES[1:], [4], out, seconds=0, resume=True)
    assert placed(after) == placed(first)
    other = nest(FRAMES[1:], [5], out, seconds=0, resume=True)
    assert other.pieces > first.pieces
    (out / "nest.json").write_text("{", encoding="utf-8")
    assert placed(nest(FRAMES[1:], [5], out, seconds=0, resume=True)) == placed(other)


def test_a_killed_search_is_gone_on_with(tmp_path):
    """Killed without a warning; what had been found until then lies beside the folder and is no worse after it."""
    out = tmp_path / "sheets"
    command = "from platewright.cli import main; raise SystemExit(main())"
    given = ["nest", *map(str, FRAMES), "--quantity", "3", "--out", str(out), "--seconds", "60"]
    process = subprocess.Popen(
        [sys.executable, "-c", command, *given], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    search = tmp_path / ".sheets.search"
    deadline = time.monotonic() + 60
    while not search.is_file():
        assert time.monotonic() < deadline
        assert process.poll() is None
        time.sleep(0.02)
    process.kill()
    process.wait()
    left = json.loads(search.read_text(encoding="utf-8"))
    said = []
    report = nest(FRAMES, [3], out, seconds=0, resume=True, progress=said.append)
    first = next(row for row in report.groups if row.job == left[0]["job"])
    assert first.sheets[-1].used_length_mm <= left[0]["sheets"][-1]["used_length_mm"] + 1e-9
    assert not any("laying pieces" in text for text in said if text.startswith(f"{first.thickness_mm:g} mm"))
    assert [p.name for p in tmp_path.iterdir()] == ["sheets"]


def test_pieces_of_one_sheet_name_their_bits_where_they_differ(tmp_path):
    coaxial, bobbin = ROOT / "tests" / "designs" / "coaxial.toml", FRAMES[1]
    report = nest([bobbin, coaxial], [1], tmp_path / "sheets", EXAMPLES / "shop" / "shop.toml", seconds=0)
    (row,) = [row for row in report.groups if row.thickness_mm == 3]
    assert {(p.part, p.cutter_mm) for p in row.sheets[0].pieces} == {("base", 1.5), ("pad", 2.0)}
    assert row.spacing_mm == 3.0  # the thicker bit and the web
    picture = (tmp_path / "sheets" / f"{row.sheets[0].id}.svg").read_text(encoding="utf-8")
    assert "1 x bobbin/base (1.5 mm bit): " in picture
    assert "8 x coaxial/pad (2 mm bit): " in picture
    other = (tmp_path / "sheets" / "plate_woven_qi_5mm_1.svg").read_text(encoding="utf-8")
    assert "mm bit" not in other


def test_the_same_seed_and_tries_give_the_same_nest():
    one, other = (nest(FRAMES, [4], None, seed=7, tries=3) for _ in range(2))
    assert placed(one) == placed(other)
    first = nest(FRAMES, [4], None, seed=7, tries=0)
    assert used(one) <= used(first)


def used(report):
    return report.price, sum(row.sheets[-1].used_length_mm * row.sheets[-1].width_mm for row in report.groups)


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"seconds": -1.0}, "--seconds must be 0 to 86400"),
        ({"seconds": math.inf}, "--seconds must be 0 to 86400"),
        ({"seconds": math.nan}, "--seconds must be 0 to 86400"),
        ({"seed": -1}, "--seed must be 0 to 4294967295"),
        ({"tries": -1}, "--tries must be 0 to 100000"),
    ],
)
def test_options_out_of_range(keys, words):
    with pytest.raises(RequestError, match=words):
        nest(FRAMES, [1], None, **keys)


def placed(report):
    return [sheet.pieces for row in report.groups for sheet in row.sheets]


def shop(tmp_path, *changes):
    text = (EXAMPLES / "shop" / "shop.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ([("thickness_mm = 5\n", "thickness_mm = 4.5\n")], "the shop file has no sheet of 5 mm plate_woven_qi; add"),
        ([("length_mm = 500\nwidth_mm = 400\nclamps", "length_mm = 90\nwidth_mm = 60\nclamps")], "fits on no sheet"),
    ],
)
def test_what_cannot_be_nested_is_said_in_a_sentence_and_nothing_is_written(tmp_path, capsys, changes, words):
    out = tmp_path / "sheets"
    path = shop(tmp_path, *changes)
    assert main(["nest", str(FRAMES[0]), "--shop", str(path), "--out", str(out), "--seconds", "0"]) == 1
    assert words in capsys.readouterr().err
    assert sorted(p.name for p in tmp_path.iterdir()) == ["shop.toml"]


def test_quantities_must_fit_the_frames():
    with pytest.raises(RequestError, match="once for each of the 2 "):
        nest(FRAMES, [1, 2, 3], None)
    with pytest.raises(RequestError, match="1 to 10000"):
        nest(FRAMES, [0], None)
    with pytest.raises(RequestError, match="named twice"):
        nest([FRAMES[0], FRAMES[0]], [1], None)
    with pytest.raises(RequestError, match="more than the 20000"):
        nest(FRAMES, [5000], None)


@pytest.mark.parametrize("command", ["nest", "cost", "order"])
def test_kits_are_whole_numbers(command, tmp_path, capsys):
    """And one after another as well as apart."""
    out = [] if command == "cost" else ["--out", str(tmp_path / "out")]
    assert main([command, str(FRAMES[1]), *out, "--quantity", "2.5"]) == 2
    assert "2.5" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_the_command_shows_sheets(capsys):
    assert main(["nest", str(FRAMES[1]), "--quantity", "2", "--seconds", "0"]) == 0
    out = capsys.readouterr().out
    assert "2 x bobbin A" in out
    assert "EUR" in out
    assert main(["nest", str(FRAMES[1]), "--seconds", "0", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["pieces"] > 0


def test_without_a_shop_file_it_says_what_to_write(tmp_path):
    (tmp_path / "lone.toml").write_text((EXAMPLES / "bobbin.toml").read_text(encoding="utf-8"), encoding="utf-8")
    with pytest.raises(RequestError, match=r"there is no shop.toml beside 'lone.toml'"):
        nest([tmp_path / "lone.toml"], [1], None, seconds=0)
