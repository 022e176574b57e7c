"""Measured propellers of the catalogue as tables in SI units, and the model fitted to them."""

from __future__ import annotations

import functools
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from platewright.foundation.units import M_PER_INCH, RAD_PER_S_PER_RPM
from platewright.model.catalogue import (
    GeometryRow,
    MeasuredPropeller,
    PerformanceRow,
    load_catalogue,
    load_prediction_bands,
    load_rotor_rows,
    load_section_rows,
)
from platewright.rotor.polars import Polars, section_polars
from platewright.rotor.predict import PropellerModel, StaticPoint, fit_propeller_model
from platewright.rotor.tables import Blade, PropellerSize, PropellerTable

__all__ = [
    "PropellerEstimate",
    "blade_section",
    "estimate_propeller",
    "propeller_model",
    "propeller_size",
    "wind_tunnel_tables",
]

_CAMBER_PCT = 2.0  # of the shipped sections, the one with the least errors on measured blades


@dataclass(frozen=True)
class PropellerEstimate:
    """Coefficients of a propeller, with how far they may be off and why.

    Parameters
    ----------
    ct, cp : float
        T/(rho n^2 D^4) and P/(rho n^3 D^5) [-].
    static_ct, static_cp : float
        The same at rest [-].
    ct_band_pct, cp_band_pct : float
        Nine rows in ten of propellers left out lay nearer than this; beyond 0.7 of the J of no thrust it is a share of
        the static value.
    zero_thrust_j : float
        Advance ratio of no thrust [-].
    applies : bool
        False beyond the J of no thrust, where no row was fitted.
    source : str
        What the numbers and the bands come from.
    """

    ct: float
    cp: float
    static_ct: float
    static_cp: float
    ct_band_pct: float
    cp_band_pct: float
    zero_thrust_j: float
    applies: bool
    source: str


_KNOWN = {
    "a": "its diameter, pitch and blades",
    "b": "its diameter, pitch, blades, chord and twist",
    "c": "its own static rows",
    "d": "one static point of its own",
}


def estimate_propeller(
    diameter_in: float,
    pitch_in: float,
    blades: int,
    speed_rpm: float,
    advance_ratio_j: float = 0.0,
    *,
    blade: Sequence[tuple[float, float, float]] = (),
    static_point: tuple[float, float, float] | None = None,
    measured_as: str | None = None,
    overlay: Path | None = None,
) -> PropellerEstimate:
    """Estimate CT and CP of a propeller from all measured ones.

    Parameters
    ----------
    diameter_in, pitch_in : float
        As printed on it [in].
    blades : int
        Number of blades.
    speed_rpm : float
        Speed of rotation [rpm].
    advance_ratio_j : float
        V/(n D), 0 at rest [-].
    blade : sequence of tuple
        Stations of its blade from hub to tip: radius and chord over the tip radius [-], twist [deg].
    static_point : tuple or None
        Speed [rpm], CT and CP measured at rest.
    measured_as : str or None
        Id of a measured propeller whose static rows are this one's.
    overlay : Path or None
        A user's own folder of catalogue records.

    Returns
    -------
    PropellerEstimate
        With bands from leaving out one propeller at a time.

    Raises
    ------
    ValueError
        If a blade has fewer than four stations, or they do not rise from hub to tip.

    Examples
    --------
    >>> e = estimate_propeller(5.0, 4.3, 3, 20_000)
    >>> e.source
    'its diameter, pitch and blades, by the model of 40 wind-tunnel propellers'
    """
    tables = wind_tunnel_tables(overlay)
    table = next((t for t in tables if t.name == measured_as), None)
    point = None
    if static_point is not None:
        point = StaticPoint(static_point[0] * RAD_PER_S_PER_RPM, *static_point[1:])
    speed, advance = np.array([speed_rpm * RAD_PER_S_PER_RPM]), np.array([advance_ratio_j])
    size = propeller_size(diameter_in, pitch_in, blades)
    shape = _blade(blade) if blade else None
    made = propeller_model(overlay).predict(size, speed, advance, blade=shape, table=table, point=point)
    no_thrust = float(made.zero_thrust_j[0])
    bands = [_band(made.knowledge, advance_ratio_j / no_thrust, quantity) for quantity in ("CT", "CP")]
    source = f"{_KNOWN[made.knowledge]}, by the model of {len(tables)} wind-tunnel propellers"
    return PropellerEstimate(
        float(made.thrust[0]),
        float(made.power[0]),
        float(made.static_thrust[0]),
        float(made.static_power[0]),
        bands[0],
        bands[1],
        no_thrust,
        advance_ratio_j <= no_thrust,
        source,
    )


