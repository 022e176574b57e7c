"""Which bodies of a frame overlap, and which are meant to."""

from pathlib import Path

import pytest

from frames import assembled, column, equipment, part, place, plate, two_plates
from platewright.app.load import load
from platewright.fit.engaged import rotor_of
from platewright.fit.interference import near_plates, overlaps, prisms_of

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))
SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"
POST = (SCREW, "base", "standoff M3x20", "deck", BUTTON)


def found(*pieces, **tables):
    assembly = assembled(*pieces, **tables)
    return [(o.one.name, o.other.name, round(o.depth, 2)) for o in overlaps(assembly, prisms_of(assembly))]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_nothing_overlaps_in_the_examples(path):
    assembly = load(path).assembly
    assert overlaps(assembly, prisms_of(assembly)) == []


def test_one_bolt_line_is_not_its_own_obstacle():
    assert found(*two_plates(*POST)) == []


def test_a_battery_in_the_base_a_standoff_in_a_battery():
    low = equipment("battery", {"battery": "lipo_4s_650"}, on="base", at_mm=[0, 0, -0.5])
    assert ("base", "battery.battery", 0.5) in found(*two_plates(*POST), low)
    between = equipment("battery", {"battery": "lipo_6s_1100"}, on="base", at_mm=[0, 0])
    hit = {name for name, _, _ in found(*two_plates(*POST), between)}
    assert {"deck", "post.1#3", "post.2#3", "post.3#3", "post.4#3"} <= hit
    assert "base" not in hit  # it lies on it


def test_moving_it_away_ends_the_overlap_and_never_deepens_it():
    depths = []
    for height in (-0.5, -0.3, -0.1, 0.0, 1.0):
        pack = equipment("battery", {"battery": "lipo_4s_650"}, on="base", at_mm=[0, 0, height])
        rows = [d for one, other, d in found(plate("base"), column("c", SCREW, "base", "nut M3 hex"), pack)]
        depths.append(max(rows, default=0.0))
    assert depths == sorted(depths, reverse=True)
    assert depths[-1] == 0


def test_a_mirrored_frame_has_mirrored_overlaps():
    def at(sign):
        pack = equipment("battery", {"battery": "lipo_4s_650"}, on="base", at_mm=[4, 12 * sign, -0.5])
        assembly = assembled(*two_plates(*POST), pack)
        return [(o.depth, o.point) for o in overlaps(assembly, prisms_of(assembly))]

    left, right = at(1), at(-1)
    assert len(left) == len(right) > 1
    assert sorted(round(d, 6) for d, _ in left) == sorted(round(d, 6) for d, _ in right)


def test_plates_on_one_level_come_near_unless_a_key_or_tab_joins_them():
    wing = part("wing", 2, (40, 40))
    sides = [place(n, "wing", at_mm=[0, s * 20.06]) for n, s in (("left", 1), ("right", -1))]
    bolts = [
        column(f"{n}_bolt", SCREW, "base", n, "nut M3 hex", at=[[12, y], [-12, y], [0, y + 5]], mirror="")
        for n, y in (("left", 20), ("right", -20))
    ]
    assembly = assembled(plate("base", 2, (100, 120)), wing, *sides, *bolts)
    prisms = prisms_of(assembly)
    (near,) = near_plates(assembly, prisms, 0.2)
    assert near.gap == pytest.approx(0.12)
    assert near_plates(assembly, prisms, 0.1) == []
    heddle = load(EXAMPLES[[p.stem for p in EXAMPLES].index("heddle")]).assembly
    assert near_plates(heddle, prisms_of(heddle), 0.2) == []  # the arms' key leaves 0.1 mm


def test_hub_screws_belong_to_their_rotor():
    bobbin = load(EXAMPLES[[p.stem for p in EXAMPLES].index("bobbin")]).assembly
    numbers = {rotor_of(b) for b in bobbin.bodies if b.owner in ("propeller", "motor") and not b.line}
    assert numbers == {1, 2, 3, 4}
