"""Frames compared as a product line: what they share is found by shape, not by name or file."""

from __future__ import annotations

from pathlib import Path

import pytest

from frames import assembled_design, column, design, part, place, plate
from platewright.app.load import load
from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import RequestError
from platewright.study.line import line_study
from platewright.study.line_results import LineOptions, LineReport

ROOT = Path(__file__).parents[3]


def frames(*names: str) -> list[Assembly]:
    found = [ROOT / folder / f"{name}.toml" for name in names for folder in ("examples", "tests/designs")]
    return [load(path).assembly for path in found if path.exists()]


@pytest.fixture(scope="module")
def loom() -> LineReport:
    return line_study(frames("bobbin", "heddle", "shuttle"), LineOptions()).report


def test_frames_that_include_the_same_plates_compute_the_same_parts(loom: LineReport):
    shared = {p.uses[0].part: {u.frame for u in p.uses} for p in loom.parts if p.shared}
    assert shared == {name: {"Heddle", "Shuttle"} for name in ("base_lower", "base_upper", "cheek")}


def test_a_plate_drawn_turned_or_turned_over_under_another_name_is_the_same_part():
    """A plate with one cut corner, drawn upright; then as a quarter turn of it, then as its mirror image."""
    corners = [(30, -20), (30, 12), (22, 20), (-30, 20), (-30, -20)]
    drawn = {
        "Upright": (corners, 0.0),
        "Turned": ([(-y, x) for x, y in corners], 90.0),
        "Over": ([(-x, y) for x, y in reversed(corners)], 0.0),
        "Across": ([(-y, x) for x, y in corners], 0.0),
    }
    made = []
    for name, (points, grain) in drawn.items():
        sketch = part(f"deck_{name.lower()}", polygons=[{"points_mm": points}], grain_deg=grain)
        turned = name in ("Turned", "Across")
        post = column(
            "post", "screw M3 socket 12.9", "base", "top", "nut M3 insert", at=((10, 15) if turned else (15, 10),)
        )
        whole = design(plate("base", 4), sketch, place("top", f"deck_{name.lower()}"), post)
        named = whole.model_copy(update={"frame": whole.frame.model_copy(update={"name": name})})
        made.append(assembled_design(named))
    report = line_study(made, LineOptions()).report
    deck = next(p for p in report.parts if p.uses[0].part == "deck_upright")
    assert {u.frame: u.how for u in deck.uses} == {
        "Upright": "",
        "Turned": "turned -90.0 deg",
        "Over": "turned over, turned 180.0 deg",
    }
    across = next(p for p in report.near if p.second.part == "deck_across")
    assert [d.kind for d in across.differences] == ["direction"]
    assert across.advice == "Cut both along the same direction of the sheet, then check both frames."


def test_counts_of_what_is_stocked(loom: LineReport):
    assert loom.parts_apart == sum(
        len({u.part for u in p.uses if u.frame == f}) for p in loom.parts for f in loom.frames
    )
    assert loom.parts_stocked == loom.parts_apart - 3
    assert loom.hardware_apart == sum(len(row.pieces) for row in loom.hardware)
    assert loom.hardware_stocked == len({row.item for row in loom.hardware})
    both = next(row for row in loom.hardware if row.item == "washer M2")
    assert set(both.pieces) == {"Bobbin", "Heddle", "Shuttle"}


def test_a_hole_0_4_mm_off_is_named_with_its_place_and_what_the_merge_saves():
    """Hexa's and Coaxial's cheeks, two designs of ours, differ by the place of the camera's hole alone."""
    options = LineOptions(kits_per_month={"Hexa": 30.0, "Coaxial": 15.0}, lead_time_days=10, design_money=2.5)
    study = line_study(frames("hexa", "coaxial"), options)
    (pair,) = study.report.near
    assert (pair.first.part, pair.second.part, pair.how) == ("cheek", "cheek", "")
    (difference,) = pair.differences
    assert (difference.kind, difference.mm) == ("hole_moved", pytest.approx(0.4, abs=0.001))
    assert "2.20 mm hole" in difference.sentence
    assert "0.40 mm off" in difference.sentence
    assert pair.advice == "Move 1 hole by up to 0.40 mm, then check both frames."
    assert study.report.parts_merged == study.report.parts_stocked - 1
    saving = pair.saving
    assert (saving.items, saving.least_pieces, saving.money_per_batch, saving.mix_ups) == (1, 10, 2.5, 1)
    # Two cheeks a kit; Poisson with means 10 and 5 kits, 15 together: 15, 9 and 22 keep 95 %.
    assert saving.safety_apart == pytest.approx(2 * (15 - 10) + 2 * (9 - 5))
    assert saving.safety_together == pytest.approx(2 * (22 - 15))


def test_another_thickness_is_said(tmp_path: Path):
    text = (ROOT / "examples" / "bobbin.toml").read_text()
    assert text.count("thickness_mm = 1.5") >= 1
    other = tmp_path / "thick.toml"
    other.write_text(
        text.replace('name = "Bobbin"', 'name = "Thick"', 1).replace("thickness_mm = 1.5", "thickness_mm = 2.0")
    )
    report = line_study([*frames("bobbin"), load(other).assembly], LineOptions()).report
    pair = next(p for p in report.near if p.first.part == "deck")
    assert pair.differences[0].kind == "thickness"
    assert pair.differences[0].mm == pytest.approx(0.5)
    assert "Take 2 mm for both" in pair.advice


def test_nothing_nearer_than_wanted_is_near(loom: LineReport):
    assert loom.near == ()
    wide = line_study(frames("bobbin", "bobbin_tall"), LineOptions(within_mm=2.6)).report
    kinds = [d.kind for d in wide.near[0].differences]
    assert kinds.count("opening") == 2
    assert line_study(frames("bobbin", "bobbin_tall"), LineOptions(within_mm=2.0)).report.near == ()


def test_a_line_needs_two_frames_of_different_names():
    with pytest.raises(RequestError, match="two frames or more"):
        line_study(frames("bobbin"), LineOptions())
    with pytest.raises(RequestError, match="'Bobbin' twice"):
        line_study(frames("bobbin", "bobbin"), LineOptions())
    with pytest.raises(RequestError, match="no frame of the line is called 'Hedle'"):
        line_study(frames("bobbin", "heddle"), LineOptions(kits_per_month={"Hedle": 1.0}))
