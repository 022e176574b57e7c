"""Motors with propellers at full command, predicted from the others.

P. Cao and J. Strawson, motor_propeller_testing, 2018 (MIT licence), a subset of 65 rows. A regression of the logarithms
on motor, propeller and voltage reaches medians of 0.6 % in speed, 2.0 % in thrust, 1.3 % in current, and 90th
percentiles of 1.4, 4.9 and 3.7 %; the figures here are compared with the same one decimal.
"""

import csv

import numpy as np
import pytest

from platewright.rotor.pairs import fit_pairs
from thrust_stand_pairs import FILE, errors_text, full_command_rows

with FILE.open(encoding="utf-8", newline="") as _file:
    ERRORS = {(r["left_out"], r["quantity"]): r for r in csv.DictReader(_file)}


@pytest.mark.parametrize(
    ("quantity", "median", "nine_tenths"), [("speed", 0.6, 1.4), ("thrust", 2.0, 4.9), ("current", 1.3, 3.7)]
)
def test_left_out_pairs_are_predicted_as_well_as_by_regression(quantity, median, nine_tenths):
    row = ERRORS["pair", quantity]
    assert round(float(row["median_pct"]), 1) <= median
    assert round(float(row["nine_tenths_pct"]), 1) <= nine_tenths


def test_the_rows_themselves_are_met():
    rows = full_command_rows()
    fit = fit_pairs(rows)
    assert rows.speed.size == 65
    made = fit.logarithms(rows.motor, rows.propeller, rows.voltage)
    for value, measured, limit in zip(made, (rows.speed, rows.thrust, rows.current), (0.006, 0.02, 0.013), strict=True):
        assert np.median(np.abs(value - np.log(measured))) < limit
    assert np.all((fit.powers[:2] > 1.9) & (fit.powers[:2] < 2.1))


@pytest.mark.slow
def test_the_printed_errors_are_found_again():
    fresh = {(r["left_out"], r["quantity"]): r for r in csv.DictReader(errors_text().splitlines())}
    assert fresh.keys() == ERRORS.keys()
    for key, row in fresh.items():
        for name in ("median_pct", "nine_tenths_pct"):
            assert float(row[name]) == pytest.approx(float(ERRORS[key][name]), rel=0.02, abs=0.02), key
