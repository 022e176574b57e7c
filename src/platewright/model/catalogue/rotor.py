"""Measured propellers: who measured what, and the rows themselves.

CT = T/(rho n^2 D^4), CP = P/(rho n^3 D^5), n in revolutions per second, J = V/(n D). The rows lie in a catalogue
folder's `rotor/`: `propeller_performance.csv`, `propeller_geometry.csv` and `thrust_stand_5in.csv`; a user's own folder
may hold files of the same names and columns, whose rows are added.
"""

from __future__ import annotations

import csv
import functools
import math
from collections.abc import Iterator
from dataclasses import dataclass, fields
from importlib import resources
from pathlib import Path
from typing import Any, ClassVar, Literal, TypeVar

from pydantic import Field

from platewright.foundation.errors import CatalogueError
from platewright.model.catalogue.base import Positive, Record

__all__ = [
    "GeometryRow",
    "MeasuredPropeller",
    "PerformanceRow",
    "PredictionBand",
    "PropellerClass",
    "RotorRows",
    "SectionRow",
    "ThrustStandRow",
    "load_prediction_bands",
    "load_rotor_rows",
    "load_section_rows",
]


class MeasuredPropeller(Record):
    """A propeller with measured rows; `family` groups blades of one design, `bench` says how it was measured."""

    kind: ClassVar[str] = "measured_propeller"
    bench: Literal["wind tunnel", "thrust stand"]
    family: str = ""
    diameter_in: Positive
    pitch_in: Positive
    blades: int = Field(ge=2, le=8)
    static_rows: int = Field(ge=0)
    advance_rows: int = Field(ge=0)
    geometry_stations: int = Field(ge=0)

    @property
    def title(self) -> str:
        """Its size."""
        return f"{self.diameter_in:g} x {self.pitch_in:g} inch, {self.blades} blades"


class PropellerClass(Record):
    """A typical propeller of a style and size: one static point, with the error that nine in ten keep."""

    kind: ClassVar[str] = "propeller_class"
    style: Literal["acro", "long range", "thrust stand"]
    diameter_in: Positive
    pitch_in: Positive
    blades: int = Field(ge=2, le=8)
    speed_rpm: Positive
    ct: Positive
    cp: Positive
    ct_band_pct: Positive
    cp_band_pct: Positive
    method: str = Field(min_length=1)

    @property
    def title(self) -> str:
        """Its style and size."""
        return f"{self.style}, {self.diameter_in:g} x {self.pitch_in:g} inch, {self.blades} blades"


@dataclass(frozen=True)
class PerformanceRow:
    """One wind-tunnel row; advance ratio 0 is at rest."""

    propeller: str
    advance_ratio_j: float
    speed_rpm: float
    ct: float
    cp: float


@dataclass(frozen=True)
class GeometryRow:
    """One station of a blade."""

    propeller: str
    r_over_R: float  # noqa: N815 - the name of the column
    c_over_R: float  # noqa: N815
    twist_deg: float


@dataclass(frozen=True)
class ThrustStandRow:
    """One row of a thrust stand; throttle is the command, a pulse of 1000 to 2000 microseconds."""

    motor: str
    kv_rpm_per_v: float
    propeller: str
    diameter_in: float
    pitch_in: float
    blades: float
    supply_nominal_v: float
    throttle_us: float
    thrust_gf: float
    voltage_v: float
    current_a: float
    speed_rpm: float


@dataclass(frozen=True)
class RotorRows:
    """Every measured row of a catalogue."""

    performance: tuple[PerformanceRow, ...]
    geometry: tuple[GeometryRow, ...]
    thrust_stand: tuple[ThrustStandRow, ...]


@dataclass(frozen=True)
class PredictionBand:
    """Relative errors of one kind of prediction over one range of J, one propeller left out at a time.

    `knowledge` is a diameter, pitch, blades; b also chord and twist; c static rows; d one static point; plain and
    plain c regressions to compare with; element blade elements alone. `span` is a range of J over the J of no thrust.
    Errors are in percent over all rows; `by_propeller_pct` is the median over propellers of each one's median.
    """

    knowledge: str
    span: str
    quantity: str
    propellers: float
    rows: float
    median_pct: float
    nine_tenths_pct: float
    by_propeller_pct: float


@dataclass(frozen=True)
class SectionRow:
    """Lift and drag of a blade section of some camber at one angle; `confidence` is what the network says of itself."""

    camber_pct: float
    reynolds: float
    alpha_deg: float
    cl: float
    cd: float
    confidence: float


_Row = TypeVar("_Row", PerformanceRow, GeometryRow, ThrustStandRow, PredictionBand, SectionRow)


def load_rotor_rows(overlay: Path | None = None) -> RotorRows:
    """Read the shipped rows, and those of a user's folder after them.

    Parameters
    ----------
    overlay : Path or None
        A folder of catalogue records that may hold a folder `rotor`; None for the shipped rows alone.

    Returns
    -------
    RotorRows
        Rows in the order of the files.

    Raises
    ------
    CatalogueError
        If a file lacks a column or a cell is no number.

    Examples
    --------
    >>> len(load_rotor_rows().thrust_stand)
    958
    """
    shipped = _shipped()
    own = Path(overlay, "rotor") if overlay is not None else None
    if own is None or not own.is_dir():
        return shipped
    added = _read(own)
    return RotorRows(
        shipped.performance + added.performance,
        shipped.geometry + added.geometry,
        shipped.thrust_stand + added.thrust_stand,
    )


@functools.cache
def load_prediction_bands() -> tuple[PredictionBand, ...]:
    """Return the errors of the propeller predictions, as `sh scripts/propeller_bands` found them."""
    with resources.as_file(resources.files("platewright.catalogue") / "rotor") as folder:
        return tuple(_rows(folder / "prediction_bands.csv", PredictionBand))


@functools.cache
def load_section_rows() -> tuple[SectionRow, ...]:
    """Return lift and drag of blade sections, as `scripts/section_polars.py` computed them."""
    with resources.as_file(resources.files("platewright.catalogue") / "rotor") as folder:
        return tuple(_rows(folder / "section_polars.csv", SectionRow))


@functools.cache
def _shipped() -> RotorRows:
    with resources.as_file(resources.files("platewright.catalogue") / "rotor") as folder:
        return _read(folder)


def _read(folder: Path) -> RotorRows:
    return RotorRows(
        tuple(_rows(folder / "propeller_performance.csv", PerformanceRow)),
        tuple(_rows(folder / "propeller_geometry.csv", GeometryRow)),
        tuple(_rows(folder / "thrust_stand_5in.csv", ThrustStandRow)),
    )


def _rows(path: Path, row_type: type[_Row]) -> Iterator[_Row]:
    if not path.is_file():
        return
    wanted = {field.name: field.type for field in fields(row_type)}
    with path.open(encoding="utf-8", newline="") as file:
        reader = csv.DictReader(file)
        missing = sorted(set(wanted) - set(reader.fieldnames or ()))
        if missing:
            message = f"{path.name} must have the columns {', '.join(wanted)} ({', '.join(missing)} missing); add them."
            raise CatalogueError(message)
        for line, row in enumerate(reader, start=2):
            yield row_type(**{name: _cell(path, line, name, row[name], kind) for name, kind in wanted.items()})


def _cell(path: Path, line: int, name: str, text: str | None, kind: Any) -> Any:
    if kind == "str":
        return text or ""
    try:
        value = float(text or "")
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        message = f"{path.name}:{line}: {name} must be a number (got {text!r}); correct or remove the row."
        raise CatalogueError(message)
    return value
