"""Whether everything a stack names exists: places and their instances, equipment and its roles, hardware on sale."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from platewright.foundation.errors import CatalogueError, nearest_names
from platewright.model.catalogue import Catalogue, Spacer, Standoff
from platewright.model.design import Design, Place
from platewright.model.stack import ItemKind, StackItem

__all__ = ["StackReferences", "hint"]

Reference = tuple[tuple[str | int, ...], str, str]
_SIDES = {"": (), "x": ("front", "rear"), "y": ("left", "right"), "xy": ("1", "2", "3", "4")}
_RECTANGLE = 4


def hint(name: str, known: Iterable[str]) -> str:
    """End of a sentence about an unknown name: the nearest names, or all of a few.

    Examples
    --------
    >>> hint("dekc", ["deck", "arm"])
    "; did you mean 'deck'?"
    """
    names = sorted(set(known))
    near = nearest_names(name, names)
    if near:
        return f"; did you mean {' or '.join(repr(n) for n in near)}?"
    return f"; there are {', '.join(names[:12])}{', ...' if len(names) > 12 else ''}." if names else "; there are none."


class StackReferences:
    """Looks up the items of stacks.

    Parameters
    ----------
    design : Design
        Gives places and equipment.
    catalogue : Catalogue
        Gives hardware.
    left_out : frozenset of str
        Ids that count as known.
    """

    def __init__(self, design: Design, catalogue: Catalogue, left_out: frozenset[str]) -> None:
        self.catalogue = catalogue
        self.left_out = left_out
        self.places = {place.id: place for place in design.place}
        self.things = {thing.id: thing for thing in design.equipment}
        self.axis_count = len(design.rotors.at_mm) or _RECTANGLE

    def of(self, items: Sequence[StackItem], path: tuple[str | int, ...]) -> Iterator[Reference]:
        """Check the items of the stack at ``path.stack``."""
        for position, item in enumerate(items):
            where = (*path, "stack", position)
            if item.kind is ItemKind.THING:
                yield from self._thing(item, where)
            elif item.kind is not ItemKind.GAP:
                yield from self._hardware(item, where)
            if item.kind is ItemKind.NUT and item.style == "press":
                yield from self._pressed(item, items, where)

    def _thing(self, item: StackItem, where: tuple[str | int, ...]) -> Iterator[Reference]:
        if item.name in self.left_out:
            return
        if item.name in self.places:
            if item.in_grommet:
                yield where, "reference.place", f"puts the place '{item.name}' in a grommet; only a board has grommets."
            yield from self._instance(self.places[item.name], item, where)
        elif item.name in self.things:
            roles = self.things[item.name].use
            if not item.role:
                message = (
                    f"must say which role of '{item.name}' it means: {_either(f'{item.name}.{r}' for r in roles)}."
                )
                yield where, "reference.equipment", message
            elif item.role not in roles:
                message = f"names the unknown role '{item.role}' of '{item.name}'{hint(item.role, roles)}"
                yield where, "reference.equipment", message
        else:
            code, what = ("reference.equipment", "equipment") if item.role else ("reference.place", "place")
            known = [*self.places, *self.things, *(kind.value for kind in ItemKind if kind is not ItemKind.THING)]
            yield where, code, f"names the unknown {what} '{item.name}'{hint(item.name, known)}"

    def _instance(self, place: Place, item: StackItem, where: tuple[str | int, ...]) -> Iterator[Reference]:
        sides = _SIDES[place.mirror]
        if place.to is not None:
            sides = tuple(str(n + 1) for n in range(self.axis_count)) if self.axis_count > 1 else ()
        if item.role and item.role not in sides:
            message = f"names the unknown instance '{item.role}' of '{place.id}'"
            ending = hint(item.role, sides) if sides else ", of which there is one; leave the point and the word out."
            yield where, "reference.place", message + ending

    def _pressed(
        self, item: StackItem, items: Sequence[StackItem], where: tuple[str | int, ...]
    ) -> Iterator[Reference]:
        if item.name in self.left_out:
            return
        if item.name not in self.places:
            yield (
                where,
                "reference.place",
                f"is pressed into the unknown place '{item.name}'{hint(item.name, self.places)}",
            )
        elif all(other.name != item.name or other.kind is not ItemKind.THING for other in items):
            message = f"is pressed into '{item.name}', which this stack does not go through."
            yield where, "reference.place", message

    def _hardware(self, item: StackItem, where: tuple[str | int, ...]) -> Iterator[Reference]:
        for look_up in self._look_ups(item):
            try:
                look_up()
            except CatalogueError as error:
                yield where, "hardware.unknown", f"names an {error}"
                return
        lengths = self._lengths(item)
        if item.length_mm is not None and lengths and item.length_mm not in lengths:
            listed = ", ".join(f"{length:g}" for length in _around(item.length_mm, lengths))
            message = f"is not sold {item.length_mm:g} mm long; the nearest lengths are {listed} mm."
            yield where, "hardware.length", message

    def _look_ups(self, item: StackItem) -> Iterator[Callable[[], object]]:
        """Ask the catalogue for each word of an item."""
        find = self.catalogue
        if item.kind is ItemKind.SCREW:
            yield lambda: find.screw(item.size, item.style)
            yield lambda: find.screw_class(item.grade)
            yield lambda: find.lengths(item.size)
        elif item.kind is ItemKind.NUT:
            yield lambda: find.nut(item.size, item.style)
        elif item.kind is ItemKind.WASHER:
            yield lambda: find.washer(item.size, item.style)
        elif item.kind is ItemKind.STANDOFF:
            yield lambda: self._standoff(item)
        elif item.kind is ItemKind.SPACER:
            yield lambda: self._spacer(item)

    def _lengths(self, item: StackItem) -> tuple[float, ...]:
        """Lengths on sale of what an item names; empty where there is no choice."""
        if item.kind is ItemKind.SCREW:
            return self.catalogue.lengths(item.size).all_mm
        if item.kind is ItemKind.STANDOFF:
            return self._standoff(item).lengths_mm
        return self._spacer(item).lengths_mm if item.kind is ItemKind.SPACER else ()

    def _standoff(self, item: StackItem) -> Standoff:
        return self.catalogue.standoff(item.size, "studded" if item.studded else "plain")

    def _spacer(self, item: StackItem) -> Spacer:
        return self.catalogue.spacer(item.size, material=item.style or None)


def _around(length: float, lengths: Iterable[float]) -> list[float]:
    return sorted(sorted(lengths, key=lambda other: abs(other - length))[:3])


def _either(words: Iterable[str]) -> str:
    return " or ".join(f"'{word}'" for word in words)
