"""Dimensions of metric fasteners against formulas of the standards and an independent copy of their tables.

References
----------
ISO 68-1:1998 (basic profile), ISO 724:1993 (basic dimensions), ISO 898-1:2013 clause 9.1.6 (stress area),
ISO 273:1979 (clearance holes), ISO 4762, ISO 7380-1, ISO 10642, DIN 7991, ISO 4032, ISO 4035, EN 1661, ISO 7089,
ISO 7093-1. The standards' own text was not at hand: the tables are compared as transcribed in the package
bd_warehouse 0.4.0, whose data files are read without its CAD modules. Where that copy is known to hold another column
of the standard, or an error, the test says so and expects exactly that.
"""

import csv
import math
from importlib import resources

import pytest

from platewright.model.catalogue import load_catalogue

CATALOGUE = load_catalogue()
SIZES = ["M2", "M2.5", "M3", "M4", "M5"]
COARSE_PITCH = {"M2": "0.4", "M2.5": "0.45", "M3": "0.5", "M4": "0.7", "M5": "0.8"}


def package_table(name):
    """One data file of the package: row by its first column, column names stripped."""
    text = (resources.files("bd_warehouse") / "data" / f"{name}.csv").read_text(encoding="utf-8-sig")
    rows = csv.reader(text.splitlines())
    header = [cell.strip() for cell in next(rows)]
    return {row[0]: dict(zip(header, row, strict=False)) for row in rows}


SOCKET = package_table("socket_head_cap_parameters")
BUTTON = package_table("button_head_parameters")
COUNTERSUNK = package_table("countersunk_head_parameters")
NUT = package_table("hex_nut_parameters")
FLANGE_NUT = package_table("hex_nut_with_flange_parameters")
WASHER = package_table("plain_washer_parameters")
HOLE = package_table("clearance_hole_sizes")


def key(size):
    return f"{size}-{COARSE_PITCH[size]}"


@pytest.mark.parametrize("size", ["M1.4", "M1.6", *SIZES])
def test_thread_dimensions_follow_the_basic_profile(size):
    """ISO 68-1, ISO 724: H = sqrt(3)/2 P, d2 = d - 3/4 H, D1 = d - 5/4 H, d3 = d2 - 2/3 H = d - 17/12 H."""
    thread = CATALOGUE.thread(size)
    d, H = thread.d_mm, math.sqrt(3) / 2 * thread.pitch_mm
    rounding = 6e-5  # the catalogue keeps four decimals
    assert thread.pitch_d_mm == pytest.approx(d - 3 / 4 * H, abs=rounding)
    assert thread.minor_d_int_mm == pytest.approx(d - 5 / 4 * H, abs=rounding)
    assert thread.minor_d_ext_mm == pytest.approx(d - 17 / 12 * H, abs=rounding)


@pytest.mark.parametrize(
    ("size", "printed", "half_digit"),
    [("M2", 2.07, 0.005), ("M2.5", 3.39, 0.005), ("M3", 5.03, 0.005), ("M4", 8.78, 0.005), ("M5", 14.2, 0.05)],
)
def test_stress_area_is_that_of_iso_898_1(size, printed, half_digit):
    """ISO 898-1, 9.1.6: As = pi/4 ((d2 + d3)/2)^2; table 4 prints three figures (M2 and M2.5 from memory)."""
    thread = CATALOGUE.thread(size)
    area = math.pi / 4 * ((thread.pitch_d_mm + thread.minor_d_ext_mm) / 2) ** 2
    assert thread.stress_area_mm2 == pytest.approx(area, rel=1e-4)  # diameters kept to four decimals
    assert thread.stress_area_mm2 == pytest.approx(printed, abs=half_digit)


@pytest.mark.parametrize("size", ["M1.4", "M1.6", *SIZES])
@pytest.mark.parametrize(("fit", "column"), [("fine", "Close"), ("medium", "Normal"), ("coarse", "Loose")])
def test_clearance_holes(size, fit, column):
    """ISO 273:1979; the package's column names are Close, Normal and Loose."""
    assert CATALOGUE.clearance_hole(size, fit).d_mm == float(HOLE[size][column])


@pytest.mark.parametrize("size", SIZES)
def test_socket_head(size):
    """ISO 4762. The package lists the knurled head's maximum diameter, the larger of the standard's two."""
    screw, theirs = CATALOGUE.screw(size, "socket"), SOCKET[key(size)]
    assert screw.head_h_max_mm == float(theirs["iso4762:k"])
    assert screw.drive_size_mm == float(theirs["iso4762:s"])
    assert screw.drive_depth_min_mm == float(theirs["iso4762:t"])
    assert screw.head_d_knurled_max_mm == float(theirs["iso4762:dk"])
    assert screw.head_d_max_mm < float(theirs["iso4762:dk"])


@pytest.mark.parametrize("size", ["M3", "M4", "M5"])
def test_button_head(size):
    """ISO 7380-1:2011. The package lists the largest socket as drive size, 0.08 mm above the key."""
    screw, theirs = CATALOGUE.screw(size, "button"), BUTTON[key(size)]
    assert screw.head_d_max_mm == float(theirs["iso7380_1:dk"])
    assert screw.head_h_max_mm == float(theirs["iso7380_1:k"])
    assert screw.drive_depth_min_mm == float(theirs["iso7380_1:t"])
    assert float(theirs["iso7380_1:s"]) - screw.drive_size_mm == pytest.approx(0.08)


