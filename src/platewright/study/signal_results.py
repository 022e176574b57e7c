"""What the check says about antennas, position receivers, small things and carbon: rows with units in their names."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["AntennaRow", "CarbonRow", "LooseLeadRow", "LooseRow", "SatelliteRow", "SignalReport"]


@dataclass(frozen=True)
class AntennaRow:
    """An antenna in its place.

    What radiates stands between `bottom_mm` and `top_mm`. `plate` is the nearest one beside those that carry it or that
    it goes through, `carbon` and `battery` are the nearest to what radiates; `wanted_mm` and `least_mm` are what the
    rules want between. `hidden_percent` is the share of all directions, of those from behind and of those from below.
    """

    antenna: str
    record: str
    frequency_mhz: float
    on: str
    through: tuple[str, ...]
    bottom_mm: float
    top_mm: float
    plate: str
    plate_mm: float | None
    carbon: str
    carbon_mm: float | None
    battery: str
    battery_mm: float | None
    wanted_mm: float
    least_mm: float
    hidden_percent: float
    hidden_behind_percent: float
    hidden_below_percent: float
    hidden_by: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class SatelliteRow:
    """A position receiver: its free share of the upper hemisphere, and how far its compass is from power leads."""

    receiver: str
    record: str
    free_sky_percent: float
    wanted_sky_percent: float
    power_lead: str
    power_lead_mm: float | None
    wanted_power_lead_mm: float | None


@dataclass(frozen=True)
class LooseLeadRow:
    """A run of wire to or from a small thing, with slack."""

    kind: str
    to: str
    length_mm: float


@dataclass(frozen=True)
class LooseRow:
    """A small thing that no screws of its own hold: its carrier and face, its middle, what is nearest, its wires."""

    thing: str
    record: str
    on: str
    face: str
    at_mm: tuple[float, float, float]
    nearest: str
    nearest_mm: float | None
    leads: tuple[LooseLeadRow, ...]


@dataclass(frozen=True)
class CarbonRow:
    """The bare edge of a board ("pad") or the can of a capacitor ("can") beside the nearest plate of carbon."""

    kind: str
    body: str
    plate: str
    distance_mm: float
    required_mm: float
    rule: str


@dataclass(frozen=True)
class SignalReport:
    """Antennas, position receivers, small things and what conducts."""

    antennas: tuple[AntennaRow, ...]
    satellites: tuple[SatelliteRow, ...]
    loose: tuple[LooseRow, ...]
    carbon: tuple[CarbonRow, ...]
