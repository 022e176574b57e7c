"""Masses, bands, centres and inertia of the things of a frame."""

import math

import numpy as np
import pytest

from frames import assembled, catalogue, column, equipment, part, place, plate, screw, two_plates
from platewright.assembly.hardware import screw_mass
from platewright.assembly.mass import bare_lines, mass_items, total_mass
from platewright.foundation.units import G_PER_T

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"
DENSITY = catalogue().laminate("plate_woven_qi").density_g_cm3


def grams(items):
    return sum(i.mass for i in items) * G_PER_T


def test_a_plate_weighs_its_area_times_thickness_times_density():
    (item,) = mass_items(assembled(plate("base", 2, (80, 50))))
    assert item.mass * G_PER_T == pytest.approx(80 * 50 * 2 * DENSITY.typical / 1000)
    assert item.centre == pytest.approx([0, 0, 1])


def test_holes_are_taken_out():
    solid, holed = (
        assembled(plate("base")),
        assembled(plate("base"), column("p", SCREW, "base", "nut M3 hex", fitted=False)),
    )
    lost = grams(mass_items(solid)) - grams(mass_items(holed))
    assert lost == pytest.approx(4 * math.pi * 1.6**2 * 2 * DENSITY.typical / 1000)


def test_a_plate_turned_over_has_its_centre_of_gravity_mirrored():
    corner = part("p", 2, (20, 20), polygons=[{"points_mm": [[0, 0], [40, 0], [0, 30]]}])
    for keys, centre in (
        ({}, (40 / 3, 10, 1)),
        ({"over": True}, (40 / 3, -10, 1)),
        ({"turn_deg": 90}, (-10, 40 / 3, 1)),
    ):
        (item,) = mass_items(assembled(corner, place("p", "p", **keys)))
        assert item.centre == pytest.approx(centre), keys


def test_a_screw_weighs_its_head_and_its_thread():
    made = assembled(*two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON))
    fit = screw(made, "post.1")
    steel = fit.screw.head_mass_g + fit.thread.mass_g_per_mm * 8
    assert screw_mass(fit) * G_PER_T == pytest.approx(steel)
    titanium = catalogue().screw_class("titanium-5")
    assert screw_mass(fit, titanium) * G_PER_T == pytest.approx(steel * 4.43 / 7.85)


def test_the_bare_frame_is_plates_and_the_hardware_of_columns_through_two_of_them():
    stack = equipment("fc", {"fc": "fc_30"}, stack=[SCREW, "base", "fc.fc in grommet", "nut M3 insert"])
    single = column("single", SCREW, "base", "nut M3 hex", at=[0, 25], mirror="")
    made = assembled(*two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON), single, stack)
    assert bare_lines(made) == {"post.1", "post.2", "post.3", "post.4"}
    bare = [i for i in mass_items(made) if i.bare]
    assert {i.group for i in bare} == {"plates", "hardware"}
    assert len(bare) == 2 + 4 * 3


def test_an_access_place_is_no_second_plate_of_a_bare_column():
    base, cover = plate("base", 4), plate("cover")
    hold = column("hold", SCREW, "cover", "standoff M3x20", "base", BUTTON)
    a = column("a", "cover access 7", SCREW, "base", "nut M3 hex", at=[0, 0], mirror="")
    assert "a" not in bare_lines(assembled(base, cover, hold, a))


def test_mass_g_of_the_design_stands_for_the_record():
    given = equipment("battery", {"b": "lipo_4s_850"}, on="base", mass_g=123)
    items = [i for i in mass_items(assembled(plate("base"), given)) if i.group == "battery"]
    assert [(i.mass, i.low, i.high) for i in items] == [(pytest.approx(123e-6),) * 3]


def test_a_given_mass_is_shared_by_the_records_of_a_piece_as_they_weigh_in_the_catalogue():
    stack = [SCREW, "base", "s.esc in grommet", "s.fc in grommet", "nut M3 insert"]
    both = equipment("s", {"esc": "esc_30_55A", "fc": "fc_30"}, stack=stack, mass_g=30)
    weighed = {i.name: i.mass * G_PER_T for i in mass_items(assembled(plate("base"), both)) if i.group == "equipment"}
    esc, fc = (catalogue().find(i)[0].mass_g for i in ("esc_30_55A", "fc_30"))
    assert weighed == {"s.esc": pytest.approx(30 * esc / (esc + fc)), "s.fc": pytest.approx(30 * fc / (esc + fc))}


def test_grommets_weigh_with_the_board_they_hold():
    board = equipment("fc", {"fc": "fc_30"}, stack=[SCREW, "base", "fc.fc in grommet", "nut M3 insert"])
    (item,) = (i for i in mass_items(assembled(plate("base"), board)) if i.group == "equipment")
    record = catalogue().find("fc_30")[0]
    assert item.mass * G_PER_T == pytest.approx(record.mass_g + 4 * catalogue().grommet("M3").mass_g)


def test_motors_weigh_once_per_rotor_and_a_strap_once():
    arm = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
    motor = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=[SCREW, "arm", "motor.m"])
    strap = equipment("strap", {"s": "strap_20"}, on="arm")
    items = mass_items(assembled(arm, motor, strap))
    motors = [i for i in items if i.name.startswith("motor.") and i.group == "equipment"]
    assert grams(motors) == pytest.approx(4 * catalogue().find("motor_2207")[0].mass_g)
    assert total_mass(motors).centre[:2] == pytest.approx([0, 0], abs=1e-9)
    assert [i.name for i in items if i.name.startswith("strap")] == ["strap.s"]


def test_density_is_one_unknown_for_the_whole_frame():
    one = assembled(plate("base"))
    two = assembled(
        plate("base"), plate("deck"), column("p", SCREW, "base", "spacer M3x10", "deck", "nut M3 hex", fitted=True)
    )
    single = total_mass(mass_items(one))
    plates = [i for i in mass_items(two) if i.group == "plates"]
    both = total_mass(plates)
    share = (DENSITY.band[1] - DENSITY.typical) / DENSITY.typical
    assert (single.high - single.mass) / single.mass == pytest.approx(math.hypot(share, 0.1 / 2))
    # density shared: it adds up; thicknesses independent: they add by squares
    assert (both.high - both.mass) / both.mass == pytest.approx(math.hypot(share, 0.05 / math.sqrt(2)), rel=1e-6)
    assert both.low < both.mass < both.high


def test_nothing_weighs_nothing():
    total = total_mass([])
    assert (total.mass, total.low, total.high) == (0, 0, 0)
    assert not np.any(total.inertia)
