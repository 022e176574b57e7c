"""Whether everything a design names exists, in the design or in the catalogue, and can serve where it is named.

The columns' stacks are looked at in `stack_references`. A path is that of the value in the design; a message follows it
in a sentence.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator

from platewright.foundation.errors import CatalogueError
from platewright.model.catalogue import Catalogue, MeasuredPropeller, PropellerClass
from platewright.model.design import Design, Equipment, Part, Place
from platewright.model.load_case_references import load_case_problems
from platewright.model.stack_references import StackReferences, hint

__all__ = ["Reference", "reference_problems"]

Reference = tuple[tuple[str | int, ...], str, str]
"""Path, code and message of a problem."""


def reference_problems(design: Design, catalogue: Catalogue, left_out: frozenset[str] = frozenset()) -> list[Reference]:
    """Everything a design names that does not exist or cannot serve.

    Parameters
    ----------
    design : Design
        The resolved design.
    catalogue : Catalogue
        Its hardware, materials and equipment.
    left_out : frozenset of str
        Ids of records that could not be read: naming them is no problem.

    Returns
    -------
    list of (path, code, message)
        In the order of the design.
    """
    checker = _Checker(design, catalogue, left_out)
    return [
        *checker.frame(),
        *checker.drive(),
        *checker.parts(),
        *checker.places(),
        *checker.columns(),
        *checker.equipment(),
        *checker.tabs_and_keys(),
        *load_case_problems(design, left_out),
    ]


class _Checker:
    def __init__(self, design: Design, catalogue: Catalogue, left_out: frozenset[str]) -> None:
        self.design = design
        self.catalogue = catalogue
        self.left_out = left_out
        self.part_ids = {part.id for part in design.part}
        self.by_id = {place.id: place for place in design.place}
        self.stacks = StackReferences(design, catalogue, left_out)

    def drive(self) -> Iterator[Reference]:
        name = self.design.drive.propeller
        known = [r.id for kind in (PropellerClass, MeasuredPropeller) for r in self.catalogue.of_class(kind)]
        if name is not None and name not in known:
            message = f"names the unknown propeller '{name}'{hint(name, known)}"
            yield ("drive", "propeller"), "reference.catalogue", message

    def frame(self) -> Iterator[Reference]:
        if self.design.frame.frame_class:
            yield from self.record(("frame", "frame_class"), self.catalogue.frame_class, self.design.frame.frame_class)

    def parts(self) -> Iterator[Reference]:
        for index, part in enumerate(self.design.part):
            path = ("part", index)
            yield from self.record((*path, "material"), self.catalogue.laminate, part.material)
            yield from _outline(part, path)

    def places(self) -> Iterator[Reference]:
        equipment_ids = {thing.id for thing in self.design.equipment}
        for index, place in enumerate(self.design.place):
            path = ("place", index)
            if place.part not in self.part_ids | self.left_out:
                yield (
                    (*path, "part"),
                    "reference.part",
                    f"names the unknown part '{place.part}'{hint(place.part, self.part_ids)}",
                )
            if place.id in equipment_ids:
                message = f"'{place.id}' is also the id of a piece of equipment; a stack could mean either."
                yield (*path, "id"), "record.duplicate", message
            if place.to is not None and place.mirror:
                yield (
                    (*path, "mirror"),
                    "place.arms",
                    "must be left out: the place has an instance at every rotor already.",
                )
            yield from self.standing(place, path)

    def standing(self, place: Place, path: tuple[str | int, ...]) -> Iterator[Reference]:
        if not place.stands:
            if place.foot is not None:
                yield (
                    (*path, "foot"),
                    "place.stands",
                    "is for a place that stands on edge; give stands, or leave foot out.",
                )
            return
        if place.to is not None:
            yield (*path, "to"), "place.stands", "cannot lead a standing place to the rotors; leave out to or stands."
        if place.mirror == "xy":
            yield (*path, "mirror"), "place.stands", "must be x or y for a place that stands on edge (got 'xy')."
        if place.foot is None:
            yield path, "place.stands", "stands on edge and needs foot, the place on whose top its own y = 0 lies."
        else:
            yield from self.level_place((*path, "foot"), place.foot)
        if place.offset_mm is None and not self.is_fixed_sideways(place):
            message = "stands on edge and needs offset_mm, or a sideways column or camera whose stack goes through it."
            yield path, "place.stands", message

    def is_fixed_sideways(self, place: Place) -> bool:
        axis = "y" if place.stands == "xz" else "x"
        stacks = [(line.axis, line.items) for line in self.design.column]
        stacks += [(thing.axis, thing.items) for thing in self.design.equipment]
        through = any(
            its_axis == axis and any(item.name == place.id and item.access_mm is None for item in items)
            for its_axis, items in stacks
        )
        return through or bool(self.left_out)  # what was left out may be what fixes it

    def columns(self) -> Iterator[Reference]:
        for index, column in enumerate(self.design.column):
            path = ("column", index)
            yield from self.place((*path, "of"), column.of)
            yield from self.level_place((*path, "foot"), column.foot)
            named = {item.name for item in column.items}
            for position, name in enumerate(column.sets_level):
                where = (*path, "sets_level", position)
                yield from self.place(where, name)
                if name in self.by_id and name not in named:
                    yield (
                        where,
                        "reference.place",
                        f"must be a place that this column's stack goes through (got '{name}').",
                    )
            yield from self.stacks.of(column.items, path)

    def equipment(self) -> Iterator[Reference]:
        for index, thing in enumerate(self.design.equipment):
            path = ("equipment", index)
            for role, record in thing.use.items():
                yield from self.record((*path, "use", role), self.catalogue.find, record)
            if thing.pattern is not None:
                yield from self.record((*path, "pattern"), self.catalogue.find, thing.pattern)
            if thing.on not in {e.id for e in self.design.equipment}:  # a propeller stands on its motor
                yield from self.place((*path, "on"), thing.on)
            yield from self.level_place((*path, "foot"), thing.foot)
            for position, name in enumerate(thing.through):
                yield from self.place((*path, "through", position), name)
            yield from _position(thing, path)
            yield from self.stacks.of(thing.items, path)

    def tabs_and_keys(self) -> Iterator[Reference]:
        for index, tab in enumerate(self.design.tab):
            path = ("tab", index)
            yield from self.place((*path, "of"), tab.of)
            if tab.of in self.by_id and not self.by_id[tab.of].stands:
                yield (*path, "of"), "reference.place", f"must be a place that stands on edge (got '{tab.of}')."
            for position, name in enumerate(tab.into):
                yield from self.level_place((*path, "into", position), name)
        for index, key in enumerate(self.design.key):
            path = ("key", index)
            yield from self.place((*path, "of"), key.of)
            if key.of in self.by_id and self.by_id[key.of].to is None:
                yield (*path, "of"), "reference.place", f"must be a place that goes to the rotors (got '{key.of}')."

    def record(self, path: tuple[str | int, ...], look_up: Callable[[str], object], name: str) -> Iterator[Reference]:
        try:
            look_up(name)
        except CatalogueError as error:
            yield path, "reference.catalogue", f"names an {error}"

    def place(self, path: tuple[str | int, ...], name: str | None) -> Iterator[Reference]:
        if name is not None and name not in self.by_id and name not in self.left_out:
            yield path, "reference.place", f"names the unknown place '{name}'{hint(name, self.by_id)}"

    def level_place(self, path: tuple[str | int, ...], name: str | None) -> Iterator[Reference]:
        """Check a place that must lie on a level."""
        yield from self.place(path, name)
        if name in self.by_id and self.by_id[name].stands:
            yield path, "reference.place", f"must be a place that lies on a level (got '{name}', which stands on edge)."


def _outline(part: Part, path: tuple[str | int, ...]) -> Iterator[Reference]:
    drawn = bool(part.nodes or part.polygons)
    if part.drawing is not None and (drawn or part.links or part.webs):
        yield path, "outline.source", "has both a drawing and nodes, links, webs or polygons; keep one of the two."
    elif part.drawing is None and not drawn:
        yield path, "outline.source", "has no outline: give nodes with links, polygons, or a drawing."
    nodes = [node.id for node in part.nodes]
    for name, count in Counter(nodes).items():
        if count > 1:
            yield (*path, "nodes"), "record.duplicate", f"has {count} nodes with the id '{name}'; give each its own."
    for index, link in enumerate(part.links):
        for key, name in (("start", link.start), ("end", link.end)):
            yield from _node((*path, "links", index, key), name, nodes)
        if link.start == link.end:
            yield (*path, "links", index), "outline.nodes", f"must join two nodes (got '{link.start}' twice)."
    for index, web in enumerate(part.webs):
        for position, name in enumerate(web.nodes):
            yield from _node((*path, "webs", index, "nodes", position), name, nodes)


def _node(path: tuple[str | int, ...], name: str, nodes: Iterable[str]) -> Iterator[Reference]:
    if name not in nodes:
        yield path, "outline.nodes", f"names the unknown node '{name}'{hint(name, nodes)}"


def _position(thing: Equipment, path: tuple[str | int, ...]) -> Iterator[Reference]:
    if thing.at is not None and "at_mm" in thing.model_fields_set:
        yield (
            (*path, "at_mm"),
            "equipment.position",
            f'must be left out beside at = "{thing.at}": the rotors say where it is.',
        )
