"""Typical propellers of each size, from the thrust stand's 5-inch ones and the model of the wind-tunnel ones.

The 5-inch propellers of the stand are records themselves. They are compared with the model (diameter, pitch, blades);
what they have more or less is kept for the class, and for other sizes too. How well that carries over was measured:
propellers of one family and different diameters in the wind tunnel, each predicted from its nearest relative, both left
out of the model. Run as a program, this writes the catalogue's `propeller_class.csv`.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.units import RAD_PER_S_PER_RPM
from platewright.rotor.pairs import fit_pairs
from platewright.rotor.predict import PropellerModel, fit_propeller_model
from platewright.rotor.tables import PropellerTable
from platewright.study.propellers import blade_section, propeller_model, propeller_size, wind_tunnel_tables
from thrust_stand_pairs import full_command, full_command_rows

__all__ = ["class_text", "section", "stand_points", "stand_ratios", "transfer_errors"]

FILE = Path(__file__).parents[1] / "src" / "platewright" / "catalogue" / "propeller_class.csv"
SPEED = 1500.0  # rad/s of a 5-inch propeller; other sizes at the same tip speed
DENSITY = 1.2  # kg/m^3, assumed: the stand recorded none
DENSITY_BAND = 0.03
TORQUE_BAND = 0.10  # torque is known by current alone: from memory
SCATTER = 0.03  # 90th percentile of thrust of left-out pairs, from the same stand
NINE_TENTHS = 1.645  # of a normal law, in standard deviations
# common practice, no source: diameter and pitch [in], blades
CLASSES = {
    "acro": ((3.0, 2.5, 3), (4.0, 3.0, 3), (5.1, 4.3, 3), (6.0, 4.0, 3), (7.0, 4.0, 3)),
    "long_range": ((3.0, 1.8, 2), (4.0, 2.5, 2), (5.1, 3.0, 2), (6.0, 3.0, 2), (7.0, 3.5, 2)),
}
HEAD = "id,style,diameter_in,pitch_in,blades,speed_rpm,ct,cp,ct_band_pct,cp_band_pct,method,provenance,source\n"
STAND = "P. Cao and J. Strawson, motor_propeller_testing, 2018 (MIT licence), thrust stand"
TUNNEL = "UIUC Propeller Database, Vols 1-3 (Brandt & Selig, AIAA 2011-1255; Deters, Ananda & Selig, AIAA 2014-2151)"


def stand_points() -> list[tuple[str, float, float, int, float, float]]:
    """Return id, diameter and pitch [in], blades, CT and CP at 1500 rad/s of the stand's propellers."""
    fit, turns = fit_pairs(full_command_rows()), SPEED / (2 * math.pi)
    sizes = dict.fromkeys((r.propeller, r.diameter_in, r.pitch_in, int(r.blades)) for r in full_command())
    points = []
    for n, (name, diameter_in, pitch_in, blades) in enumerate(sizes):
        diameter = propeller_size(diameter_in, pitch_in, blades).diameter
        ct = math.exp(fit.thrust[n]) / (DENSITY * turns**2 * diameter**4)
        cp = 2 * math.pi * math.exp(fit.torque[n]) / (DENSITY * turns**2 * diameter**5)
        points.append((name, diameter_in, pitch_in, blades, ct, cp))
    return points


def stand_ratios(blades: int) -> NDArray[np.float64]:
    """Return CT and CP of the stand's propellers of that many blades over what the model says, one row each."""
    ratios = []
    for _, diameter_in, pitch_in, count, ct, cp in stand_points():
        if count == blades:
            made = _static(diameter_in, pitch_in, count, SPEED)
            ratios.append((ct / made[0], cp / made[1]))
    return np.array(ratios)