@pytest.mark.parametrize("size", ["M2", "M2.5"])
def test_no_standard_button_head_below_m3(size):
    """ISO 7380-1 starts at M3: the package has none either, ours are marked as practice."""
    assert key(size) not in BUTTON
    assert CATALOGUE.screw(size, "button").provenance == "practice"


@pytest.mark.parametrize("size", ["M3", "M4", "M5"])
def test_countersunk_head(size):
    """DIN 7991, which the package labels iso10642 (an error); its sockets are maxima, 0.1 mm above the key."""
    theirs = COUNTERSUNK[key(size)]
    din, iso = CATALOGUE.screw(size, "countersunk"), CATALOGUE.screw(size, "countersunk-iso")
    assert din.head_angle_deg == float(theirs["iso10642:a"])
    assert din.head_d_max_mm == float(theirs["iso10642:dk"])
    assert din.head_h_max_mm == float(theirs["iso10642:k"])
    assert din.drive_depth_min_mm == float(theirs["iso10642:t"])
    assert float(theirs["iso10642:s"]) - din.drive_size_mm == pytest.approx(0.1)
    assert iso.head_d_max_mm > float(theirs["iso10642:dk"])
    assert iso.head_h_max_mm > float(theirs["iso10642:k"])


@pytest.mark.parametrize("size", ["M3", "M4", "M5"])
def test_iso_10642_head_is_a_right_angled_cone(size):
    """ISO 10642: theoretical dk - d = 2 k at 90 degrees. Both are printed to two decimals."""
    screw = CATALOGUE.screw(size, "countersunk-iso")
    assert screw.head_d_max_mm - CATALOGUE.thread(size).d_mm == pytest.approx(2 * screw.head_h_max_mm, abs=0.02)


@pytest.mark.parametrize("size", SIZES)
def test_hexagon_nuts(size):
    """ISO 4032 and ISO 4035. The package files the M3 thin nut under pitch 0.45 (an error)."""
    nut, thin = CATALOGUE.nut(size, "hex"), CATALOGUE.nut(size, "thin")
    theirs, theirs_thin = NUT[key(size)], NUT["M3-0.45" if size == "M3" else key(size)]
    assert nut.height_max_mm == float(theirs["iso4032:m"])
    assert nut.across_flats_max_mm == float(theirs["iso4032:s"])
    assert thin.height_max_mm == float(theirs_thin["iso4035:m"])
    assert thin.across_flats_max_mm == float(theirs_thin["iso4035:s"])
    assert (NUT[key(size)]["iso4035:m"] == "") == (size == "M3")


@pytest.mark.parametrize("size", SIZES)
def test_hexagon_corners_are_1_13_times_the_least_width(size):
    """ISO 4032: e min = 1.13 s min, two decimals; a second open table set rounds M3 up to 6.1."""
    nut = CATALOGUE.nut(size, "hex")
    assert nut.corner_min_mm == pytest.approx(1.13 * nut.across_flats_min_mm, abs=0.006)


def test_flanged_nut():
    """ISO 4161 / EN 1661, which the package labels din1665; both start at M5."""
    nut, theirs = CATALOGUE.nut("M5", "flanged"), FLANGE_NUT["M5-0.8"]
    assert nut.height_max_mm == float(theirs["din1665:m"])
    assert nut.across_flats_max_mm == float(theirs["din1665:s"])
    assert nut.flange_d_max_mm == float(theirs["din1665:dc"])
    assert nut.flange_edge_min_mm == float(theirs["din1665:c"])
    assert key("M4") not in FLANGE_NUT


@pytest.mark.parametrize("size", SIZES)
def test_plain_washer(size):
    """ISO 7089. The package lists the maximum thickness, not the nominal one."""
    washer, theirs = CATALOGUE.washer(size), WASHER[size]
    assert washer.inner_d_min_mm == float(theirs["iso7089:d1"])
    assert washer.outer_d_max_mm == float(theirs["iso7089:d2"])
    assert washer.thickness_max_mm == float(theirs["iso7089:h"])
    assert washer.thickness_mm < float(theirs["iso7089:h"])


@pytest.mark.parametrize("size", ["M3", "M4"])
def test_large_washer(size):
    """ISO 7093-1, maximum thickness in the package. Our records came from this table: a check of copying."""
    washer, theirs = CATALOGUE.washer(size, "large"), WASHER[size]
    assert washer.inner_d_min_mm == float(theirs["iso7093:d1"])
    assert washer.outer_d_max_mm == float(theirs["iso7093:d2"])
    assert washer.thickness_max_mm == float(theirs["iso7093:h"])


def test_preferred_lengths_of_m3_are_those_of_iso_4762():
    """ISO 4762 from M3x5; 14 and 18 mm are ISO 888 lengths that the package's ISO 4762 list does not have."""
    rows = package_table("nominal_screw_lengths")
    theirs = {float(text) for text in rows["iso4762"]["Nominal_Sizes"].split(",")}
    ours = CATALOGUE.lengths("M3")
    assert set(ours.series_mm) - theirs == {14.0, 18.0}
    assert not set(ours.off_series_mm) & theirs
