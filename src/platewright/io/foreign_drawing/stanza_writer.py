"""What the stanzas of a read part share: the facts, the lines written so far, the openings that they make."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from platewright.foundation.errors import CatalogueError
from platewright.geometry.recognise.pattern import Pattern
from platewright.geometry.recognise.sheet import SheetPlate
from platewright.model.catalogue import Catalogue

__all__ = ["SAME_SIZE", "PartFacts", "StanzaWriter", "has_screw", "plain_degrees", "plain_number"]

SAME_SIZE = 0.06  # an opening this near to what the catalogue asks for is left to it [mm]


@dataclass(frozen=True)
class PartFacts:
    """What a drawing does not tell: id and kind of the part, material, thickness [mm], names of both files."""

    id: str
    kind: str
    material: str
    thickness_mm: float
    drawing: str
    source: str


@dataclass
class StanzaWriter:
    """Collects stanzas, and the openings that they make."""

    facts: PartFacts
    plate: SheetPlate
    catalogue: Catalogue
    origin: complex = 0j
    text: list[str] = field(default_factory=list)
    made: set[int] = field(default_factory=set)
    changes: list[str] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)

    def diameter(self, opening: int) -> float:
        """Return the diameter of a round opening; 0 for another [mm]."""
        circle = self.plate.openings[opening].circle
        return 2 * circle.radius if circle else 0.0

    def point(self, x: float, y: float) -> str:
        """Write a point in the axes of the part."""
        z = complex(x, y) - self.origin
        return f"[{plain_number(z.real)}, {plain_number(z.imag)}]"

    def name(self, stem: str) -> str:
        """Return an id that was not given yet and begins with that of the part."""
        self.counts[stem] += 1
        return f"{self.facts.id}_{stem}_{self.counts[stem]}"

    def take(self, p: Pattern, openings: Sequence[int]) -> None:
        """Leave openings to the stanza, and say where a hole becomes another size."""
        self.made |= set(openings)
        self.note_size(p, self.diameter(openings[0]), self.catalogue.clearance_hole(p.thread, p.fit).d_mm)

    def note_size(self, p: Pattern, drawn: float, wanted: float) -> None:
        """Say that holes become another size, if they do."""
        if abs(drawn - wanted) > 1e-3:
            words = f"{p.kind} {p.record}: holes of {drawn:.3f} mm become {wanted:.2f} mm"
            if words not in self.changes:
                self.changes.append(words)


def has_screw(catalogue: Catalogue, thread: str) -> bool:
    """Return whether the catalogue has a socket head screw of a thread."""
    try:
        catalogue.screw(thread, "socket")
    except CatalogueError:
        return False
    return True


def plain_number(value: float) -> str:
    """Write a number with at most six decimals."""
    text = f"{round(value, 6) + 0.0:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def plain_degrees(turn: float) -> str:
    """Write an angle [rad] in degrees."""
    return plain_number(round(math.degrees(turn), 4))