def transfer_errors() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return relative errors of CT and CP carried over from a relative of another diameter, and of the model alone."""
    tables = [t for t in wind_tunnel_tables() if t.has_static]
    carried, alone = [], []
    for table, near in _relatives(tables):
        model = fit_propeller_model([t for t in tables if t is not table and t is not near], blade_section())
        (own, made), (theirs, theirs_made) = (_both(model, t) for t in (table, near))
        alone.append(made / own - 1)
        carried.append(made * theirs / theirs_made / own - 1)
    return np.array(carried), np.array(alone)


def class_text() -> str:
    """Return the file."""
    carry = np.quantile(np.abs(transfer_errors()[0]), 0.9, axis=0)
    scale = np.array([DENSITY_BAND, math.hypot(DENSITY_BAND, TORQUE_BAND)])
    lines = []
    for style, sizes in CLASSES.items():
        ratios = stand_ratios(sizes[0][2])
        middle = np.exp(np.log(ratios).mean(axis=0))
        stand = np.hypot(NINE_TENTHS * np.log(ratios).std(axis=0, ddof=1), scale)
        for size in sizes:
            is_measured = 4.9 <= size[0] <= 5.2
            band = stand if is_measured else np.hypot(stand, carry)
            speed = SPEED * 5 / size[0]
            method = f"{len(ratios)} propellers of {size[2]} blades on a thrust stand over the wind-tunnel model"
            method += "" if is_measured else ", carried over to this diameter"
            name, source = f"{style}_{size[0]:.0f}in", f"{STAND}; {TUNNEL}; size: common practice, no source"
            lines.append(_line(name, style, size, speed, _static(*size, speed) * middle, band, method, source))
    for propeller, *size, ct, cp in stand_points():
        name, band = propeller.replace("prop-", "stand_").lower(), np.hypot(scale, SCATTER)
        method = "all motors and propellers of the stand fitted together, torque by current"
        lines.append(_line(name, "thrust stand", tuple(size), SPEED, (ct, cp), band, method, STAND))
    return HEAD + "\n".join(lines) + "\n"


def section() -> str:
    """Return the section of the verification page."""
    carried, alone = (100 * np.abs(e) for e in transfer_errors())
    lines = [
        "## Propellers carried over from a relative",
        "",
        "Classes of propellers (`propeller_class`) keep at every diameter what 5-inch propellers of a stand have",
        f"more or less than the model. Tried on {len(carried)} wind-tunnel propellers at rest: each from its nearest",
        "relative of the same family and blades at another diameter, both left out of the model (sources as above).",
        "",
        "| prediction | quantity | median | 90th percentile |",
        "|---|---|---|---|",
    ]
    for name, errors in (("carried over", carried), ("diameter, pitch, blades alone", alone)):
        for quantity, column in zip(("CT", "CP"), errors.T, strict=True):
            lines.append(f"| {name} | {quantity} | {np.median(column):.1f} % | {np.quantile(column, 0.9):.1f} % |")
    return "\n".join(lines) + "\n"


def _line(name: str, style: str, size: Any, speed: float, point: Any, band: Any, method: str, source: str) -> str:
    cells = (
        name,
        style.replace("_", " "),
        *(f"{x:g}" for x in size),
        f"{speed / RAD_PER_S_PER_RPM:.0f}",
        *(f"{c:.4f}" for c in point),
        *(f"{math.ceil(100 * b)}" for b in band),
        f'"{method}"',
        "computed",
        f'"{source}"',
    )
    return ",".join(cells)


def _static(diameter_in: float, pitch_in: float, blades: int, speed: float) -> NDArray[np.float64]:
    made = propeller_model().predict(propeller_size(diameter_in, pitch_in, blades), np.array([speed]), np.zeros(1))
    return np.array([made.thrust[0], made.power[0]])


def _relatives(tables: list[PropellerTable]) -> Iterator[tuple[PropellerTable, PropellerTable]]:
    for table in tables:
        size = table.size
        family = table.name.split("-")[1]
        found = []
        for other in tables:
            by_diameter = abs(math.log(other.size.diameter / size.diameter))
            by_pitch = abs(math.log(other.size.pitch / other.size.diameter * size.diameter / size.pitch))
            is_kin = other.name.split("-")[1] == family and other.size.blades == size.blades
            if other is not table and is_kin and by_diameter > 0.05 and by_pitch <= 0.45:
                found.append((by_diameter + by_pitch, other.name, other))
        if found:
            yield table, min(found)[2]


def _both(model: PropellerModel, table: PropellerTable) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    speed = np.array([np.median(table.speed[table.at_rest])])
    made = model.predict(table.size, speed, np.zeros(1))
    return np.ravel(table.static(speed)), np.array([made.thrust[0], made.power[0]])


if __name__ == "__main__":
    FILE.write_text(class_text(), encoding="utf-8")
    sys.stdout.write(f"wrote {FILE.name}\n")
