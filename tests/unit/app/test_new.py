"""Starting designs pass their own checks, keep the rules they cite, and refuse what cannot be built."""

import itertools
import math
import re
import tomllib
from dataclasses import replace

import pytest
import shapely

from platewright.app.brief.kit import choose_kit
from platewright.app.brief.parameters import Parameter, parameter_lines
from platewright.app.check import check_loaded
from platewright.app.load import assemble_tree, load
from platewright.app.new import Brief, BriefError, CameraClass, Style, new_design, write_new
from platewright.fit.interference import overlaps, prisms_of
from platewright.foundation.errors import OutputError
from platewright.foundation.findings import Severity
from platewright.geometry.loops import to_shapely, transform_outline
from platewright.model.catalogue import load_catalogue

SIZES = (2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0)
# Warnings that say something true of the parts bought: the shortest propeller shafts of a motor class, and the plate
# between a small motor's screws and the hole under its shaft.
HONEST = {("propeller.thread", "propeller"), ("hole.edge", "part base")}

# One of everything, each size, style, camera, pattern and number of cells at least twice.
SAMPLE = [
    *(Brief(size) for size in SIZES),
    Brief(2.5, Style.CINE, cells=3),
    Brief(3.0, Style.LONG_RANGE, camera=CameraClass.MICRO, boards="20x20", cells=6),
    Brief(3.0, Style.RACE, boards="25.5x25.5"),
    Brief(3.5, Style.RACE, camera=CameraClass.NANO, boards="20x20"),
    Brief(4.0, Style.LONG_RANGE, camera=CameraClass.NANO, boards="25.5x25.5"),
    Brief(4.0, Style.CINE, camera=CameraClass.MINI, boards="20x20", cells=6),
    Brief(5.0, Style.RACE, camera=CameraClass.NANO, boards="20x20"),
    Brief(5.0, Style.LONG_RANGE, camera=CameraClass.MINI, cells=4),
    Brief(5.0, Style.CINE, camera=CameraClass.STANDARD),
    Brief(5.0, fore_aft_mm=170, lateral_mm=162),
    Brief(6.0, Style.RACE, camera=CameraClass.MINI, boards="20x20"),
    Brief(7.0, Style.LONG_RANGE, camera=CameraClass.STANDARD),
    Brief(7.0, Style.CINE, cells=4),
    Brief(8.0, Style.RACE, camera=CameraClass.STANDARD),
]


def label(brief):
    words = (f"{brief.propeller_in:g}in", brief.style, brief.camera, brief.boards, brief.cells and f"{brief.cells}s")
    return "-".join(str(w) for w in words if w)


@pytest.fixture(scope="module")
def cache(tmp_path_factory):
    return tmp_path_factory.mktemp("outlines")


@pytest.fixture(scope="module")
def loaded(cache, tmp_path_factory):
    """Return a function that writes, loads and remembers a design."""
    folder, known = tmp_path_factory.mktemp("designs"), {}

    def of(brief):
        if brief not in known:
            path = folder / f"{len(known)}.toml"
            write_new(path, brief)
            known[brief] = load(path, cache=cache)
        return known[brief]

    return of


def complaints(result):
    return [
        (f.severity.value, f.code, f.where, f.message)
        for f in result.findings
        if f.severity is Severity.FAIL or (f.severity is Severity.WARN and (f.code, f.where) not in HONEST)
    ]


@pytest.mark.parametrize("brief", SAMPLE, ids=label)
def test_a_starting_design_passes_its_own_checks(brief, loaded):
    assert complaints(check_loaded(loaded(brief))) == []


@pytest.mark.slow
def test_every_brief_passes_or_is_refused_in_one_sentence(cache, tmp_path):
    passed = 0
    for size, style, camera, boards, cells in itertools.product(
        SIZES, Style, CameraClass, ("20x20", "25.5x25.5", "30.5x30.5"), (3, 4, 6)
    ):
        brief = Brief(size, style, camera=camera, boards=boards, cells=cells)
        path = tmp_path / "frame.toml"
        refusal = ""
        try:
            write_new(path, brief)
        except BriefError as error:
            refusal = str(error)
        if not path.exists():
            assert re.fullmatch(r"[^\n]+\.", refusal)
            continue
        assert complaints(check_loaded(load(path, cache=cache))) == [], label(brief)
        path.unlink()
        passed += 1
    assert passed > 250


