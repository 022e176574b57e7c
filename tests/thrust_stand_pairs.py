"""Motors with propellers predicted at full command, left out pair by pair, motor by motor, propeller by propeller.

P. Cao and J. Strawson, motor_propeller_testing, 2018 (MIT licence), a subset: 65 rows at full command below 10.5 A with
thrust of the right sign. Run as a program, this writes `verification/thrust_stand_errors.csv`.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.units import N_PER_GF, RAD_PER_S_PER_RPM
from platewright.model.catalogue import ThrustStandRow, load_rotor_rows
from platewright.rotor.pairs import PairRows, fit_pairs

__all__ = ["errors_text", "full_command", "full_command_rows", "section"]

Errors = tuple[str, list[NDArray[np.float64]]]
FILE = Path(__file__).parent / "verification" / "thrust_stand_errors.csv"
HEAD = """## Motors and propellers that were left out

P. Cao and J. Strawson, motor_propeller_testing, 2018 (MIT licence), a subset: 65 rows at full command below 10.5 A.
Speed, thrust and current are predicted at the measured voltage. The last lines are what a regression of the logarithms
on motor, propeller and voltage makes of left-out pairs. A motor that was never measured is known by its
nominal Kv alone, which one of them misses by a third.

| left out | quantity | median | 90th percentile |
|---|---|---|---|
"""


def full_command() -> list[ThrustStandRow]:
    """Return the 65 rows as they are in the file."""
    stand = load_rotor_rows().thrust_stand
    return [r for r in stand if r.throttle_us >= 1995 and r.current_a < 10.5 and r.thrust_gf > 0]


def full_command_rows() -> PairRows:
    """Return the 65 rows."""
    rows = full_command()
    motors = list(dict.fromkeys(r.motor for r in rows))
    propellers = list(dict.fromkeys(r.propeller for r in rows))
    nominal = {r.motor: r.kv_rpm_per_v * RAD_PER_S_PER_RPM for r in rows}
    return PairRows(
        np.array([motors.index(r.motor) for r in rows]),
        np.array([propellers.index(r.propeller) for r in rows]),
        np.array([nominal[m] for m in motors]),
        len(propellers),
        np.array([r.voltage_v for r in rows]),
        np.array([r.speed_rpm for r in rows]) * RAD_PER_S_PER_RPM,
        np.array([r.thrust_gf for r in rows]) * N_PER_GF,
        np.array([r.current_a for r in rows]),
    )


def errors_text() -> str:
    """Return the file: every prediction made anew (half a minute)."""
    rows = full_command_rows()
    lines = ["left_out,quantity,median_pct,nine_tenths_pct"]
    for name, errors in _all_errors(rows):
        for quantity, error in zip(("speed", "thrust", "current"), errors, strict=True):
            relative = 100 * np.abs(np.expm1(error))
            lines.append(f"{name},{quantity},{np.median(relative):.2f},{np.quantile(relative, 0.9):.2f}")
    return "\n".join(lines) + "\n"


def section() -> str:
    """Return the section of the verification page, from the file."""
    with FILE.open(encoding="utf-8", newline="") as file:
        return HEAD + "".join(
            f"| {r['left_out']} | {r['quantity']} | {r['median_pct']} % | {r['nine_tenths_pct']} % |\n"
            for r in csv.DictReader(file)
        )


def _all_errors(rows: PairRows) -> Iterator[Errors]:
    pairs = rows.motor * 100 + rows.propeller
    for name, groups in (("pair", pairs), ("motor", rows.motor), ("propeller", rows.propeller)):
        errors: list[list[NDArray[np.float64]]] = [[], [], []]
        for group in np.unique(groups):
            out = groups == group
            made = fit_pairs(rows.only(~out)).logarithms(rows.motor[out], rows.propeller[out], rows.voltage[out])
            for k, (value, measured) in enumerate(zip(made, _measured(rows), strict=True)):
                errors[k].append(value - measured[out])
        yield name, [np.concatenate(e) for e in errors]
    yield "pair by plain regression", _plain(rows, pairs)


def _measured(rows: PairRows) -> list[NDArray[np.float64]]:
    return [np.log(x) for x in (rows.speed, rows.thrust, rows.current)]


def _plain(rows: PairRows, pairs: NDArray[np.int64]) -> list[NDArray[np.float64]]:
    design = np.column_stack(
        [
            np.eye(rows.motor.max() + 1)[rows.motor],
            np.eye(rows.propeller.max() + 1)[rows.propeller],
            np.log(rows.voltage),
        ]
    )
    errors: list[NDArray[np.float64]] = []
    for measured in _measured(rows):
        error = np.zeros(measured.size)
        for pair in np.unique(pairs):
            out = pairs == pair
            slopes, *_ = np.linalg.lstsq(design[~out], measured[~out], rcond=None)
            error[out] = design[out] @ slopes - measured[out]
        errors.append(error)
    return errors


if __name__ == "__main__":
    FILE.write_text(errors_text(), encoding="utf-8")
    sys.stdout.write(f"wrote {FILE.name}\n")
