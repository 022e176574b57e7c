"""Severity, grouping and rows of what is found about clearances and webs."""

import pytest

from frames import checked, column, equipment, findings, part, place, plate
from platewright.cli.clearance_tables import clearance_tables

SCREW = "screw M3 socket 12.9"
ARMS = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
MOTOR = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=[SCREW, "arm", "motor.m"])
PROPELLER = equipment("p", {"p": "prop_5in", "nut": "prop_nut_m5_right_low"}, at="rotors", on="motor")
ROTORS = (ARMS, MOTOR, PROPELLER)
BASE = (plate("base", 4), column("c", SCREW, "base", "nut M3 hex"))


def tower(along):
    return column("tower", SCREW, "arm", "standoff M3x20", at=[[along, 0]], of="arm", mirror="")


def pack(height, **keys):
    return equipment("pack", {"pack": "lipo_4s_650"}, on="base", at_mm=[0, 0, height], **keys)


def test_overlap_fails_beyond_a_tenth_and_warns_within():
    assert [f.severity for f in findings("body.overlap", *BASE, pack(-0.3)) if f.where == "base"] == ["fail"]
    shallow = [f for f in findings("body.overlap", *BASE, pack(-0.05)) if f.where == "base"]
    assert [(f.severity, round(f.value, 3)) for f in shallow] == [("warn", 0.05)]
    assert [f for f in findings("body.overlap", *BASE, pack(0)) if f.where == "base"] == []


def test_two_things_that_give_way_only_warn():
    other = equipment("other", {"b": "lipo_4s_650"}, on="base", at_mm=[20, 0, 3])
    (found,) = (f for f in findings("body.overlap", *BASE, pack(3), other) if f.where == "pack.pack")
    assert (found.severity, found.value > 1) == ("warn", True)
    assert "other.b" in found.message


def test_what_is_alike_is_said_once():
    (found,) = findings("disc.body", *ROTORS, tower(59))
    assert found.severity == "warn"
    assert found.where == "tower.1#3, tower.2#3, tower.3#3, tower.4#3"
    assert "rotors 1, 2, 3 and 4" in found.message
    assert "propeller_clearance.tip_to_plate_or_standoff_min_mm (common practice, no source)" in found.why


def test_what_a_blade_can_hit_fails():
    found = findings("disc.body", *ROTORS, tower(64))
    assert {f.severity for f in found} == {"fail"}
    assert all(f.value == 0 for f in found)


def test_the_disc_on_the_ground_is_said_at_the_least_tilt():
    (found,) = findings("ground.disc", *ROTORS)
    assert (found.severity, "30 deg" in found.message) == ("note", True)
    low = findings("ground.disc", *ROTORS, rotors="fore_aft_mm = 200\nlateral_mm = 200\nbelow = true")
    assert [f.severity for f in low] == ["warn"]


def test_rows_of_a_square_frame():
    report = checked(*ROTORS, rotors="fore_aft_mm = 140\nlateral_mm = 140").clearances
    first = report.pairs[0]
    assert (first.kind, first.required_mm) == ("disc to disc", 3)
    assert first.distance_mm == pytest.approx(140 - 129.5, abs=0.1)
    assert [p.largest_mm for p in report.propellers] == pytest.approx([137] * 4, abs=0.001)
    assert {(p.largest_size, p.next_size) for p in report.propellers} == {("prop_5in", "prop_6in")}
    assert report.propellers[0].next_lacks_mm == pytest.approx(152.4 - 137, abs=0.001)
    assert [g.tilt_deg for g in report.ground] == pytest.approx([0, 15, 30])


def test_a_frame_without_propellers_or_anything_has_empty_rows():
    result = checked(*BASE)
    report = result.clearances
    assert (report.pairs, report.propellers, report.leads, report.disc_strikes_at_deg) == ((), (), (), None)
    assert {f.code.partition(".")[0] for f in result.findings} & {"body", "disc", "ground"} == set()
    assert list(clearance_tables(report)) == []
    assert [g.disc_clearance_mm for g in report.ground] == [None] * 3


def test_tables_name_the_nearest_of_each_kind_and_its_rule():
    report = checked(*ROTORS, tower(59)).clearances
    tables = {t.title.partition(",")[0]: t.row_count for t in clearance_tables(report)}
    assert tables["Nearest to the blades"] == len(report.pairs) == 3  # the discs, the standoffs and their arm
    assert all(p.rule.startswith("propeller_clearance.") for p in report.pairs)
    assert tables["Largest propeller that fits"] == 1


def test_a_web_warns_below_the_makers_limit_and_notes_what_is_less_than_usual():
    def web(width, **tables):
        opening = {"shape": "rectangle", "at_mm": [26 - width, 0], "length_mm": 8, "width_mm": 20, "corner_mm": 2}
        pieces = (part("base", 2, cutouts=[opening]), place("base", "base"))
        return [(f.severity, round(f.value, 2)) for f in findings("web.narrow", *pieces, **tables)]

    assert web(1.5) == [("warn", 1.5)]
    assert web(2.5) == [("note", 2.5)]
    assert web(3.5) == []
    assert web(1.5, checks="web_mm = 1") == [("note", 1.5)]


def test_corners_are_judged_against_the_cutter_of_the_design():
    opening = {"shape": "rectangle", "at_mm": [0, 0], "length_mm": 8, "width_mm": 20, "corner_mm": 0.8}
    pieces = (part("base", 2, cutouts=[opening]), place("base", "base"))
    (found,) = findings("corner.radius", *pieces)
    assert (found.severity, found.limit, round(found.value, 2)) == ("warn", 1.0, 0.8)
    assert findings("corner.radius", *pieces, checks="cutter_mm = 1.5") == []
