"""Round holes of a plate and the screws they fit [mm]."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.geometry.recognise.sheet import SheetPlate
from platewright.model.catalogue import Catalogue, ClearanceHole

__all__ = ["Fit", "RoundHole", "fit_of", "fits", "round_holes"]

_OFF = 0.06  # a hole this near to a clearance hole of the standard is one [mm]


@dataclass(frozen=True)
class RoundHole:
    """A round opening by its number in the plate."""

    opening: int
    x: float
    y: float
    diameter: float

    @property
    def at(self) -> complex:
        """Its middle."""
        return complex(self.x, self.y)


@dataclass(frozen=True)
class Fit:
    """A clearance hole of ISO 273: thread, class and diameter [mm]."""

    thread: str
    hole: str
    diameter: float


def round_holes(plate: SheetPlate) -> list[RoundHole]:
    """Return the round openings, drawn as circles or not."""
    return [
        RoundHole(k, o.circle.x, o.circle.y, 2 * o.circle.radius)
        for k, o in enumerate(plate.openings)
        if o.circle is not None
    ]


def fits(catalogue: Catalogue) -> list[Fit]:
    """Return the clearance holes of the catalogue."""
    return [Fit(r.thread, r.fit, r.d_mm) for r in catalogue.of_class(ClearanceHole)]


def fit_of(diameter: float, known: list[Fit], thread: str | None = None) -> Fit | None:
    """Return the nearest clearance hole within 0.06 mm, of one thread if it is given; the finer class where two are."""
    near = [f for f in known if abs(f.diameter - diameter) <= _OFF and thread in (None, f.thread)]
    return min(near, key=lambda f: (round(abs(f.diameter - diameter), 3), f.diameter), default=None)
