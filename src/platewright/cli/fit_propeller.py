"""`platewright fit-propeller`: static coefficients from a thrust-stand table."""

from __future__ import annotations

from pathlib import Path

from platewright.app.fit_rotor import fit_propeller_table
from platewright.cli.fit_rotor import print_fit

__all__ = ["fit_propeller"]


def fit_propeller(
    table: Path, /, *, diameter_in: float, propeller: str = "", density_kg_m3: float = 1.2, json: bool = False
) -> int:
    """Fit static CT, and CP where torque was measured, to a thrust-stand table; outliers are shown.

    Parameters
    ----------
    table
        A CSV file with the columns speed_rpm and thrust_gf or thrust_n, perhaps torque_nm and propeller.
    diameter_in
        Diameter of the propeller in inches.
    propeller
        Which propeller of the table.
    density_kg_m3
        Density of the air when it was measured.
    json
        Print JSON instead of a table.
    """
    print_fit(fit_propeller_table(table, diameter_in, propeller=propeller, density_kg_m3=density_kg_m3), json)
    return 0
