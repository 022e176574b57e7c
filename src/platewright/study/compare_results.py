"""What a comparison of two frames gives: rows with both values and units in their names."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.foundation.findings import Finding

__all__ = ["Change", "Comparison", "HoleChange", "PartRow", "TextRow"]


@dataclass(frozen=True)
class Change:
    """A quantity in both frames, in `unit`; None where a frame has none."""

    what: str
    unit: str
    first: float | None
    second: float | None

    @property
    def difference(self) -> float | None:
        """Second less first."""
        return None if self.first is None or self.second is None else self.second - self.first


@dataclass(frozen=True)
class HoleChange:
    """Number of holes of one diameter in both versions of a part."""

    diameter_mm: float
    first: int
    second: int


@dataclass(frozen=True)
class PartRow:
    """A part of either frame, matched by shape and laminate.

    `state` is same, changed, gone or new. A part that is the same may have another id, lie turned, or turned over.
    Areas added and removed are those of a changed part in its own axes.
    """

    state: str
    first: str
    second: str
    how: str
    quantity_first: int
    quantity_second: int
    area_first_mm2: float | None
    area_second_mm2: float | None
    added_mm2: float | None
    removed_mm2: float | None
    mass_first_g: float | None
    mass_second_g: float | None
    holes: tuple[HoleChange, ...]


@dataclass(frozen=True)
class TextRow:
    """Something said in words that differs; empty where a frame has none."""

    what: str
    first: str
    second: str


@dataclass(frozen=True)
class Comparison:
    """Two frames side by side; lists hold only what differs, but for `parts`, `numbers` and the last five."""

    first: str
    second: str
    parts: tuple[PartRow, ...]
    parameters: tuple[Change, ...]
    numbers: tuple[Change, ...]
    places: tuple[TextRow, ...]
    columns: tuple[TextRow, ...]
    hardware: tuple[Change, ...]
    findings_gone: tuple[Finding, ...]
    findings_new: tuple[Finding, ...]
    service: tuple[Change, ...]
    hovering: tuple[Change, ...]
    flying: tuple[Change, ...]
    handling: tuple[Change, ...]
    strength: tuple[Change, ...]
    strength_words: tuple[TextRow, ...]
