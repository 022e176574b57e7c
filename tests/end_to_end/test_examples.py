"""The example frames and the small frames for tests, built to the end: parts, holes, shared plates, variants."""

from collections import Counter
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import dist
from pathlib import Path

import pytest
import shapely

from platewright.app.load import Loaded, load
from platewright.assembly.bodies import Cylinder
from platewright.assembly.instances import mirror_signs
from platewright.assembly.keys import key_mismatches
from platewright.assembly.screws import standoff_meetings
from platewright.foundation.findings import Severity
from platewright.geometry.loops import bounding_box, to_shapely
from platewright.model.catalogue.electronics import Antenna, Board
from platewright.model.catalogue.power import Motor
from platewright.model.catalogue.power import Propeller as PropellerRecord
from platewright.study.check import check_assembly
from platewright.study.level_findings import bows

ROOT = Path(__file__).parents[2]
FRAMES = {path.stem: path for folder in ("examples", "tests/designs") for path in (ROOT / folder).glob("*.toml")}
BOLT = 3.2  # M3, class fine of ISO 273
_TIP_TO_TIP = 3.0  # least between two discs (common practice, no source) [mm]


@dataclass(frozen=True)
class Loader:
    """Loads each frame once."""

    cache: Path
    loaded: dict[str, Loaded]

    def __call__(self, name):
        if name not in self.loaded:
            self.loaded[name] = load(FRAMES[name], cache=self.cache)
        return self.loaded[name].assembly


@pytest.fixture(scope="module")
def frames(tmp_path_factory):
    return Loader(tmp_path_factory.mktemp("outlines"), {})


@pytest.fixture(params=sorted(FRAMES))
def frame(request, frames):
    return frames(request.param)


def outline(assembly, part):
    return assembly.parts[part].outline


def size(assembly, part):
    x0, y0, x1, y1 = bounding_box(outline(assembly, part))
    return x1 - x0, y1 - y0


def test_all_frames_are_here():
    examples = {"bobbin", "bobbin_tall", "heddle", "heddle_long", "shuttle"}
    assert set(FRAMES) == examples | {"twin_plate", "side_arms", "hexa", "coaxial"}


def test_a_frame_passes_its_own_check(frame):
    result = check_assembly(frame)
    assert result.status == "ok", [f.message for f in result.findings if f.severity is Severity.FAIL]


def test_warnings_are_the_known_ones(frame):
    """Shafts of one motor class differ by 4 mm of thread, and lower rotors land first without legs.

    Everything else a maker can mend is mended.
    """
    found = [f for f in check_assembly(frame).findings if f.severity is Severity.WARN]
    m5 = [e for e in frame.design.equipment if "nut" in e.use]
    expected = {"propeller.thread": len(m5)} if m5 else {}
    if frame.design.rotors.coaxial:
        expected["ground.disc"] = 1
    assert Counter(f.code for f in found) == expected
    assert all("measure the motor" in f.message for f in found if f.code == "propeller.thread")


def test_each_part_is_one_piece_and_used(frame):
    for part in frame.parts.values():
        polygon = to_shapely(part.outline)
        assert isinstance(polygon, shapely.Polygon)
        assert polygon.is_valid
        assert part.quantity == sum(i.part.id == part.part.id for i in frame.instances.values()) > 0


def test_no_hole_meets_an_edge_or_nearly_misses_another(frame):
    for part in frame.parts.values():
        assert part.touching == ()
        assert part.holes.near_misses == ()


def test_hole_counts_equal_what_lines_and_equipment_ask_for(frame):
    asked = {name: set() for name in frame.parts}

    def ask(instance, point):
        x, y = instance.in_part(*point)
        asked[instance.part.id].add((round(x, 3) + 0.0, round(y, 3) + 0.0))

    for line in frame.lines:
        for n, item in enumerate(line.items):
            if item.instance is None:
                continue
            foot, own = line.foot, item.instance.place.foot
            assert line.axis == "z" or foot == own  # so that heights on the line are heights on the plate
            ask(item.instance, (line.a, line.b))
            near = [abs(n - m) for m, other in enumerate(line.items) if isinstance(other.record, Motor)]
            if near == [1]:  # the plate a motor stands on has a hole under the shaft
                ask(item.instance, frame.axes[(line.rotor - 1) % len(frame.axes)])
    for equipment in frame.design.equipment:
        records = [frame.catalogue.find(i)[0] for i in equipment.use.values()]
        if any(isinstance(r, Antenna) for r in records):
            x, y = equipment.at_mm[:2]
            for place in equipment.through:
                for sx, sy in mirror_signs(equipment.mirror):
                    ask(frame.instances[place], (sx * x, sy * y))
    for name, part in frame.parts.items():
        assert len(part.outline.circles) - len(part.blank.circles) == len(asked[name]), name


