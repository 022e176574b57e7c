"""The propeller of a design at work, from the best source there is for it.

Best first: a static point of the maker's own in `[drive]`; a propeller that `[drive]` names, measured or typical; the
typical one of its size, or the nearest one carried over to its diameter and pitch by the model of the wind-tunnel
propellers; diameter, pitch and blades alone.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import M_PER_INCH, RAD_PER_S_PER_RPM
from platewright.model.catalogue import (
    Catalogue,
    MeasuredPropeller,
    Propeller,
    PropellerClass,
    Record,
    load_prediction_bands,
)
from platewright.model.drive import Drive
from platewright.rotor.predict import StaticPoint
from platewright.rotor.tables import PropellerTable
from platewright.rotor.working import BANDS, Bands, WorkingPropeller, tabulate_propeller
from platewright.study.propellers import propeller_model, propeller_size, wind_tunnel_tables

__all__ = ["CARRIED", "carried_records", "drive_propeller", "propeller_at_work"]

CARRIED = (0.19, 0.16)
"""Error of CT and CP that nine in ten keep when carried over to another diameter; `docs/verification.md`."""
_CARRIED_TO_IN = (2.5, 8.0)  # diameters that are near enough to the measured ones
_NEAR = 1.1  # how far beyond the measured ones a propeller may lie
_OWN_BAND = (0.05, 0.08)  # of a careful stand of one's own, from memory


def carried_records(assembly: Assembly) -> Iterator[Record]:
    """Yield the catalogue records of what a design carries.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    """
    for equipment in assembly.design.equipment:
        for name in equipment.use.values():
            if equipment.fitted:
                yield assembly.catalogue.find(name)[0]


def drive_propeller(record: Propeller, drive: Drive, catalogue: Catalogue) -> WorkingPropeller:
    """Return a propeller class at work with what the maker says of it.

    Parameters
    ----------
    record : Propeller
        The class in the design's equipment.
    drive : Drive
        The maker's own numbers.
    catalogue : Catalogue
        Where classes and measured propellers are.
    """
    near = _nearest_class(record, drive, catalogue)
    low, high = record.pitch_range_in
    pitch = drive.pitch_in or (near.pitch_in if near and near.id == record.typical_class else (low + high) / 2)
    blades = drive.blades or (near.blades if near else max(record.blades))
    if drive.static_ct is not None and drive.static_cp is not None and drive.static_speed_rpm is not None:
        point = (drive.static_speed_rpm, drive.static_ct, drive.static_cp)
        source = "the design's own static point; its fall with speed of flight by the wind-tunnel model"
        return _from_point(record.diameter_in, pitch, blades, point, _OWN_BAND, source)
    if drive.propeller is not None:
        return _named(catalogue, drive.propeller)
    if near is not None:
        return _from_class(near, record.diameter_in, pitch, blades)
    return propeller_at_work(record.diameter_in, pitch, blades)


@functools.cache
def propeller_at_work(
    diameter_in: float, pitch_in: float, blades: int, *, overlay: Path | None = None
) -> WorkingPropeller:
    """Return thrust and torque of a propeller against speed and inflow, with bands and source.

    Parameters
    ----------
    diameter_in, pitch_in : float
        As printed on it [in].
    blades : int
        Number of blades.
    overlay : Path or None
        A user's own folder of catalogue records.

    Examples
    --------
    >>> made = propeller_at_work(5.0, 4.3, 3).at(2000.0, axial=10.0)
    >>> round(float(made.thrust), 1)
    4.8
    """
    size, model = propeller_size(diameter_in, pitch_in, blades), propeller_model(overlay)
    source = (
        f"{_title(diameter_in, pitch_in, blades)}: its diameter, pitch and blades, by the model of "
        f"{len(wind_tunnel_tables(overlay))} wind-tunnel propellers"
    )
    bands = _bands("a", (0.0, 0.0))
    return tabulate_propeller(lambda w, j: model.predict(size, w, j), size.diameter, blades, source, bands)


def _nearest_class(record: Propeller, drive: Drive, catalogue: Catalogue) -> PropellerClass | None:
    """Return the size's own class where blades agree, else that of the same blades nearest in diameter."""
    classes = [c for c in catalogue.of_class(PropellerClass) if c.style != "thrust stand"]
    own = next((c for c in classes if c.id == record.typical_class), None)
    if own is not None and drive.blades in (None, own.blades):
        return own
    if not _CARRIED_TO_IN[0] <= record.diameter_in <= _CARRIED_TO_IN[1]:
        return None
    wanted = drive.blades or max(b for b in record.blades)
    alike = [c for c in classes if c.blades == wanted]
    return min(alike, key=lambda c: abs(math.log(c.diameter_in / record.diameter_in)), default=None)