@pytest.mark.parametrize("brief", SAMPLE, ids=label)
def test_propellers_clear_each_other_and_whatever_stands_as_high(brief, loaded):
    """Rules propeller_clearance.* of the catalogue (common practice, no source), from the finished outlines."""
    assembly = loaded(brief).assembly
    catalogue = load_catalogue()
    propeller = catalogue.propeller(assembly.design.equipment[1].use["propeller"])
    axes = [shapely.Point(r.x, r.y) for r in assembly.rotors]
    tips = min(a.distance(b) for a, b in itertools.combinations(axes, 2)) - propeller.diameter_mm
    assert tips >= catalogue.rule("propeller_clearance.tip_to_tip_usual_mm").value
    deck = assembly.instances["deck"]
    plates = [to_shapely(transform_outline(assembly.parts["deck"].outline, deck.to_plane))]
    low, high = (b for b in to_shapely(assembly.parts["cheek"].outline).bounds[::2])
    side = assembly.levels.level["cheek.left"].at(0, 0).nominal
    thickness = assembly.parts["cheek"].part.thickness_mm
    plates += [shapely.box(low, side, high, side + thickness), shapely.box(low, -side - thickness, high, -side)]
    least = min(a.distance(p) for a in axes for p in plates) - propeller.diameter_mm / 2
    assert least >= catalogue.rule("propeller_clearance.tip_to_plate_or_standoff_min_mm").value


@pytest.mark.parametrize("brief", SAMPLE, ids=label)
def test_nothing_stands_in_the_place_of_another(brief, loaded):
    assembly = loaded(brief).assembly
    assert [(o.one.name, o.other.name, o.depth) for o in overlaps(assembly, prisms_of(assembly))] == []


@pytest.mark.parametrize("size", [3.0, 5.0, 7.0])
@pytest.mark.parametrize(
    "change",
    [
        {"arm_width_mm": 1.1},
        {"arm_width_mm": 0.92},
        {"fore_aft_mm": 1.1, "lateral_mm": 1.1},
        {"fore_aft_mm": 1.06},
        {"tilt_deg": 0.7},
        {"tilt_deg": 1.2},
        {"boss_mm": 1.1},
        {"strap_mm": 1.1},
        {"post_y_mm": 1.1},
        {"pad_radius_mm": 1.1},
    ],
    ids=str,
)
def test_parameters_may_be_changed(size, change, loaded):
    start = loaded(Brief(size))
    values = start.assembly.design.parameters
    changed = {name: values[name] * factor for name, factor in change.items()}
    assembly = assemble_tree(start.tree, start.catalogue, start.outlines, changed)
    result = check_loaded(replace(start, assembly=assembly))
    assert result.status == "ok"


def test_a_wider_arm_and_a_longer_stance_reach_the_cut_part(loaded):
    start = loaded(Brief(5.0))
    values = start.assembly.design.parameters
    grown = {"arm_width_mm": values["arm_width_mm"] + 2, "fore_aft_mm": values["fore_aft_mm"] + 20}
    after = assemble_tree(start.tree, start.catalogue, start.outlines, grown)
    arms = [to_shapely(a.parts["arm"].outline) for a in (start.assembly, after)]
    middle = [arm.intersection(shapely.LineString([(45, -50), (45, 50)])).length for arm in arms]
    assert middle[1] - middle[0] == pytest.approx(2 * 0.9, abs=0.2)  # the bar tapers to 85 %
    reach = [a.bounds[2] for a in arms]
    x, y = start.assembly.rotors[0].x, start.assembly.rotors[0].y
    root = values["board_mm"] / 2
    assert reach[1] - reach[0] == pytest.approx(math.hypot(x + 10 - root, y - root) - math.hypot(x - root, y - root))


def test_own_spacing_is_kept(loaded):
    rotors = loaded(Brief(5.0, fore_aft_mm=170, lateral_mm=162)).assembly.rotors
    assert (rotors[0].x, rotors[0].y) == (85, 81)


def test_arms_are_separate_from_four_inch_on(loaded):
    assert "arm" in loaded(Brief(4.0)).assembly.parts
    assert "arm" not in loaded(Brief(3.5)).assembly.parts


