"""`platewright compare`: the same parts are found, what differs is said, a variant knows its parent."""

from __future__ import annotations

import itertools
import json
import re
from functools import cache
from pathlib import Path

import pytest

from platewright.app.compare import Compared, compare, compare_json, judged, parent_of, write_differences
from platewright.app.load import load
from platewright.app.workspace import cache_folder
from platewright.assembly.assemble import Assembly
from platewright.cli.main import main
from platewright.foundation.errors import RequestError
from platewright.study.compare import compare_frames
from platewright.study.results import CheckResult
from platewright.study.strength_store import StoredParts

EXAMPLES = Path(__file__).parents[3] / "examples"
ALL = sorted(EXAMPLES.glob("*.toml"))


@cache
def example(name: str) -> tuple[Assembly, CheckResult]:
    """Return an example with what is compared about it, worked out once."""
    assembly = load(EXAMPLES / f"{name}.toml").assembly
    return assembly, judged(assembly, StoredParts(cache_folder() / "reduced"))


def compared(first: str, second: str) -> Compared:
    """Return what `compare` does of two examples."""
    (one, one_check), (other, other_check) = example(first), example(second)
    return Compared(one, other, compare_frames(one, one_check, other, other_check))


@pytest.fixture(scope="module")
def frames() -> Compared:
    return compared("heddle", "shuttle")


@pytest.mark.parametrize("path", ALL, ids=lambda p: p.stem)
def test_a_frame_does_not_differ_from_itself(path: Path) -> None:
    c = compared(path.stem, path.stem).comparison
    assert {p.state for p in c.parts} == {"same"}
    assert all(p.how == "" for p in c.parts)
    assert all(n.difference == 0 for n in c.numbers)
    rest = (c.parameters, c.places, c.columns, c.hardware, c.findings_gone, c.findings_new, c.service)
    assert rest == ((),) * 7


def test_shared_parts_are_the_same_and_the_others_changed_or_new(frames: Compared) -> None:
    states = {p.first or p.second: p.state for p in frames.comparison.parts}
    assert states["base_lower"] == states["base_upper"] == states["cheek"] == "same"
    assert states["arm"] == states["deck"] == "changed"
    assert states["brace"] == "new"


def test_areas_added_and_removed_make_the_difference(frames: Compared) -> None:
    for part in frames.comparison.parts:
        if part.state == "changed":
            assert part.area_first_mm2 is not None
            assert part.area_second_mm2 is not None
            assert part.added_mm2 is not None
            assert part.removed_mm2 is not None
            change = part.area_second_mm2 - part.area_first_mm2
            # chords of 64 in a quarter circle: 1e-4 of the round parts' area
            assert part.added_mm2 - part.removed_mm2 == pytest.approx(change, abs=0.5)


def test_the_other_way_round_everything_changes_its_sign(frames: Compared) -> None:
    back = compared("shuttle", "heddle").comparison
    there = frames.comparison
    assert {(n.what, n.first, n.second) for n in there.numbers} == {(n.what, n.second, n.first) for n in back.numbers}
    assert {(h.what, h.first, h.second) for h in there.hardware} == {(h.what, h.second, h.first) for h in back.hardware}
    assert there.findings_gone == back.findings_new
    assert there.findings_new == back.findings_gone
    added = {p.first: (p.added_mm2, p.removed_mm2) for p in there.parts if p.state == "changed"}
    taken = {p.second: (p.removed_mm2, p.added_mm2) for p in back.parts if p.state == "changed"}
    for name, areas in added.items():
        assert areas == pytest.approx(taken[name])


def test_longer_arms_lengthen_the_wheelbase_twice() -> None:
    c = compare(EXAMPLES / "heddle_long.toml").comparison
    assert (c.first, c.second) == ("Heddle", "Heddle Long")
    assert c == compared("heddle", "heddle_long").comparison  # worked out twice, every number is the same
    (reach,) = c.parameters
    assert (reach.what, reach.unit, reach.difference) == ("reach_mm", "mm", 12)
    wheelbase = next(n for n in c.numbers if n.what == "wheelbase")
    assert wheelbase.difference is not None
    # both ends move out 12 mm along arms that bear 43 degrees, the diagonal nearly as much
    assert wheelbase.difference == pytest.approx(24, abs=0.01)


def test_a_variant_is_compared_with_the_design_it_includes() -> None:
    assert parent_of(EXAMPLES / "bobbin_tall.toml").name == "bobbin.toml"
    with pytest.raises(RequestError, match=r"includes no design with a .frame., so it has no one parent"):
        parent_of(EXAMPLES / "heddle.toml")


def test_json_repeats_what_the_table_says(frames: Compared, capsys: pytest.CaptureFixture[str]) -> None:
    data = json.loads(compare_json(frames))
    bare = next(n for n in data["numbers"] if n["what"] == "mass of the bare frame")
    assert bare["difference"] == pytest.approx(bare["second"] - bare["first"])
    assert main(["compare", str(EXAMPLES / "heddle.toml"), str(EXAMPLES / "shuttle.toml")]) == 0
    said = capsys.readouterr().out
    assert re.search(r"mass of the bare frame +g +" + f"{bare['first']:.2f} +{bare['second']:.2f}", said)
    assert main(["compare", str(EXAMPLES / "heddle.toml")]) == 1


def test_pictures_say_areas_and_show_them_by_hatch_and_line(frames: Compared, tmp_path: Path) -> None:
    paths = write_differences(frames, tmp_path / "out")
    assert [p.name for p in paths] == ["difference_arm.svg", "difference_deck.svg"]
    part = next(p for p in frames.comparison.parts if p.first == "arm")
    text = paths[0].read_text()
    assert f"only in Shuttle: {part.added_mm2:.1f}" in text
    assert f"only in Heddle: {part.removed_mm2:.1f}" in text
    assert {'pattern id="added"', 'pattern id="removed"'} <= set(re.findall(r'pattern id="\w+"', text))
    assert "stroke-dasharray" in text
    write_differences(frames, tmp_path / "again")
    for one, other in itertools.zip_longest(paths, sorted((tmp_path / "again").iterdir())):
        assert one.read_bytes() == other.read_bytes()


def test_how_both_fly_stands_side_by_side() -> None:
    rows = {c.what: c for c in compared("bobbin", "heddle").comparison.flying}
    assert rows["tilt at 20 m/s"].first > rows["tilt at 20 m/s"].second
    assert rows["thrust lost to arms and plates in hover"].difference < 0
