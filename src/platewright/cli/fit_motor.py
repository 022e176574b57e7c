"""`platewright fit-motor`: constants of a motor from a thrust-stand table."""

from __future__ import annotations

from pathlib import Path

from platewright.app.fit_rotor import fit_motor_table
from platewright.cli.fit_rotor import print_fit

__all__ = ["fit_motor"]


def fit_motor(table: Path, /, *, motor: str = "", json: bool = False) -> int:
    """Fit Kv, resistance and no-load current to a thrust-stand table; rows that the bench cut short are left out.

    Parameters
    ----------
    table
        A CSV file with voltage_v, current_a, speed_rpm, throttle_us or throttle_pct, perhaps motor and propeller.
    motor
        Which motor of the table.
    json
        Print JSON instead of a table.
    """
    print_fit(fit_motor_table(table, motor=motor), json)
    return 0
