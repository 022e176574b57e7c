"""Coefficients of a propeller from what is known of it."""

import numpy as np
import pytest

from platewright.model.catalogue import load_rotor_rows
from platewright.study.propellers import blade_section, estimate_propeller, wind_tunnel_tables

NAME = "5.0x4.3x2-J"
STATIONS = [(r.r_over_R, r.c_over_R, r.twist_deg) for r in load_rotor_rows().geometry if r.propeller == NAME]


def test_a_known_blade_is_used_and_said():
    known, unknown = (estimate_propeller(5.0, 4.3, 2, 5000, blade=b) for b in (STATIONS, ()))
    assert known.source.startswith("its diameter, pitch, blades, chord and twist")
    assert unknown.source.startswith("its diameter, pitch and blades,")
    assert known.ct != unknown.ct
    assert known.ct_band_pct < unknown.ct_band_pct


def test_a_wider_blade_gives_more_and_a_steeper_one_asks_more():
    wide = [(r, 1.2 * c, t) for r, c, t in STATIONS]
    steep = [(r, c, t + 3) for r, c, t in STATIONS]
    usual, wider, steeper = (estimate_propeller(5.0, 4.3, 2, 5000, blade=b) for b in (STATIONS, wide, steep))
    assert wider.ct > usual.ct
    assert steeper.cp > 1.1 * usual.cp


@pytest.mark.parametrize(
    "stations",
    [STATIONS[:3], STATIONS[::-1], [(r * 2, c, t) for r, c, t in STATIONS], [(r, -c, t) for r, c, t in STATIONS]],
)
def test_a_blade_must_be_given_from_hub_to_tip(stations):
    with pytest.raises(ValueError, match="four stations or more that rise from hub to tip"):
        estimate_propeller(5.0, 4.3, 2, 5000, blade=stations)


def test_a_static_point_or_static_rows_are_used_and_said():
    own = estimate_propeller(5.0, 4.3, 2, 6000, 0.3, static_point=(6000, 0.14, 0.07))
    assert (own.static_ct, own.static_cp) == (pytest.approx(0.14), pytest.approx(0.07))
    assert own.ct < own.static_ct
    assert own.source.startswith("one static point of its own")
    measured = estimate_propeller(5.0, 4.3, 2, 5000, measured_as=NAME)
    table = next(t for t in wind_tunnel_tables() if t.name == NAME)
    ct, _ = table.static(np.array([5000 * np.pi / 30]))
    assert measured.ct == pytest.approx(float(ct[0]))
    assert measured.source.startswith("its own static rows")


def test_beyond_no_thrust_it_does_not_apply():
    assert estimate_propeller(5.0, 4.3, 2, 5000, 0.2).applies
    assert not estimate_propeller(5.0, 4.3, 2, 5000, 1.5).applies


def test_the_section_is_the_thin_one():
    lift, drag, _ = blade_section().at(np.radians([4.0]), np.array([100_000.0]))
    assert 0.5 < float(lift[0]) < 0.9
    assert 0.005 < float(drag[0]) < 0.03
