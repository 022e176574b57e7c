"""What the check says about clearances: rows with units in their names."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["ClearanceReport", "ClearanceRow", "GroundRow", "LeadRow", "PropellerRoom"]


@dataclass(frozen=True)
class ClearanceRow:
    """The worst pair of one kind: which two, how far apart, what is wanted, and the rule that wants it."""

    kind: str
    one: str
    other: str
    distance_mm: float
    required_mm: float
    rule: str


@dataclass(frozen=True)
class PropellerRoom:
    """The largest propeller with room at a rotor, all rotors alike.

    `largest_size` and `next_size` are catalogue records: the largest that fits, and the next, which lacks
    `next_lacks_mm` of diameter.
    """

    rotor: int
    fitted_mm: float
    largest_mm: float
    limited_by: str
    rule: str
    largest_size: str
    next_size: str
    next_lacks_mm: float | None


@dataclass(frozen=True)
class GroundRow:
    """How the craft stands on flat ground at a tilt, towards the side on which a disc comes nearest to it.

    `side_deg` is the side that is lowered: 0 the nose, 90 the left. `disc_clearance_mm` is negative where a disc
    touches first, and None without propellers.
    """

    tilt_deg: float
    side_deg: float
    touching: tuple[str, ...]
    touching_at_mm: tuple[float, float, float]
    rotor: int | None
    disc_clearance_mm: float | None


@dataclass(frozen=True)
class LeadRow:
    """Length of a motor's leads along its arm to the nearest pads, with slack, and the wire size of its class."""

    motor: str
    board: str
    length_mm: float
    slack_mm: float
    awg: int


@dataclass(frozen=True)
class ClearanceReport:
    """Clearances of a frame; `disc_strikes_at_deg` is the least tilt at which a disc touches the ground first."""

    pairs: tuple[ClearanceRow, ...]
    propellers: tuple[PropellerRoom, ...]
    ground: tuple[GroundRow, ...]
    disc_strikes_at_deg: float | None
    leads: tuple[LeadRow, ...]