def test_every_screw_of_every_line_is_fitted(frame):
    words = sum(i.word.kind == "screw" for line in frame.lines if line.fitted for i in line.items)
    studs = sum(i.word.studded for line in frame.lines if line.fitted for i in line.items)
    assert len(frame.screws) == words + studs > 0
    assert all(m.apart.low >= frame.design.checks.tips_apart_mm for m in standoff_meetings(frame.screws))


def test_a_frame_carries_a_complete_set_of_equipment(frame):
    catalogue = frame.catalogue
    kinds = Counter(type(catalogue.find(i)[0]).__name__ for e in frame.design.equipment for i in e.use.values())
    assert {"Motor", "Propeller", "Board", "Camera", "Battery", "Strap", "Capacitor", "PowerConnector"} <= set(kinds)
    antennas = {i for e in frame.design.equipment for i in e.use.values() if i.startswith("antenna")}
    assert "antenna_receiver_tube" in antennas
    assert any("5g8" in name for name in antennas)


def test_discs_clear_one_another_and_everything_beside_them(frame):
    discs = [
        (body.frame.origin, next(s.shape.radius for s in body.solids[1:] if isinstance(s.shape, Cylinder)))
        for body in frame.bodies
        if body.role == "propeller"
    ]
    assert len(discs) == len(frame.rotors)
    for ((x, y, z), r), ((u, v, w), s) in combinations(discs, 2):
        assert abs(z - w) > 10 or dist((x, y), (u, v)) - r - s >= _TIP_TO_TIP
    posts = [line for line in frame.lines if line.fitted and any(i.word.kind == "standoff" for i in line.items)]
    for line in (p for p in posts if p.axis == "z"):
        standoff = next(i.record for i in line.items if i.word.kind == "standoff")
        for (x, y, _), r in discs:
            assert dist((x, y), (line.a, line.b)) - r - standoff.outer_d_mm / 2 >= 2.0  # common practice, no source


def test_parts_on_stacked_boards_do_not_touch(frame):
    checked = 0
    for equipment in (e for e in frame.design.equipment if e.stack):
        line = next(x for x in frame.lines if x.owner == equipment.id)
        spans = [
            (item.record, span)
            for item, span in zip(line.items, frame.levels.spans[line.name], strict=True)
            if isinstance(item.record, Board) and span is not None
        ]
        for (low, below), (high, above) in pairwise(spans):
            middles = (above.start + above.end - below.start - below.end).nominal / 2
            boards = (low.pcb_thickness_mm + high.pcb_thickness_mm) / 2
            assert middles - boards - low.topside_parts_mm - high.underside_parts_mm >= 1.0
            checked += 1
    assert checked == sum(max(sum(isinstance(i.record, Board) for i in x.items) - 1, 0) for x in frame.lines) // 4


def test_bare_frames_weigh_what_their_class_weighs(frame):
    if not frame.design.frame.frame_class:
        return
    low, high = frame.catalogue.find(frame.design.frame.frame_class)[0].frame_mass_range_g
    result = check_assembly(frame)
    assert low <= result.mass.bare.mass_g <= high
    assert result.mass.bare.mass_g < result.mass.without_battery.mass_g < result.mass.with_battery.mass_g
    assert result.mass.bare.mass_g <= frame.design.frame.mass_target_g


def test_rotors_stand_as_wide_as_their_class(frame):
    if not frame.design.frame.frame_class:
        return
    own = frame.catalogue.find(frame.design.frame.frame_class)[0]
    wheelbase = dist(frame.axes[0], frame.axes[2])
    assert own.wheelbase_range_mm[0] <= wheelbase <= own.wheelbase_range_mm[1]
    propellers = [frame.catalogue.find(i)[0] for e in frame.design.equipment for i in e.use.values()]
    sizes = {p.diameter_in for p in propellers if isinstance(p, PropellerRecord)}
    assert all(own.propeller_range_in[0] <= s <= own.propeller_range_in[1] for s in sizes)


@pytest.mark.parametrize(("part", "holes"), [("base_lower", 20), ("base_upper", 24), ("arm", 8), ("cheek", 2)])
def test_heddles_holes_counted_by_hand(frames, part, holes):
    """Each base: 8 arm bolts, 4 standoffs, 4 brace bolts, 4 board screws; the upper one 4 of the transmitter."""
    assert len(outline(frames("heddle"), part).circles) == holes


