"""Labels of a part's openings: a letter per diameter, a number per hole, `S` for slots and other openings."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.assembly.assemble import FinishedPart
from platewright.assembly.holes import Hole
from platewright.geometry.loops import Circle, Loop, bounding_box
from platewright.io.drawing.canvas import number

__all__ = ["Opening", "openings_of"]

_LETTERS = "ABCDEFGHJKLMNPQRTUVWXYZ"  # without I, O and S, which are read as figures or mean a slot
_SAME = 1e-6  # [mm]


@dataclass(frozen=True)
class Opening:
    """One opening of a part, in the part's own axes.

    Parameters
    ----------
    label : str
        `A3`: the third hole of the first diameter; `S1`: a slot or another opening.
    x, y : float
        Centre [mm].
    width, height : float
        Extent along x and y, both the diameter of a hole [mm].
    is_round : bool
        A round hole.
    purpose : str
        What it is for.
    countersink : str
        Diameter, angle and face; empty without one.
    """

    label: str
    x: float
    y: float
    width: float
    height: float
    is_round: bool
    purpose: str
    countersink: str = ""

    @property
    def size_text(self) -> str:
        """Diameter, or extent along x and y [mm]."""
        if self.is_round:
            return f"⌀ {number(self.width, 2)}"
        return f"{number(self.width, 2)} × {number(self.height, 2)}"


def openings_of(finished: FinishedPart) -> tuple[Opening, ...]:
    """Return all openings in the order of their labels; of one size from the top, then from the left."""
    circles = sorted(finished.outline.circles, key=lambda c: (round(c.radius, 4), -round(c.y, 4), round(c.x, 4)))
    made: list[Opening] = []
    radii = list(dict.fromkeys(round(c.radius, 4) for c in circles))
    counts: dict[float, int] = {}
    for circle in circles:
        radius = round(circle.radius, 4)
        counts[radius] = counts.get(radius, 0) + 1
        hole = _hole_at(finished.holes.holes, circle)
        made.append(
            Opening(
                f"{_letter(radii.index(radius))}{counts[radius]}",
                circle.x,
                circle.y,
                2 * circle.radius,
                2 * circle.radius,
                True,
                _purpose(hole),
                _countersink(hole),
            )
        )
    loops = sorted((bounding_box(loop), loop) for loop in finished.outline.inner)
    loops.sort(key=lambda item: (-round(item[0][3], 4), round(item[0][0], 4)))
    for n, ((x0, y0, x1, y1), loop) in enumerate(loops, 1):
        purpose = "strap slot" if _is_slot(finished, loop) else "opening"
        made.append(Opening(f"S{n}", (x0 + x1) / 2, (y0 + y1) / 2, x1 - x0, y1 - y0, False, purpose))
    return tuple(made)


def _letter(index: int) -> str:
    round_trip, place = divmod(index, len(_LETTERS))
    return _LETTERS[place] * (round_trip + 1)


def _hole_at(holes: tuple[Hole, ...], circle: Circle) -> Hole | None:
    for hole in holes:
        close = abs(hole.x - circle.x) < _SAME and abs(hole.y - circle.y) < _SAME
        if close and abs(hole.diameter / 2 - circle.radius) < _SAME:
            return hole
    return None


def _purpose(hole: Hole | None) -> str:
    """Say what a hole is for, and the columns or equipment that ask for it."""
    if hole is None:
        return "cut-out"
    askers = dict.fromkeys(request.source.split(".")[0] for request in hole.requests)
    return f"{hole.purpose}: {', '.join(askers)}"


def _countersink(hole: Hole | None) -> str:
    if hole is None:
        return ""
    return "; ".join(
        f"⌀ {number(c.diameter, 2)} × {number(c.angle_deg, 1)}° {'upper' if c.on_upper_face else 'lower'} face"
        for c in hole.countersinks
    )


def _is_slot(finished: FinishedPart, loop: Loop) -> bool:
    x0, y0, x1, y1 = bounding_box(loop)
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    return any(abs(slot.x - x) < 1e-3 and abs(slot.y - y) < 1e-3 for slot in finished.holes.slots)
