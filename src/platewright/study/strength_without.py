"""A frame without some of its plates: what held only them goes, screws clamp what is left, what they carried stays.

Spacers and washers between an outermost plate and the next go with it, as do columns that held nothing else together.
Screws whose length is not given are chosen anew for the shorter grip. A carried thing stays where it is in space and
rests on the plate that its carrier was bolted to. Holes stay: the plates that are left are the same parts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from platewright.assembly.assemble import Assembly
from platewright.assembly.equipment import equipment_bodies
from platewright.assembly.heights import LevelError
from platewright.assembly.instances import Instance
from platewright.assembly.levels import solve_levels
from platewright.assembly.lines import Item, Line
from platewright.assembly.placing import hardware_bodies, plate_bodies
from platewright.assembly.screws import fit_screws, fit_studs
from platewright.foundation.errors import StructureError
from platewright.model.stack import ItemKind

__all__ = ["without_places"]

_LEAVES = (ItemKind.SPACER, ItemKind.STANDOFF, ItemKind.WASHER)


def without_places(assembly: Assembly, places: frozenset[str]) -> Assembly:
    """Return a frame without some places.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    places : frozenset of str
        Ids of the places that go.

    Raises
    ------
    StructureError
        If another plate has no height without them.
    """
    kept = {name: i for name, i in assembly.instances.items() if i.place.id not in places}
    lines = tuple(line for old in assembly.lines if (line := _trimmed(old, kept)) is not None)
    try:
        levels = solve_levels(lines, kept)
    except LevelError as error:
        msg = f"without {' and '.join(sorted(places))}, place '{error.place}' stands on nothing: {error}"
        raise StructureError(msg) from error
    design, catalogue = assembly.design, assembly.catalogue
    carried = {e.id: e for e in design.equipment if e.on in places}
    others = tuple(e for e in design.equipment if e.id not in carried)
    moved = (e.model_copy(update={"on": _holder(assembly, e.on or "", kept)}) for e in carried.values())
    screws = fit_screws(lines, levels, catalogue, design.checks)
    studs = fit_studs(lines, levels, catalogue, design.checks)
    outlines = {name: finished.outline for name, finished in assembly.parts.items()}
    rest = design.model_copy(update={"equipment": others})
    bodies = (
        *plate_bodies(kept, outlines, levels),
        *hardware_bodies(lines, (*screws, *studs), kept, levels),
        *equipment_bodies(rest, catalogue, kept, lines, levels, assembly.rotors),
        *(b for b in assembly.bodies if b.owner in carried and not b.line),
    )
    left = {"place": tuple(p for p in design.place if p.id not in places), "equipment": (*others, *moved)}
    return replace(
        assembly,
        design=design.model_copy(update=left),
        instances=kept,
        lines=lines,
        levels=levels,
        screws=screws,
        studs=studs,
        tabs=tuple(t for t in assembly.tabs if t.standing.name in kept and t.plate.name in kept),
        bodies=bodies,
    )


def _trimmed(line: Line, kept: Mapping[str, Instance]) -> Line | None:
    """Return a line without what is gone; None where it then holds nothing together."""
    goes = [n for n, i in enumerate(line.items) if i.instance is not None and i.instance.name not in kept]
    if not goes:
        return line
    stays = [n for n, i in enumerate(line.items) if _holds(i) and n not in goes]
    if len(stays) < (1 if line.is_equipment else 2):
        return None
    first, last = stays[0], stays[-1]
    items = tuple(
        item
        for n, item in enumerate(line.items)
        if n not in goes and (first <= n <= last or item.word.kind not in _LEAVES)
    )
    sets = tuple(s for s in line.sets_level if any(i.place.id == s for i in kept.values()))
    return replace(line, items=items, sets_level=sets)


def _holds(item: Item) -> bool:
    return item.instance is not None and not item.is_access


def _holder(assembly: Assembly, place: str, kept: Mapping[str, Instance]) -> str:
    """Return the place nearest on its bolt lines to one that goes; itself where nothing else is on them."""
    found = []
    for line in assembly.lines:
        plates = [(n, i.instance) for n, i in enumerate(line.items) if _holds(i) and i.instance is not None]
        at = [n for n, instance in plates if instance.place.id == place]
        found += [(abs(n - k), instance.place.id) for k in at for n, instance in plates if instance.name in kept]
    return min(found)[1] if found else place