def _band(knowledge: str, share: float, quantity: str) -> float:
    """Return the error that nine rows in ten keep; static rows of its own have the error of the lowest J."""
    span = "at rest" if share == 0 else "to 0.3" if share < 0.3 else "0.3 to 0.7" if share < 0.7 else "0.7 to 1"
    if knowledge == "c" and span == "at rest":
        span = "to 0.3"
    return next(
        b.nine_tenths_pct
        for b in load_prediction_bands()
        if (b.knowledge, b.span, b.quantity) == (knowledge, span, quantity)
    )


def propeller_size(diameter_in: float, pitch_in: float, blades: int) -> PropellerSize:
    """Return a size in metres.

    Parameters
    ----------
    diameter_in, pitch_in : float
        As printed on the propeller [in].
    blades : int
        Number of blades.

    Examples
    --------
    >>> round(propeller_size(5.0, 4.3, 3).diameter, 3)
    0.127
    """
    return PropellerSize(diameter_in * M_PER_INCH, pitch_in * M_PER_INCH, blades)


@functools.cache
def wind_tunnel_tables(overlay: Path | None = None) -> tuple[PropellerTable, ...]:
    """Return every propeller measured in a wind tunnel.

    Parameters
    ----------
    overlay : Path or None
        A user's own folder of catalogue records.

    Examples
    --------
    >>> len(wind_tunnel_tables())
    40
    """
    rows = load_rotor_rows(overlay)
    measured: dict[str, list[PerformanceRow]] = defaultdict(list)
    stations: dict[str, list[GeometryRow]] = defaultdict(list)
    for row in rows.performance:
        measured[row.propeller].append(row)
    for station in rows.geometry:
        stations[station.propeller].append(station)
    records = load_catalogue(overlay).of_class(MeasuredPropeller)
    return tuple(_table(r, measured[r.id], stations[r.id]) for r in records if measured[r.id])


@functools.cache
def propeller_model(overlay: Path | None = None) -> PropellerModel:
    """Return the model fitted to every propeller measured in a wind tunnel.

    Parameters
    ----------
    overlay : Path or None
        A user's own folder of catalogue records.
    """
    return fit_propeller_model(wind_tunnel_tables(overlay), blade_section())


@functools.cache
def blade_section() -> Polars:
    """Return the section that stands for all blades: 8 % thick, 2 % cambered."""
    rows = [r for r in load_section_rows() if r.camber_pct == _CAMBER_PCT]
    reynolds, alpha, lift, drag = np.array([(r.reynolds, r.alpha_deg, r.cl, r.cd) for r in rows]).T
    return section_polars(reynolds, np.radians(alpha), lift, drag)


def _table(record: MeasuredPropeller, rows: list[PerformanceRow], stations: list[GeometryRow]) -> PropellerTable:
    blade = _blade([(s.r_over_R, s.c_over_R, s.twist_deg) for s in stations]) if stations else None
    return PropellerTable(
        record.id,
        propeller_size(record.diameter_in, record.pitch_in, record.blades),
        np.array([r.advance_ratio_j for r in rows]),
        np.array([r.speed_rpm for r in rows]) * RAD_PER_S_PER_RPM,
        np.array([r.ct for r in rows]),
        np.array([r.cp for r in rows]),
        blade,
    )


def _blade(stations: Sequence[tuple[float, float, float]]) -> Blade:
    radius, chord, twist = np.array(stations, dtype=np.float64).T
    if radius.size < 4 or np.any(np.diff(radius) <= 0) or radius[-1] > 1 or np.any(chord <= 0):
        message = (
            "a blade must have four stations or more that rise from hub to tip, radius and chord as shares of the tip "
            f"radius (got radii {radius.tolist()})."
        )
        raise ValueError(message)
    return Blade(radius, chord, np.radians(twist))
