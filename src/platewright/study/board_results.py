"""What the check says about boards and wires: rows with units in their names."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["BoardReport", "BoardRow", "PadRow", "RunRow", "SideRow", "TogetherRow"]


@dataclass(frozen=True)
class SideRow:
    """One side of a board: free distance in front of a plug there, None where nothing is near, and what ends it."""

    side: str
    free_mm: float | None
    ended_by: str


@dataclass(frozen=True)
class PadRow:
    """A group of pads, and what must come off before an iron reaches it; nothing where it is reached as built."""

    kind: str
    at_mm: tuple[float, float, float]
    off: tuple[str, ...]


@dataclass(frozen=True)
class BoardRow:
    """A screwed board: air under the bare board and its parts and over it, None where it is open; sides and pads.

    `open_air_percent` is the share of directions with 50 mm of free air, for boards that need it.
    """

    board: str
    record: str
    pattern: str
    turn_deg: float
    in_grommets: bool
    bottom_mm: float
    top_mm: float
    under_board_mm: float | None
    under_parts_mm: float | None
    under: str
    over_parts_mm: float | None
    over: str
    sides: tuple[SideRow, ...]
    pads: tuple[PadRow, ...]
    open_air_percent: float | None


@dataclass(frozen=True)
class RunRow:
    """A run of wire along the plates, with slack, and the plates whose edges it passes."""

    kind: str
    start: str
    end: str
    length_mm: float
    edges: tuple[str, ...]


@dataclass(frozen=True)
class TogetherRow:
    """A video lead beside a power lead: over which length, and how near."""

    video: str
    power: str
    length_mm: float
    nearest_mm: float


@dataclass(frozen=True)
class BoardReport:
    """Boards, runs of wire, and video leads beside power leads."""

    boards: tuple[BoardRow, ...]
    runs: tuple[RunRow, ...]
    together: tuple[TogetherRow, ...]
