"""Areas and openings of drawings that other programs wrote, against those programs' own numbers.

FreeCAD 0.20.2, Inkscape 1.2.2 and pstoedit 3.78, as packaged by Debian 12; tests/data/foreign/README.md says how each
file was made and where its numbers come from. Tolerance 1e-4 of the area where curves are splines, ellipses or round a
printer's grid, else 1e-6.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from platewright.app.read import Reading, ReadOptions, read
from platewright.foundation.errors import DrawingError

FOLDER = Path(__file__).parents[1] / "data" / "foreign"
TABLES = [path.read_text(encoding="utf-8").splitlines() for path in sorted(FOLDER.glob("*.csv"))]
ROWS = [row for table in TABLES for row in csv.DictReader(table)]
SILENT = (
    {row["file"] for row in ROWS}
    - {f"{n}_freecad_r14.dxf" for n in ("tray", "leaf", "sheet")}
    - {"wedge_pstoedit_r14.dxf"}
)


def understood(name: str) -> Reading:
    return read(FOLDER / name, ReadOptions(units="mm" if name in SILENT else None))


def test_every_file_has_its_numbers() -> None:
    assert sorted(path.name for path in FOLDER.glob("*.dxf")) == sorted(row["file"] for row in ROWS)


@pytest.mark.parametrize("row", ROWS, ids=[row["file"] for row in ROWS])
def test_area_plates_and_openings_are_the_other_programs(row: dict[str, str]) -> None:
    reading = understood(row["file"])
    smooth = bool(reading.smoothed) or "pstoedit" in row["file"]
    area = sum(plate.area_mm2 for plate in reading.plates)
    assert area == pytest.approx(float(row["area_mm2"]), rel=1e-4 if smooth else 1e-6)
    assert len(reading.plates) == int(row["plates"])
    assert sum(len(plate.plate.openings) for plate in reading.plates) == int(row["holes"])
    assert all(error <= 0.001 for _, _, error in reading.smoothed)


@pytest.mark.parametrize("name", sorted(SILENT))
def test_units_that_are_not_said_or_not_likely_are_asked_for(name: str) -> None:
    with pytest.raises(DrawingError, match=r"mm in mm, .* mm in inch; say which with --units mm \| cm \| m \| inch"):
        read(FOLDER / name)


@pytest.mark.parametrize(
    ("name", "kinds"),
    [
        ("tray_freecad_r12.dxf", ["antenna", "board 25.5x25.5", *["motor 12x12"] * 4, *["standoff pair"] * 2, "strap"]),
        ("tray_freecad_r14.dxf", ["antenna", "board 25.5x25.5", *["motor 12x12"] * 4, *["standoff pair"] * 2, "strap"]),
        ("leaf_freecad_r12.dxf", ["board 20x20", "standoff pair", "standoff pair"]),
        ("leaf_freecad_r14.dxf", ["board 20x20", "standoff pair", "standoff pair"]),
        ("sheet_freecad_r14.dxf", ["motor 16x16"]),
        ("paddle_inkscape_r12.dxf", ["antenna", "board 30.5x30.5", "standoff pair", "strap"]),
        ("paddle_inkscape_r14.dxf", ["antenna", "board 30.5x30.5", "standoff pair", "strap"]),
        ("crate_inkscape_r14.dxf", ["board 20x20", "standoff pair", "standoff pair"]),
    ],
)
def test_patterns_are_those_that_were_drawn(name: str, kinds: list[str]) -> None:
    seen = [p for plate in understood(name).plates if plate.seen for p in plate.seen.patterns if p.is_sure]
    assert sorted(f"{p.kind} {p.record}" if p.kind in ("motor", "board") else p.kind for p in seen) == sorted(kinds)


def test_lines_for_engraving_are_no_cuts_and_are_listed() -> None:
    (note,) = understood("paddle_inkscape_r14.dxf").notes
    assert (note.what, note.count, note.explained) == ("engraving", 2, True)


def test_four_arms_and_a_mirrored_pair_are_two_shapes() -> None:
    assert [plate.plate.like + 1 for plate in understood("sheet_freecad_r14.dxf").plates] == [1, 1, 1, 1, 5, 5]
