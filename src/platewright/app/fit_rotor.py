"""Fit a propeller's coefficients, or a motor's constants, to a user's own thrust-stand table."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from platewright.foundation.errors import RotorError, nearest_names
from platewright.foundation.units import M_PER_INCH, N_PER_GF, OHM_PER_MOHM, RAD_PER_S_PER_RPM
from platewright.io.thrust_stand import StandTable, read_stand_table
from platewright.rotor.fitting import current_limited, fit_motor, fit_propeller

__all__ = ["RotorFitResult", "fit_motor_table", "fit_propeller_table"]

_FULL_SHARE = 0.995  # of the greatest throttle: full command


@dataclass(frozen=True)
class RotorFitResult:
    """What a fit found, as rows for people: quantity, value, unit.

    Errors are what nine in ten keep by the scatter of the rows alone.

    Parameters
    ----------
    subject : str
        Propeller or motor.
    values : tuple
        (name with its unit, number) pairs; the number is None where it was not measured.
    rows_used, rows_given : int
        Rows kept, and rows of the subject in the file.
    limited_lines, partial_lines, outlier_lines : tuple of int
        Lines of the file that were left out: cut short by the bench's limit, below full command, far from the fit.
    outlier_off_pct : tuple of float or None
        How far each of the last lies from the fit; None where a reading is not positive.
    assumption : str
        What was assumed.
    """

    subject: str
    values: tuple[tuple[str, float | None], ...]
    rows_used: int
    rows_given: int
    limited_lines: tuple[int, ...]
    partial_lines: tuple[int, ...]
    outlier_lines: tuple[int, ...]
    outlier_off_pct: tuple[float | None, ...]
    assumption: str


def fit_propeller_table(
    path: Path, diameter_in: float, *, propeller: str = "", density_kg_m3: float = 1.2
) -> RotorFitResult:
    """Fit static CT, and CP where torque was measured.

    Parameters
    ----------
    path : Path
        CSV table with speed_rpm and thrust_gf or thrust_n, perhaps torque_nm and propeller.
    diameter_in : float
        Diameter [in].
    propeller : str
        Only rows of this propeller; needed where the table holds several.
    density_kg_m3 : float
        Density of the air when it was measured.

    Raises
    ------
    RotorError
        If the table cannot be used; one sentence says why.
    """
    if not (diameter_in > 0 and density_kg_m3 > 0):
        message = f"diameter and density must be greater than 0 (got {diameter_in:g} in, {density_kg_m3:g} kg/m3)."
        raise RotorError(message)
    table = _of(read_stand_table(path, ("speed_rpm", "thrust_gf|thrust_n")), "propeller", propeller)
    columns = {name: np.array(column) for name, column in table.numbers.items()}
    thrust = columns["thrust_n"] if "thrust_n" in columns else columns["thrust_gf"] * N_PER_GF
    speed = columns["speed_rpm"] * RAD_PER_S_PER_RPM
    fit = fit_propeller(speed, thrust, diameter_in * M_PER_INCH, density_kg_m3, columns.get("torque_nm"))
    power = fit.power or (None, None)
    return RotorFitResult(
        propeller or path.name,
        (
            ("ct", fit.thrust[0]),
            ("ct_error_pct", 100 * fit.errors[0]),
            ("ct_slope_by_ln_speed", fit.thrust[1]),
            ("cp", power[0]),
            ("cp_error_pct", None if fit.errors[1] is None else 100 * fit.errors[1]),
            ("cp_slope_by_ln_speed", power[1]),
            ("reference_speed_rpm", fit.reference / RAD_PER_S_PER_RPM),
            ("ct_scatter_pct", 100 * fit.scatter),
        ),
        len(table.lines) - len(fit.outliers),
        len(table.lines),
        (),
        (),
        tuple(table.lines[i] for i in fit.outliers),
        _off(fit.off),
        f"air of {density_kg_m3:g} kg/m3; 3 % of density are 3 % of each coefficient",
    )


def fit_motor_table(path: Path, *, motor: str = "") -> RotorFitResult:
    """Fit Kv, resistance and no-load current to the rows at full command that no limit of the bench cut short.

    Parameters
    ----------
    path : Path
        CSV table with voltage_v, current_a, speed_rpm and throttle_us or throttle_pct, perhaps motor and propeller.
    motor : str
        Only rows of this motor; needed where the table holds several.

    Raises
    ------
    RotorError
        If the table cannot be used; one sentence says why.
    """
    needed = ("voltage_v", "current_a", "speed_rpm", "throttle_us|throttle_pct")
    whole = read_stand_table(path, needed)
    throttle = np.array(whole.numbers.get("throttle_us") or whole.numbers["throttle_pct"])
    runs = [" ".join(words) for words in zip(*whole.words.values(), strict=True)] or [""] * throttle.size
    limited = current_limited(np.array(whole.numbers["current_a"]), runs) if throttle.size else np.zeros(0, dtype=bool)
    full = throttle >= _FULL_SHARE * throttle.max(initial=0.0)
    table = _of(whole, "motor", motor)
    usable = dict(zip(whole.lines, (full & ~limited).tolist(), strict=True))
    cut = dict(zip(whole.lines, limited.tolist(), strict=True))
    rows = table.rows([usable[line] for line in table.lines])
    fit = fit_motor(
        np.array(rows.numbers["voltage_v"]),
        np.array(rows.numbers["current_a"]),
        np.array(rows.numbers["speed_rpm"]) * RAD_PER_S_PER_RPM,
        rows.words.get("propeller", [""] * len(rows.lines)),
    )
    return RotorFitResult(
        motor or path.name,
        (
            ("kv_rpm_per_v", fit.speed_constant / RAD_PER_S_PER_RPM),
            ("kv_error_pct", _finite(100 * fit.errors[0])),
            ("resistance_mohm", fit.resistance / OHM_PER_MOHM),
            ("resistance_error_mohm", _finite(fit.errors[1] / OHM_PER_MOHM)),
            ("no_load_current_a", fit.no_load_current),
            ("voltage_scatter_v", fit.scatter),
        ),
        len(rows.lines) - len(fit.outliers),
        len(table.lines),
        tuple(line for line in table.lines if cut[line]),
        tuple(line for line in table.lines if not usable[line] and not cut[line]),
        tuple(rows.lines[i] for i in fit.outliers),
        _off(fit.off),
        "full command is the greatest throttle of the file; the resistance holds winding, controller and leads; a "
        "no-load current is told only where propellers ran at several voltages",
    )


def _off(shares: tuple[float, ...]) -> tuple[float | None, ...]:
    return tuple(_finite(100 * share) for share in shares)


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _of(table: StandTable, kind: str, name: str) -> StandTable:
    """Return the rows of one motor or propeller; a table of several must say which."""
    known = sorted(set(table.words.get(kind, ())))
    if name and name not in known:
        near = nearest_names(name, known) or known
        message = f"unknown {kind} {name!r} in the table; it holds {', '.join(near) or 'no such column'}."
        raise RotorError(message)
    if not name and len(known) > 1:
        message = f"--{kind} must say which {kind} to fit: the table holds {', '.join(known)}."
        raise RotorError(message)
    return table.rows([w == name for w in table.words[kind]]) if name else table
