"""A bolt line as layers along its axis, for its drawing in section [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from platewright.assembly.affine import Affine
from platewright.assembly.assemble import Assembly
from platewright.assembly.lines import Item, Line
from platewright.assembly.screws import ScrewFit
from platewright.foundation.errors import nearest_names
from platewright.model.stack import ItemKind

__all__ = ["Layer", "extent", "find_line", "layers"]


@dataclass(frozen=True)
class Layer:
    """One item with its place on the line [mm]."""

    number: int
    item: Item
    low: float
    high: float
    thickness: Affine | None


def find_line(lines: Sequence[Line], name: str) -> Line:
    """Return a line by its name, or the first of an owner.

    Raises
    ------
    KeyError
        If there is none; the message names the nearest.
    """
    for line in lines:
        if name in (line.name, line.owner):
            return line
    near = ", ".join(nearest_names(name, [line.name for line in lines]))
    msg = f"there is no column '{name}'" + (f"; near: {near}." if near else ".")
    raise KeyError(msg)


def layers(assembly: Assembly, line: Line) -> list[Layer]:
    """Items with where they lie; access places at their plate's level, gaps between their neighbours."""
    spans = assembly.levels.spans[line.name]
    made: list[Layer] = []
    for n, item in enumerate(line.items):
        span = spans[n]
        if span is not None and item.word.kind is ItemKind.SCREW:
            made.append(Layer(n, item, span.start.nominal, span.start.nominal, None))
        elif span is not None:
            made.append(Layer(n, item, span.start.nominal, span.end.nominal, item.thickness))
        elif item.instance is not None and line.axis == "z" and item.instance.normal == "z":
            bottom = assembly.levels.level[item.instance.name].at(line.a, line.b).nominal
            made.append(Layer(n, item, bottom, bottom + item.instance.part.thickness_mm, None))
    for n, item in enumerate(line.items):
        if item.word.kind is not ItemKind.GAP:
            continue
        below = max((x.high for x in made if x.number < n and x.item.touches), default=None)
        above = min((x.low for x in made if x.number > n and x.item.touches), default=None)
        if below is not None and above is not None:
            made.append(Layer(n, item, below, above, None))
    return sorted(made, key=lambda x: x.number)


def extent(drawn: Sequence[Layer], screws: Sequence[ScrewFit]) -> tuple[float, float]:
    """Return the lowest and the highest point of layers and screws."""
    lows, highs = [x.low for x in drawn], [x.high for x in drawn]
    for screw in screws:
        face = next(x.low for x in drawn if x.number == screw.index)
        ends = (face - screw.direction * screw.screw.head_h_max_mm, face + screw.direction * screw.length)
        lows.append(min(ends))
        highs.append(max(ends))
    return min(lows, default=0.0), max(highs, default=1.0)