@pytest.mark.parametrize("part", ["base_lower", "base_upper", "cheek"])
def test_heddle_and_shuttle_share_their_base_plates_and_cheeks(frames, part):
    heddle, shuttle = frames("heddle").parts[part], frames("shuttle").parts[part]
    assert heddle.outline == shuttle.outline
    assert heddle.part == shuttle.part


def test_shuttles_brace_bolts_are_provisions_in_heddle(frames):
    fitted = {
        name: {line.fitted for line in frames(name).lines if line.owner.startswith("brace")}
        for name in ("heddle", "shuttle")
    }
    assert fitted == {"heddle": {False}, "shuttle": {True}}
    assert frames("shuttle").parts["brace"].quantity == 2
    assert not any(i.over for i in frames("shuttle").instances.values() if i.part.id == "brace")


@pytest.mark.parametrize("name", ["heddle", "heddle_long", "shuttle"])
def test_the_four_arms_of_a_keyed_frame_are_one_part(frames, name):
    frame = frames(name)
    assert key_mismatches(frame.design, frame.instances) == ()
    assert frame.parts["arm"].quantity == 4


def test_heddles_short_standoffs_leave_half_a_millimetre(frames):
    gaps = [g for g in frames("heddle").levels.gaps if g.instance == "deck" and abs(g.gap.nominal) > 1e-6]
    assert {g.line.partition(".")[0] for g in gaps} == {"deck_short"}
    assert [g.gap.nominal for g in gaps] == pytest.approx([0.55] * 4)  # 25 - 20 - 4.45


def test_heddle_long_differs_by_its_arms_alone(frames):
    short, long = frames("heddle"), frames("heddle_long")
    for part in short.parts:
        assert (outline(short, part) == outline(long, part)) is (part != "arm"), part
    assert size(long, "arm")[0] - size(short, "arm")[0] == pytest.approx(12.0, abs=1e-6)
    assert size(long, "arm")[1] == pytest.approx(size(short, "arm")[1], abs=1e-6)
    assert Counter(s.size_key for s in short.screws) == Counter(s.size_key for s in long.screws)


def test_bobbin_tall_bows_its_deck_and_gains_height_for_the_camera(frames):
    flat, tall = frames("bobbin"), frames("bobbin_tall")
    assert outline(flat, "deck") == outline(tall, "deck")
    assert size(tall, "cheek")[1] - size(flat, "cheek")[1] == pytest.approx(3.0)
    assert bows(flat) == ()
    (bow,) = bows(tall)
    assert bow.instance == "deck"
    camera = next(e for e in tall.design.equipment if e.id == "camera").at_mm
    assert bow.height(camera[0]) - tall.levels.level["deck"].at(camera[0], 0.0).nominal > 2.0
    lifted = [g for g in tall.levels.gaps if abs(g.gap.nominal) > 1e-6]
    assert [(g.line, g.gap.nominal) for g in lifted] == [
        ("deck_front.1", pytest.approx(-2.0)),
        ("deck_front.2", pytest.approx(-2.0)),
    ]


def test_one_plate_serves_below_and_above(frames):
    frame = frames("twin_plate")
    plates = [i for i in frame.instances.values() if i.part.id == "plate"]
    assert {(i.name, i.over) for i in plates} == {("lower", False), ("upper", True)}
    assert frame.parts["plate"].quantity == 2


def test_a_bow_carries_both_motors_of_its_side(frames):
    frame = frames("side_arms")
    carried = {i.name: set() for i in frame.instances.values() if i.part.id == "bow"}
    for line in (x for x in frame.lines if x.owner == "motor"):
        carried[next(i.instance.name for i in line.items if i.instance is not None)].add(line.rotor)
    assert carried == {"bow.left": {1, 2}, "bow.right": {3, 4}}


def test_six_rotors_stand_on_a_circle(frames):
    frame = frames("hexa")
    assert [dist((0, 0), axis) for axis in frame.axes] == pytest.approx([142.0] * 6)
    assert frame.parts["arm"].quantity == 6


def test_coaxial_motors_stand_on_pads_of_one_design_turned_over(frames):
    frame = frames("coaxial")
    assert len(frame.rotors) == 8
    assert [r.below for r in frame.rotors] == [False] * 4 + [True] * 4
    assert frame.parts["pad"].quantity == 8
    carriers = {
        line.rotor: next(i.instance.place.id for i in line.items if i.instance is not None)
        for line in frame.lines
        if line.owner in ("motor_upper", "motor_lower")
    }
    assert carriers == {n: "pad_upper" if n <= 4 else "pad_lower" for n in range(1, 9)}
    heights = {b.name: b.frame.origin[2] for b in frame.bodies if b.role == "motor"}
    assert heights["motor_upper.1"] > heights["motor_lower.5"]
