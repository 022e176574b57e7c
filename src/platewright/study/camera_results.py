"""What the check says about cameras: rows with units in their names."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["CameraClassRow", "CameraRow", "HeadroomRow", "ViewRow"]


@dataclass(frozen=True)
class HeadroomRow:
    """Free height for the design's own camera at one tilt; None where nothing lies over or under it."""

    tilt_deg: float
    needed_mm: float
    free_mm: float | None
    play_mm: float | None


@dataclass(frozen=True)
class CameraClassRow:
    """Whether one camera class fits in the place of the design's own, at the design's tilt.

    `width_play_mm` is what the side plates leave beyond the gap it needs, None without side plates; `height_play_mm`
    what the plates over and under it leave, and `axis_play_mm` the same about the line it turns on, which is drilled
    already; None where it is open. `tilts_to_deg` is the largest tilt to which that is enough, None for not even 0.
    """

    camera: str
    size: str
    fits: bool
    needs_gap_mm: float
    width_play_mm: float | None
    needs_height_mm: float
    height_play_mm: float | None
    axis_play_mm: float | None
    tilts_to_deg: float | None
    in_the_way: tuple[str, ...]


@dataclass(frozen=True)
class CameraRow:
    """A flight camera's place: the gap between its side plates, its height, its lens behind the foremost plate."""

    camera: str
    plates: tuple[str, ...]
    gap_mm: float | None
    tilt_deg: float
    under: str
    over: str
    free_height_mm: float | None
    lens_behind_mm: float | None
    foremost: str
    headroom: tuple[HeadroomRow, ...]
    classes: tuple[CameraClassRow, ...]


@dataclass(frozen=True)
class ViewRow:
    """What a camera sees of its own craft, in per cent of the image; turning propellers are seen through."""

    camera: str
    projection: str
    field_of_view_h_deg: float
    field_of_view_v_deg: float
    tolerance_deg: float
    tilt_deg: float
    propellers_percent: float
    body_percent: float
    either_percent: float
    owners: tuple[tuple[str, float], ...]