def _from_class(near: PropellerClass, diameter_in: float, pitch_in: float, blades: int) -> WorkingPropeller:
    band = (near.ct_band_pct / 100, near.cp_band_pct / 100)
    title = _title(diameter_in, pitch_in, blades)
    point = (near.speed_rpm, near.ct, near.cp)
    if (diameter_in, pitch_in) == (near.diameter_in, near.pitch_in):
        return _from_point(diameter_in, pitch_in, blades, point, band, f"{title}, typical {near.id}: {near.method}")
    speed = near.speed_rpm * near.diameter_in / diameter_in
    ct, cp = (
        value * mine / its
        for value, mine, its in zip(
            (near.ct, near.cp),
            _static(diameter_in, pitch_in, blades, speed),
            _static(near.diameter_in, near.pitch_in, near.blades, near.speed_rpm),
            strict=True,
        )
    )
    if abs(near.diameter_in - 5.1) < 0.1:  # the others have the error of carrying over in their band
        band = (math.hypot(band[0], CARRIED[0]), math.hypot(band[1], CARRIED[1]))
    source = f"{title}, carried over from typical {near.id}: {near.method}"
    return _from_point(diameter_in, pitch_in, blades, (speed, ct, cp), band, source)


def _named(catalogue: Catalogue, name: str) -> WorkingPropeller:
    near = next((c for c in catalogue.of_class(PropellerClass) if c.id == name), None)
    if near is not None:
        return _from_class(near, near.diameter_in, near.pitch_in, near.blades)
    measured = catalogue.get(MeasuredPropeller, name)
    table: PropellerTable | None = next((t for t in wind_tunnel_tables() if t.name == name), None)
    if table is None:  # of the stand: its static point is a class
        stand = catalogue.get(PropellerClass, name.lower().replace("prop-", "stand_"))
        return _from_class(stand, stand.diameter_in, stand.pitch_in, stand.blades)
    model = propeller_model()
    title = _title(measured.diameter_in, measured.pitch_in, measured.blades)
    source = f"{title}, {name}: its own static rows ({measured.source}), its fall with speed of flight by the model"
    return tabulate_propeller(
        lambda w, j: model.predict(table.size, w, j, table=table),
        table.size.diameter,
        table.size.blades,
        source,
        _bands("c", (0.0, 0.0)),
    )


def _from_point(
    diameter_in: float,
    pitch_in: float,
    blades: int,
    point: tuple[float, float, float],
    band: tuple[float, float],
    source: str,
) -> WorkingPropeller:
    size, model = propeller_size(diameter_in, pitch_in, blades), propeller_model()
    static = StaticPoint(point[0] * RAD_PER_S_PER_RPM, point[1], point[2])
    return tabulate_propeller(
        lambda w, j: model.predict(size, w, j, point=static), size.diameter, blades, source, _bands("d", band)
    )


def _bands(knowledge: str, own: tuple[float, float]) -> Bands:
    """Return the bands of a kind of knowledge, with that of the static point itself."""
    found = {
        (b.span, b.quantity): math.hypot(b.nine_tenths_pct / 100, own[0 if b.quantity == "CT" else 1])
        for b in load_prediction_bands()
        if b.knowledge == knowledge and b.span in BANDS
    }
    for quantity in ("CT", "CP"):
        found.setdefault(("at rest", quantity), found["to 0.3", quantity])
    return found


def _static(diameter_in: float, pitch_in: float, blades: int, speed_rpm: float) -> tuple[float, float]:
    made = propeller_model().predict(
        propeller_size(diameter_in, pitch_in, blades), np.array([speed_rpm * RAD_PER_S_PER_RPM]), np.zeros(1)
    )
    return float(made.thrust[0]), float(made.power[0])


def _title(diameter_in: float, pitch_in: float, blades: int) -> str:
    return f"{diameter_in:g} x {pitch_in:g} inch, {blades} blades{_beyond(diameter_in, pitch_in, blades)}"


def _beyond(diameter_in: float, pitch_in: float, blades: int) -> str:
    """Say that a propeller lies beyond the measured ones, by more than a tenth, so that its band means little."""
    sizes = [t.size for t in wind_tunnel_tables()]
    size = propeller_size(diameter_in, pitch_in, blades)
    ranges = [(s.diameter / M_PER_INCH, s.pitch / s.diameter, float(s.blades)) for s in sizes]
    mine = (size.diameter / M_PER_INCH, size.pitch / size.diameter, float(blades))
    ends = [(min(r[k] for r in ranges), max(r[k] for r in ranges)) for k in range(3)]
    if all(low / _NEAR <= m <= high * _NEAR for m, (low, high) in zip(mine, ends, strict=True)):
        return ""
    (d_low, d_high), (p_low, p_high), (b_low, b_high) = ends
    return (
        f" (beyond the measured {d_low:.1f} to {d_high:.1f} inch, pitch of {p_low:.1f} to {p_high:.1f} diameters and "
        f"{b_low:.0f} to {b_high:.0f} blades: the band does not hold)"
    )
