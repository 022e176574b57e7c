"""What several frames have in common: parts that are one, parts that nearly are, hardware, and what a merge saves."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "LineHardware",
    "LineOptions",
    "LinePart",
    "LineReport",
    "MergeSaving",
    "NearPair",
    "PartDifference",
    "PartUse",
]


@dataclass(frozen=True)
class LineOptions:
    """What near means, and what stock is reckoned with.

    Parameters
    ----------
    within_mm : float
        Farthest that a hole or edge of nearly the same part may be off.
    kits_per_month : dict
        Kits sold of each frame; `usual_per_month` for frames that are not named.
    lead_time_days : float
        From order to delivery.
    service_percent : float
        Chance that a lead time ends without a shortage.
    least_pieces : int
        That a cutter makes of one kind of part.
    design_money : float or None
        What one more kind of part costs a batch, from the shop file.
    currency : str
        Of the shop file, or empty.
    """

    within_mm: float = 2.0
    kits_per_month: dict[str, float] | None = None
    usual_per_month: float = 10.0
    lead_time_days: float = 14.0
    service_percent: float = 95.0
    least_pieces: int = 10
    design_money: float | None = None
    currency: str = ""


@dataclass(frozen=True)
class PartUse:
    """A frame's part; `how` says how it lies against the first use: turned, turned over, or as drawn."""

    frame: str
    part: str
    quantity: int
    how: str


@dataclass(frozen=True)
class LinePart:
    """One kind of part, whatever it is called."""

    material: str
    thickness_mm: float
    uses: tuple[PartUse, ...]

    @property
    def shared(self) -> bool:
        """Whether two frames or more take it."""
        return len({use.frame for use in self.uses}) > 1


@dataclass(frozen=True)
class PartDifference:
    """One thing to change, in the axes of the second part.

    Parameters
    ----------
    kind : str
        hole_moved, hole_resized, hole_first, hole_second, opening, edge, thickness, material, direction or marks.
    x_mm, y_mm : float or None
        Where, if it has a place.
    mm : float
        How far off it is; 0 for what has no length.
    sentence : str
        In words.
    """

    kind: str
    x_mm: float | None
    y_mm: float | None
    mm: float
    sentence: str


@dataclass(frozen=True)
class MergeSaving:
    """What it saves that two kinds of part become one.

    Parameters
    ----------
    items : int
        Stocked items fewer.
    safety_apart, safety_together : float
        Safety stocks before and after [-].
    least_pieces : int
        One order minimum fewer.
    money_per_batch : float or None
        Of work that each kind takes, from the shop file.
    mix_ups : int
        Pairs that can be taken for one another, fewer.
    """

    items: int
    safety_apart: float
    safety_together: float
    least_pieces: int
    money_per_batch: float | None
    mix_ups: int


@dataclass(frozen=True)
class NearPair:
    """Two kinds of part that are nearly one: each named by its first use.

    Parameters
    ----------
    largest_mm : float
        Farthest that a hole or edge is off.
    differences : tuple of PartDifference
        All that must change.
    advice : str
        The plainest way to make them one.
    """

    first: PartUse
    second: PartUse
    how: str
    largest_mm: float
    differences: tuple[PartDifference, ...]
    advice: str
    saving: MergeSaving


@dataclass(frozen=True)
class LineHardware:
    """One kind of hardware with the pieces that each frame takes, spares included."""

    item: str
    kind: str
    pieces: dict[str, int]


@dataclass(frozen=True)
class LineReport:
    """The product line.

    Parameters
    ----------
    parts_apart, parts_stocked, parts_merged : int
        Kinds of part if each frame had its own, as they are, and if every near pair became one.
    hardware_apart, hardware_stocked : int
        Kinds of hardware, likewise.
    """

    frames: tuple[str, ...]
    options: LineOptions
    parts: tuple[LinePart, ...]
    near: tuple[NearPair, ...]
    hardware: tuple[LineHardware, ...]
    parts_apart: int
    parts_stocked: int
    parts_merged: int
    hardware_apart: int
    hardware_stocked: int
