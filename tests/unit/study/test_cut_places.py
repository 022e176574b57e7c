"""Each place that a finding about cutting names is ringed in the picture of its part; countersinks are in words."""

import re
from pathlib import Path

import pytest

from frames import assembled, column, part, place
from platewright.app.load import load
from platewright.geometry.loops import bounding_box
from platewright.io.drawing.cutting import cutting_svg
from platewright.study.cut_findings import cut_findings
from platewright.study.cut_places import countersink_words, part_cutting
from platewright.study.web_findings import web_findings

ROOT = Path(__file__).parents[3]
FRAMES = sorted([*(ROOT / "examples").glob("*.toml"), *(ROOT / "tests" / "designs").glob("*.toml")])
RINGED = ("cut.hole", "cut.slot", "cut.corner", "cut.sink", "corner.radius")


@pytest.mark.parametrize("path", FRAMES, ids=lambda p: p.stem)
def test_places_of_findings_are_ringed(path):
    assembly = load(path).assembly
    for finding in [*cut_findings(assembly), *web_findings(assembly)]:
        if not finding.where.startswith("part "):
            continue
        finished = assembly.parts[finding.where.removeprefix("part ")]
        places = part_cutting(assembly, finished).places
        if finding.code in RINGED:
            x, y = map(float, re.search(r"at \((-?[\d.]+), (-?[\d.]+)\)", finding.message).groups())
            assert any(abs(p.x - x) < 0.06 and abs(p.y - y) < 0.06 for p in places)
        if finding.code == "web.narrow":
            assert f"web {finding.value:.1f}" in [p.why for p in places]


def test_the_ring_of_a_web_lies_between_opening_and_edge():
    """An opening of 40 x 6 mm whose long side is 2.2 mm from the edge of a plate of 60 x 60."""
    slit = {"shape": "rectangle", "at_mm": [0, 24.8], "length_mm": 40, "width_mm": 6, "corner_mm": 1.2}
    made = part("base", cutouts=[slit]) + place("base", "base")
    assembly = assembled(made, column("post", "screw M3 socket 12.9", "base", "nut M3 insert", at=((10, 10),)))
    finished = assembly.parts["base"]
    (web,) = [p for p in part_cutting(assembly, finished).places if p.why.startswith("web")]
    assert web.why == "web 2.2"
    assert web.y == pytest.approx(28.9, abs=0.01)
    assert abs(web.x) <= bounding_box(finished.outline)[2]


def test_the_picture_says_countersinks_fabric_and_compensation():
    assembly = load(ROOT / "examples" / "shuttle.toml").assembly
    finished = assembly.parts["brace"]
    assert countersink_words(finished) == "2 x 6 mm at 90 deg in the lower face"
    svg = cutting_svg(finished, part_cutting(assembly, finished))
    for words in ("countersinks: 2 x 6 mm at 90 deg", "direction 1 of the fabric 0", "cut 0.05 mm larger"):
        assert words in svg
    assert countersink_words(assembly.parts["deck"]) == ""
