"""What stands in the propellers' air: frozen rows with units in their names, ready for tables, pages and JSON."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["BulkRow", "DownloadRow", "OptionRow", "SectionRow", "WashReport"]


@dataclass(frozen=True)
class SectionRow:
    """Another section of a thing in the propellers' air, of the same length at the same height.

    Parameters
    ----------
    name : str
        In words: a chamfer, round edges, narrower, thicker.
    chamfer_mm, wider_mm, thicker_mm : float
        Of all edges; added to width and depth.
    lost_g, saves_g, saves_s : float
        Thrust lost then; less than now in grams and in seconds of hover, negative where it costs.
    """

    name: str
    chamfer_mm: float
    wider_mm: float
    thicker_mm: float
    lost_g: float
    saves_g: float
    saves_s: float


@dataclass(frozen=True)
class DownloadRow:
    """Thrust that all places of one part, or one thing, take in hover; the costliest first.

    Parameters
    ----------
    name, kind : str
        Place or equipment; arm, deck, brace, side, battery and so on.
    pieces : int
        How many stand in the propellers' air.
    depth_mm : float
        Below the disc, negative above it.
    area_mm2, width_mm, thickness_mm : float
        In that air; mean width of a piece, depth of its section along the air.
    air_speed, coefficient : float
        Speed of the air over that at the disc, drag coefficient of the section.
    lost_percent, lost_g, lost_s : float
        Share of all thrust, the same in grams, seconds of hover.
    sections : tuple of SectionRow
        What other sections would take: chamfers of both faces' edges, round edges, narrower, thinner, thicker.
    """

    name: str
    kind: str
    pieces: int
    depth_mm: float
    area_mm2: float
    width_mm: float
    thickness_mm: float
    air_speed: float
    coefficient: float
    lost_percent: float
    lost_g: float
    lost_s: float
    sections: tuple[SectionRow, ...]


@dataclass(frozen=True)
class BulkRow:
    """A thing beside the discs: its top above the propeller plane, its gap in plan to the nearest rim, its area.

    The area is seen from the side, within half a radius of that plane.
    """

    name: str
    top_above_plane_mm: float
    gap_to_rim_mm: float
    beside_mm2: float


@dataclass(frozen=True)
class OptionRow:
    """What changing the body would do: thrust in hover, drag from ahead and the side, tilt and power at a speed."""

    name: str
    hover_g: float
    front_drag_percent: float
    side_drag_percent: float
    tilt_deg: float | None
    power_w: float | None


@dataclass(frozen=True)
class WashReport:
    """What stands in the propellers' air.

    Parameters
    ----------
    rows : tuple of DownloadRow
        The costliest first: what to slim first.
    lost_percent, lost_g, lost_s : float
        Of all together.
    wings_percent, fuselages_percent : (float, float)
        Published for wings under tilting rotors and for helicopter fuselages, from memory; for comparison only.
    bulk : tuple of BulkRow
        Things between the discs, the largest beside the propeller plane first.
    options : tuple of OptionRow
        A lower deck, taller side plates, open and panelled sides.
    options_speed_m_s : float
        At which tilt and power of the options are given.
    """

    rows: tuple[DownloadRow, ...]
    lost_percent: float
    lost_g: float
    lost_s: float
    wings_percent: tuple[float, float]
    fuselages_percent: tuple[float, float]
    bulk: tuple[BulkRow, ...]
    options: tuple[OptionRow, ...]
    options_speed_m_s: float
