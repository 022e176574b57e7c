"""Findings about heights: gaps before tightening, bows, tilts."""

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from frames import assembled, column, findings, plate
from platewright.study.level_findings import Bow, bows

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"
PLATES = (plate("base", 4, (140, 60)), plate("deck", 2, (140, 60)))
LONG = column("long", SCREW, "base", "standoff M3x25", "deck", BUTTON, at=[60, 20], sets_level=["deck"])


def test_what_stands_on_a_nut_sold_as_five_ends_half_a_millimetre_low():
    """Flanged M3 lock nuts counted as 5 mm measure 4.4 to 4.5 (common practice, no source): 20 + 4.45 against 25."""
    on_nut = (SCREW, "base", "nut M3 flanged-insert sold-as-5", "standoff M3x20", "deck", BUTTON)
    (found,) = findings("level.gap", *PLATES, LONG, column("short", *on_nut, at=[20, 20]))
    assert found.value == pytest.approx(0.55)
    assert (found.severity, found.where) == ("note", "deck")  # within checks.gap_mm, 1 mm
    assert "stands 0.55 mm above its support at short" in found.message
    (found,) = findings("level.gap", *PLATES, LONG, column("short", *on_nut, at=[20, 20]), checks="gap_mm = 0.5")
    assert found.severity == "warn"


def test_a_plate_that_is_forced_down_overlaps():
    tall = column("tall", SCREW, "base", "standoff M3x28", "deck", BUTTON, at=[20, 20])
    (found,) = findings("level.gap", *PLATES, LONG, tall)
    assert (found.value, found.severity) == (pytest.approx(3), "warn")
    assert "overlaps by 3.00 mm its support at tall" in found.message


def test_gaps_nobody_would_notice_are_left_out():
    washers = (SCREW, "base", "standoff M3x25", "deck", BUTTON)
    assert findings("level.gap", *PLATES, LONG, column("same", *washers, at=[20, 20])) == []


def test_a_bow_is_the_natural_spline_through_the_heights():
    short = column("short", SCREW, "base", "standoff M3x20", "deck", BUTTON, at=[20, 20])
    (bow,) = bows(assembled(*PLATES, LONG, short))
    assert bow.stations == ((-60, 29), (-20, 24), (20, 24), (60, 29))
    curve = CubicSpline([-60, -20, 20, 60], [29, 24, 24, 29], bc_type="natural")
    assert bow.height(0) == pytest.approx(curve(0))
    assert bow.height(0) < 24  # it sags below its supports in the middle
    assert bow.height(80) == pytest.approx(29 + 20 * curve(60, 1))  # straight on beyond the ends
    assert bow.plane_rise == pytest.approx(curve(0) - 29)
    assert bow.rise_at == pytest.approx(0)


def test_three_stations_bow_as_a_beam_on_three_supports():
    """Closed form: a natural spline through (-L, 0), (0, d), (L, 0) has slope -+1.5 d / L at its ends."""
    bow = Bow("deck", ((-50.0, 0.0), (0.0, 2.0), (50.0, 0.0)), 0.0, 0.0, 0.0)
    slope = bow.height(51) - bow.height(50)
    assert slope == pytest.approx(-1.5 * 2 / 50)
    assert np.allclose(bow.between(np.array([-50.0, 0.0, 50.0])), [0, 2, 0])


def test_the_limit_of_a_bow_is_the_makers():
    short = column("short", SCREW, "base", "standoff M3x20", "deck", BUTTON, at=[20, 20])
    (found,) = findings("level.bow", *PLATES, LONG, short)
    assert (found.severity, found.limit) == ("note", 6)
    assert 5 < found.value < 6
    (found,) = findings("level.bow", *PLATES, LONG, short, checks="bow_mm = 5")
    assert found.severity == "warn"


def test_a_tilt_is_given_in_mm_per_m():
    low = column("low", SCREW, "base", "standoff M3x20", "deck", BUTTON, at=[-60, 20], mirror="y")
    high = column("high", SCREW, "base", "standoff M3x25", "deck", BUTTON, at=[60, 20], mirror="y")
    (found,) = findings("level.tilt", *PLATES, low, high)
    assert found.value == pytest.approx(1000 * 5 / 120)