@pytest.mark.parametrize("brief", SAMPLE, ids=label)
def test_what_is_bought_fits_together(brief):
    catalogue = load_catalogue()
    kit = choose_kit(brief, catalogue)
    low, high = kit.motor.propeller_d_range_in
    assert low <= kit.propeller.diameter_in <= high
    assert set(kit.motor.fixings) & set(kit.propeller.fixings)
    assert (kit.nut is None) == ("t_mount" in kit.propeller.fixings)
    assert f"{kit.battery.cells_series}s" in kit.motor.kv_range_rpm_per_v
    controller = kit.boards[0][1]
    assert controller.current_burst_a >= kit.motor.current_max_a
    assert controller.cells_series_range[0] <= kit.battery.cells_series <= controller.cells_series_range[1]
    assert {b.pattern for _, b in kit.boards} == {kit.pattern}
    assert kit.capacitor.voltage_v > 4.2 * kit.battery.cells_series


@pytest.mark.parametrize("brief", SAMPLE, ids=label)
def test_every_parameter_has_its_reason_and_nothing_is_included(brief):
    text = new_design(brief).text
    document = tomllib.loads(text)
    assert "include" not in document
    assert max(map(len, text.splitlines())) <= 120
    lines = text[text.index("[parameters]") : text.index("[rotors]")].splitlines()[1:]
    bare = [
        line
        for above, line in itertools.pairwise(["", *lines])
        if line and line[0] != "#" and "#" not in line and above[:1] != "#" and not above.startswith(("inner", "outer"))
    ]
    assert bare == []
    assert len(document["parameters"]) > 30


def test_the_same_brief_gives_the_same_text():
    assert new_design(Brief(5.0)).text == new_design(Brief(5.0)).text


def test_a_name_with_quotes_is_still_a_file(loaded):
    brief = Brief(3.0, name='Say "hello" \\ to Zoë')
    assert loaded(brief).assembly.design.frame.name == brief.name


def test_long_reasons_stand_above_their_line():
    first, *rest = parameter_lines([Parameter("a_mm", 2, "because " * 20)])
    assert first.startswith("# because")
    assert rest[-1] == "a_mm = 2"


@pytest.mark.parametrize(
    ("brief", "says"),
    [
        ({"propeller_in": 2}, "2.5, 3, 3.5, 4, 5, 6, 7, 8 inch"),
        ({"propeller_in": 12}, "tubes"),
        ({"propeller_in": float("nan")}, "got nan"),
        ({"propeller_in": 5, "fore_aft_mm": 20}, "60 to 600 mm"),
        ({"propeller_in": 5, "name": ""}, "1 to 60"),
        ({"propeller_in": 5, "fore_aft_mm": 131, "lateral_mm": 160}, "at least 132.5 mm"),
        ({"propeller_in": 5, "fore_aft_mm": 140, "lateral_mm": 140}, "smaller camera"),
        ({"propeller_in": 3, "boards": "30.5x30.5"}, "20x20 or 25.5x25.5"),
        ({"propeller_in": 3, "boards": "25.5x25.5", "cells": 6}, "2 to 4 cells"),
        ({"propeller_in": 7, "cells": 3}, "4S, 6S"),
        ({"propeller_in": 4, "cells": 3}, "450 mAh"),
        ({"propeller_in": 3, "camera": CameraClass.STANDARD}, "5 inch or more"),
    ],
)
def test_what_cannot_be_built_is_refused_in_one_sentence(brief, says):
    with pytest.raises(BriefError, match=re.escape(says)) as caught:
        new_design(Brief(**brief))
    assert "\n" not in str(caught.value)


def test_the_spacing_offered_instead_is_accepted():
    with pytest.raises(BriefError) as caught:
        new_design(Brief(5.0, fore_aft_mm=140, lateral_mm=140))
    fore_aft, lateral = re.search(r"give (\d+) x (\d+) mm", str(caught.value)).groups()
    new_design(Brief(5.0, fore_aft_mm=float(fore_aft), lateral_mm=float(lateral)))


def test_an_existing_file_is_left_as_it_is(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text("precious")
    with pytest.raises(OutputError, match="exists already"):
        write_new(path, Brief(5.0))
    assert path.read_text() == "precious"


def test_nothing_is_left_of_a_file_that_could_not_be_written(tmp_path, monkeypatch):
    def refuse(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", refuse)
    with pytest.raises(OutputError, match="No space left"):
        write_new(tmp_path / "frame.toml", Brief(5.0))
    assert list(tmp_path.iterdir()) == []


def test_a_missing_folder_is_said(tmp_path):
    with pytest.raises(OutputError, match="cannot be written"):
        write_new(tmp_path / "nowhere" / "frame.toml", Brief(5.0))
