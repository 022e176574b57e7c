"""Facts of the trade that are easily mixed up; each has cost somebody a plate."""

import math

import pytest

from platewright.model.catalogue import Nut, Screw, load_catalogue

CATALOGUE = load_catalogue()


def test_motor_patterns_are_measured_between_opposite_holes_and_board_patterns_along_the_side():
    motor = CATALOGUE.motor_pattern("16x16")
    board = CATALOGUE.board_pattern("16x16")
    assert motor.opposite_hole_distances_mm == (16, 16)
    assert board.side_mm == 16
    motor_side = motor.opposite_hole_distances_mm[0] / math.sqrt(2)
    assert motor_side == pytest.approx(11.31, abs=0.005)
    assert board.side_mm / motor_side == pytest.approx(math.sqrt(2))


@pytest.mark.parametrize("pattern", ["16x16", "20x20", "25.5x25.5", "30.5x30.5"])
def test_board_diagonal_is_the_side_times_root_two(pattern):
    board = CATALOGUE.board_pattern(pattern)
    assert board.diagonal_mm == pytest.approx(board.side_mm * math.sqrt(2), abs=0.006)  # printed to 0.01 mm


@pytest.mark.parametrize(("thread", "din_985", "iso_7040"), [("M3", 4.0, 4.5), ("M4", 5.0, 6.0), ("M5", 5.0, 6.8)])
def test_an_insert_nut_is_lower_by_din_985_than_by_iso_7040(thread, din_985, iso_7040):
    low, high = CATALOGUE.nut(thread, "insert"), CATALOGUE.nut(thread, "insert-high")
    assert (low.standard, low.height_max_mm) == ("DIN 985 (1987)", din_985)
    assert (high.standard, high.height_max_mm) == ("ISO 7040", iso_7040)


def test_nominal_height_is_the_middle_and_the_maximum_is_kept():
    nut = CATALOGUE.nut("M3", "insert")
    assert (nut.height_min_mm, nut.height_mm, nut.height_max_mm) == (3.7, 3.85, 4.0)
    assert nut.height_tolerance_mm == pytest.approx(0.15)


@pytest.mark.parametrize(("thread", "din_985", "iso"), [("M4", 7.74, 7.66), ("M5", 8.87, 8.79)])
def test_din_985_prints_wider_corners_than_iso(thread, din_985, iso):
    assert CATALOGUE.nut(thread, "insert").corner_min_mm == din_985
    assert CATALOGUE.nut(thread, "insert-high").corner_min_mm == iso


@pytest.mark.parametrize(
    ("record_type", "style", "below"),
    [
        (Nut, "flanged", ["M3", "M4"]),
        (Nut, "flanged-insert", ["M3", "M4"]),
        (Nut, "insert", ["M2", "M2.5"]),
        (Screw, "button", ["M2", "M2.5"]),
    ],
)
def test_below_the_range_of_a_standard_there_is_only_practice(record_type, style, below):
    found = [r for r in CATALOGUE.records(record_type.kind) if r.style == style]
    assert {r.thread for r in found if r.provenance == "practice"} == set(below)
    for record in found:
        assert (record.thread in below) == record.standard.startswith("none")


def test_countersunk_m3_differs_between_din_7991_and_iso_10642():
    din, iso = CATALOGUE.screw("M3", "countersunk"), CATALOGUE.screw("M3", "countersunk-iso")
    assert (din.head_d_max_mm, iso.head_d_max_mm) == (6.0, 6.72)
    assert din.standard.startswith("DIN 7991")
    assert din.head_angle_deg == 90
    assert din.length_includes_head
    assert iso.head_angle_deg == 90


def test_din_934_and_iso_4032_differ_at_m5():
    assert CATALOGUE.nut("M5", "hex-din934").height_max_mm == 4.0
    assert CATALOGUE.nut("M5", "hex").height_max_mm == 4.7


def test_clearance_at_a_socket_head_needs_the_knurled_one():
    screw = CATALOGUE.screw("M3", "socket")
    assert screw.head_d_max_mm == 5.5
    assert screw.head_d_clear_mm == 5.68
    assert not screw.length_includes_head


@pytest.mark.parametrize(
    ("style", "factor"), [("socket", 1.0), ("button", 0.8), ("countersunk", 0.8), ("countersunk-iso", 0.8)]
)
def test_low_heads_carry_four_fifths(style, factor):
    found = [r for r in CATALOGUE.records("screw") if r.style == style]
    assert found
    assert {r.load_factor for r in found} == {factor}


def test_a_washer_is_thinner_nominally_than_at_most():
    washer = CATALOGUE.washer("M3")
    assert (washer.thickness_min_mm, washer.thickness_mm, washer.thickness_max_mm) == (0.45, 0.5, 0.55)
    assert washer.thickness_tolerance_mm == pytest.approx(0.05)


def test_edge_distance_of_the_trade_is_far_below_the_handbook():
    handbook = CATALOGUE.rule("edge_distance.e_over_d_loaded_hole").value
    trade = CATALOGUE.rule("edge_distance.hole_edge_to_plate_edge_trade_mm")
    hole = CATALOGUE.clearance_hole("M3").d_mm
    assert handbook == 3.0
    assert trade.value == 2.0
    assert (hole / 2 + trade.value) / hole < 1.5


def test_nylon_screws_use_conditioned_values():
    nylon = CATALOGUE.screw_class("nylon-66")
    assert (nylon.strength_nominal_mpa, nylon.elastic_modulus_mpa) == (55, 1700)
    assert nylon.allowed_stress_mpa < CATALOGUE.screw_class("nylon-66-dry").allowed_stress_mpa


def test_commodity_plate_is_softer_than_the_textbook():
    modulus = CATALOGUE.laminate("plate_woven_qi").value("e_inplane_mpa")
    assert modulus.band == (42_000, 56_000)
    assert modulus.band[1] < 69_700


def test_a_flanged_nut_counted_as_five_measures_less():
    nut = CATALOGUE.nut("M3", "flanged-insert-as-5")
    assert nut.height_max_mm == 4.5
    assert 5.0 - nut.height_mm == pytest.approx(0.55)


def test_seven_and_nine_millimetre_screws_are_in_no_series():
    lengths = CATALOGUE.lengths("M3")
    assert sorted({*lengths.all_mm} - {*lengths.series_mm}) == [7, 9]
    assert list(lengths.all_mm) == sorted(lengths.all_mm)


def test_a_five_millimetre_arm_takes_eight_millimetre_motor_screws():
    low, high = CATALOGUE.motor("motor_2207").engagement_range_mm
    least = CATALOGUE.motor("motor_2207").engagement_min_diameters * CATALOGUE.thread("M3").d_mm
    fits = [n for n in CATALOGUE.lengths("M3").all_mm if max(low, least) <= n - 5 <= high]
    assert fits == [8, 9]
    assert least > 7 - 5


def test_the_propeller_stands_on_its_seat_not_at_the_overall_height():
    for motor in CATALOGUE.records("motor"):
        assert motor.seat_height_mm < motor.overall_height_mm


def test_motor_windings_are_known_for_some_classes_only():
    assert CATALOGUE.motor("motor_2207").winding.resistance_mohm == 65
    assert CATALOGUE.motor("motor_2204").winding is None
