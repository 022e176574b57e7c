"""Fits to the rows of a thrust stand."""

import numpy as np
import pytest

from platewright.foundation.errors import RotorError
from platewright.rotor.fitting import current_limited, fit_motor, fit_propeller
from platewright.rotor.motor import Motor, run_at_voltage

SPEED = np.linspace(600.0, 2200.0, 9)
CT = 0.15 * (SPEED / SPEED[4]) ** 0.05
THRUST = CT * 1.2 * (SPEED / 2 / np.pi) ** 2 * 0.127**4
TORQUE = 0.6 * CT * 1.2 * (SPEED / 2 / np.pi) ** 2 * 0.127**5 / 2 / np.pi
MOTOR = Motor(240.0, 0.15, 0.8)
LOADS = {"one": 2.0e-8, "two": 2.6e-8, "three": 3.3e-8}


def motor_rows():
    pairs = [(name, v) for name in LOADS for v in (7.0, 9.0, 11.0)]
    runs = [run_at_voltage(MOTOR, LOADS[name], v) for name, v in pairs]
    volts, amperes, speeds = (np.array(x) for x in zip(*[(r.voltage, r.current, r.speed) for r in runs], strict=True))
    return volts, amperes, speeds, [name for name, _ in pairs]


def test_propeller_is_found_with_its_slope():
    fit = fit_propeller(SPEED, THRUST, 0.127, 1.2, TORQUE)
    assert fit.thrust == pytest.approx((0.15, 0.05))
    assert fit.power == pytest.approx((0.09, 0.05))
    assert fit.outliers == ()


def test_wrong_speed_and_wrong_sign_are_shown_and_left_out():
    rng = np.random.default_rng(3)
    thrust = THRUST * (1 + rng.normal(0, 0.003, 9))
    thrust[2] *= 1.3
    thrust[6] = -thrust[6]
    fit = fit_propeller(SPEED, thrust, 0.127, 1.2)
    assert {2, 6} <= set(fit.outliers)
    assert fit.thrust[0] == pytest.approx(0.15, rel=0.01)


@pytest.mark.parametrize(
    ("factor", "hint"), [(1 / 60, "revolutions per second"), (np.pi / 30, "rad/s"), (7.0, "electrical revolutions")]
)
def test_speed_in_another_unit_is_named(factor, hint):
    with pytest.raises(RotorError, match=f"looks like {hint}"):
        fit_propeller(SPEED * factor, THRUST, 0.127, 1.2)


def test_two_points_are_too_few():
    with pytest.raises(RotorError, match=r"must hold 5 rows .* or more \(got 2\)"):
        fit_propeller(SPEED[:2], THRUST[:2], 0.127, 1.2)


@pytest.mark.parametrize("row", [0, 4, 8])
def test_a_far_speed_cannot_pull_the_slope(row):
    """One speed a hundred times too low lies so far aside that it would carry a least-squares line with it."""
    rng = np.random.default_rng(5)
    thrust, speed = THRUST * (1 + rng.normal(0, 0.004, 9)), SPEED.copy()
    speed[row] /= 100
    fit = fit_propeller(speed, thrust, 0.127, 1.2)
    assert fit.outliers == (row,)
    assert fit.off[0] > 1000
    assert fit.thrust == pytest.approx((0.15, 0.05), abs=0.01)
    assert fit.errors[0] < 0.01


def test_how_far_off_is_said_of_each_row_left_out():
    thrust, torque = THRUST.copy(), TORQUE.copy()
    thrust[2] *= 1.3
    torque[5] *= 0.5
    torque[7] = 0.0
    fit = fit_propeller(SPEED, thrust, 0.127, 1.2, torque)
    assert dict(zip(fit.outliers, fit.off, strict=True)) == {
        2: pytest.approx(0.3),
        5: pytest.approx(-0.5),
        7: pytest.approx(np.nan, nan_ok=True),
    }


def test_a_diameter_in_millimetres_is_named():
    with pytest.raises(RotorError, match=r"the diameter looks like millimetres, so divide it by 25\.4"):
        fit_propeller(SPEED, THRUST, 0.127 * 25.4, 1.2)


def test_errors_hold_the_truth_nine_times_in_ten():
    rng = np.random.default_rng(11)
    held = []
    for _ in range(200):
        volts, amperes, speeds, names = motor_rows()
        fit = fit_motor(volts, amperes, speeds * (1 + rng.normal(0, 0.004, speeds.size)), names)
        held.append(abs(fit.resistance - 0.15) <= fit.errors[1])
    assert 0.8 < np.mean(held) < 0.97


def test_rows_at_one_voltage_do_not_tell_the_no_load_current():
    volts, amperes, speeds, names = motor_rows()
    rows = [i for i, v in enumerate(volts) if v > 10] + [0, 3]
    more = ["four", "five"]
    fit = fit_motor(volts[rows], amperes[rows], speeds[rows], [names[i] for i in rows[:3]] + more)
    assert fit.speed_constant == pytest.approx(240.0)
    assert fit.no_load_current is None


def test_motor_is_found():
    fit = fit_motor(*motor_rows())
    assert (fit.speed_constant, fit.resistance) == pytest.approx((240.0, 0.15))
    assert fit.no_load_current == pytest.approx(0.8, abs=1e-6)


def test_an_outlier_of_a_motor_is_left_out():
    volts, amperes, speeds, names = motor_rows()
    speeds[4] *= 1.08
    fit = fit_motor(volts, amperes, speeds, names)
    assert fit.outliers == (4,)
    assert fit.speed_constant == pytest.approx(240.0)


def test_rows_all_alike_cannot_tell_kv_from_resistance():
    with pytest.raises(RotorError, match="Kv and resistance cannot be told apart"):
        fit_motor(np.full(6, 10.0), np.full(6, 8.0), np.full(6, 2000.0), ["one"] * 6)


def test_motor_speeds_in_another_unit_are_refused():
    volts, amperes, speeds, names = motor_rows()
    with pytest.raises(RotorError, match="mechanical revolutions per minute"):
        fit_motor(volts, amperes, speeds / 60, names)


def test_a_limit_is_seen_where_three_runs_stop():
    current = np.array([3.0, 10.9, 4.0, 10.8, 5.0, 10.95])
    limited = current_limited(current, ["a", "a", "b", "b", "c", "c"])
    assert limited.tolist() == [False, True] * 3
    assert not current_limited(np.array([3.0, 10.9, 4.0, 9.0]), ["a", "a", "b", "b"]).any()
