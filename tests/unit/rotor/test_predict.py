"""Propellers predicted from measured ones."""

import numpy as np
import pytest

from platewright.rotor.predict import StaticPoint, fit_propeller_model
from platewright.rotor.tables import PropellerSize, reynolds_number, zero_thrust_advance_ratio
from platewright.study.propellers import blade_section, propeller_model, wind_tunnel_tables

TABLES = {t.name: t for t in wind_tunnel_tables()}
MODEL = propeller_model()
SIZE = PropellerSize(0.127, 0.109, 3)
SPEED = np.full(5, 2000.0)
ADVANCE = np.array([0.0, 0.1, 0.2, 0.4, 0.6])


def test_a_static_point_is_met():
    point = StaticPoint(1500.0, 0.2, 0.14)
    made = MODEL.predict(SIZE, np.array([1500.0]), np.zeros(1), point=point)
    assert (made.knowledge, made.thrust[0], made.power[0]) == ("d", pytest.approx(0.2), pytest.approx(0.14))


def test_static_rows_come_before_a_point_and_a_blade():
    table = TABLES["5.0x4.3x2-J"]
    point = StaticPoint(1500.0, 0.2, 0.14)
    where = (table.size, table.speed, table.advance_ratio)
    assert MODEL.predict(*where, table=table, point=point, blade=table.blade).knowledge == "c"
    assert MODEL.predict(*where, point=point, blade=table.blade).knowledge == "d"
    assert MODEL.predict(*where, blade=table.blade).knowledge == "b"
    assert MODEL.predict(*where).knowledge == "a"


def test_thrust_falls_with_advance_ratio_to_nothing():
    made = MODEL.predict(SIZE, SPEED, ADVANCE)
    assert np.all(np.diff(made.thrust) < 0)
    there = MODEL.predict(SIZE, SPEED, made.zero_thrust_j)
    assert np.abs(there.thrust / there.static_thrust).max() < 0.1


def test_more_blades_and_more_pitch_give_more_thrust_and_power():
    def static(pitch, blades):
        made = MODEL.predict(PropellerSize(0.127, pitch, blades), SPEED[:1], ADVANCE[:1])
        return np.array([made.thrust[0], made.power[0]])

    assert np.all(static(0.1, 3) > static(0.1, 2))
    assert np.all(static(0.1, 2) > static(0.07, 2))


def test_too_few_tables_are_refused():
    with pytest.raises(ValueError, match="ten propellers with static rows or more"):
        fit_propeller_model(list(TABLES.values())[:5], blade_section())


def test_a_size_without_blades_is_refused():
    with pytest.raises(ValueError, match="blades 2 or more"):
        PropellerSize(0.1, 0.1, 1)


def test_zero_thrust_is_where_the_rows_cross():
    table = TABLES["8.0x6.0x2-E"]
    j = zero_thrust_advance_ratio(table)
    above, below = table.advance_ratio > j + 0.03, table.advance_ratio < j - 0.03
    assert np.all(table.thrust_coefficient[above] < 0)
    assert np.all(table.thrust_coefficient[below] > 0)
    assert np.isnan(
        zero_thrust_advance_ratio(
            TABLES["5.0x1.6x2-H"].__class__("none", SIZE, np.zeros(2), SPEED[:2], np.full(2, 0.1), np.full(2, 0.05))
        )
    )


def test_reynolds_number_goes_with_speed_and_area():
    one = reynolds_number(np.array([1000.0]), 0.1)
    assert reynolds_number(np.array([2000.0]), 0.1) == pytest.approx(2 * one)
    assert reynolds_number(np.array([1000.0]), 0.2) == pytest.approx(4 * one)
