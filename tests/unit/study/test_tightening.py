"""Tightening of the screws of a frame."""

import pytest

from frames import assembled, catalogue, column, equipment, plate, screw, two_plates
from platewright.assembly.torque import bearing_area
from platewright.study.tightening import tightening_of

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"


def tightened(line, *pieces, index=0, **tables):
    made = assembled(*pieces, **tables)
    return tightening_of(screw(made, line, index), made)


def test_carbon_plate_governs_a_strong_screw_in_a_nut():
    found = tightened("post.1", plate("base"), column("post", SCREW, "base", "nut M3 hex"))
    # the ring of a nut of 5.32 mm across flats less its chamfer, 0.95, is wider than the head's 5.07 mm
    ring = min(bearing_area(5.07, 3.2), bearing_area(5.32 * 0.95, 3.2))
    assert found.governs == "plate"
    assert found.preload == pytest.approx(140 * ring)


def test_washers_spread_the_load():
    bare = tightened("post.1", plate("base"), column("post", SCREW, "base", "nut M3 hex"))
    spread = tightened("post.1", plate("base"), column("post", SCREW, "washer M3", "base", "washer M3", "nut M3 hex"))
    assert spread.allowed["plate"] > bare.allowed["plate"]


def test_a_nylon_screw_governs_itself():
    found = tightened("post.1", plate("base"), column("post", "screw M3 socket nylon-66", "base", "nut M3 hex"))
    assert found.governs == "screw"


def test_a_short_thread_in_aluminium_governs():
    found = tightened("post.1", plate("base", 4), column("post", "screw M3x5 socket 12.9", "base", "standoff M3x20"))
    assert found.governs == "thread"  # 1 mm of thread


def test_rubber_takes_only_the_force_that_squeezes_it():
    board = equipment("fc", {"fc": "fc_30"}, stack=[SCREW, "base", "fc.fc in grommet", "nut M3 insert"])
    rubber = catalogue().grommet("M3")
    found = tightened("fc.1", plate("base"), board)
    assert found.preload == pytest.approx(
        rubber.stiffness_n_per_mm * (rubber.free_height_mm - rubber.compressed_height_mm)
    )
    # a nut before the rubber clamps the plate by itself
    board = equipment("fc", {"fc": "fc_30"}, stack=[SCREW, "base", "nut M3 thin", "fc.fc in grommet", "nut M3 insert"])
    assert tightened("fc.1", plate("base"), board).preload > 10 * found.preload


def test_an_insert_nut_prevails_and_a_plain_one_does_not():
    plain = tightened("post.1", plate("base"), column("post", SCREW, "base", "nut M3 hex"))
    nylon = tightened("post.1", plate("base"), column("post", SCREW, "base", "nut M3 insert"))
    assert plain.prevailing_torque == 0
    assert nylon.prevailing_torque == pytest.approx(1000 * catalogue().prevailing_torque("M3").first_assembly_max_nm)


def test_a_screw_without_thread_holds_nothing():
    assert tightened("post.1", plate("base"), column("post", SCREW, "base")).preload == 0


def test_the_thread_of_a_passed_standoff_pulls_first():
    found = tightened("post.1", *two_plates(SCREW, "base", "standoff M3x20 passed", "deck", "nut M3 hex"))
    own = tightened("post.1", *two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON))
    # 3 mm of aluminium thread are counted in the passed one; the other screw has 4 mm
    assert found.allowed["thread"] == pytest.approx(own.allowed["thread"] * 3 / 4)
