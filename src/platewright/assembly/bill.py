"""Bill of materials: parts, screws by length and place, other hardware, equipment, spares and tools. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from platewright.assembly.assemble import Assembly
from platewright.assembly.hub_screws import N_HUB_SCREWS, hub_screws
from platewright.assembly.lines import Item
from platewright.assembly.stance import rotors_at
from platewright.model.catalogue.base import Record
from platewright.model.catalogue.fasteners import Nut, Screw
from platewright.model.catalogue.power import PropellerNut
from platewright.model.stack import ItemKind

__all__ = ["BillLine", "Tool", "bill_of_materials", "grommet_lines", "hardware_name", "tools_needed"]

HARDWARE = (ItemKind.SCREW, ItemKind.NUT, ItemKind.WASHER, ItemKind.STANDOFF, ItemKind.SPACER)


@dataclass(frozen=True)
class BillLine:
    """One item of the kit.

    Parameters
    ----------
    kind : str
        part, screw, nut, washer, standoff, spacer, grommet or equipment.
    item : str
        What to order, in the words of the design and the catalogue.
    quantity, spares : int
        Per frame.
    where : tuple of str
        Columns, places or equipment that use it, with their counts.
    note : str
        Standard, full thread, thickness and material.
    record : str
        Id of the catalogue record or part.
    """

    kind: str
    item: str
    quantity: int
    spares: int
    where: tuple[str, ...]
    note: str
    record: str


@dataclass(frozen=True)
class Tool:
    """A hex key or spanner the kit needs, and for what."""

    name: str
    size_mm: float
    used_for: tuple[str, ...]

    @property
    def label(self) -> str:
        """Name and size, as one asks for it."""
        return f"{self.name} {self.size_mm:g} mm"


def bill_of_materials(assembly: Assembly) -> tuple[BillLine, ...]:
    """Return all items of one frame, parts first, then hardware by kind and size, then equipment."""
    hardware = (*_hardware(assembly), *_hub_screw_lines(assembly), *grommet_lines(assembly))
    return (*_parts(assembly), *hardware, *_equipment(assembly))


def tools_needed(assembly: Assembly) -> tuple[Tool, ...]:
    """Hex keys and spanners, smallest first."""
    uses: dict[tuple[str, float], dict[str, None]] = {}

    def note(name: str, size: float, what: str) -> None:
        uses.setdefault((name, size), {})[what] = None

    for screw in assembly.screws:
        word = screw.line.items[screw.index].word
        note("hex key", screw.screw.drive_size_mm, f"{word.size} {word.style} screws")
    for line in assembly.lines:
        for item in line.items:
            if (
                line.fitted
                and isinstance(item.record, Nut)
                and item.record.across_flats_max_mm
                and item.word.style != "press"
            ):
                note("spanner", item.record.across_flats_max_mm, f"{item.word.size} nuts")
    for equipment in assembly.design.equipment:
        for record in (assembly.catalogue.find(i)[0] for i in equipment.use.values()):
            if isinstance(record, PropellerNut) and equipment.fitted:
                note("spanner", record.across_flats_mm, "propeller nuts")
            elif isinstance(record, Screw) and equipment.fitted:
                note("hex key", record.drive_size_mm, "propeller screws")
    return tuple(Tool(name, size, tuple(what)) for (name, size), what in sorted(uses.items()))


def grommet_lines(assembly: Assembly) -> tuple[BillLine, ...]:
    """Rubber grommets, four a board held in them."""
    counts: dict[str, dict[str, int]] = {}
    for equipment in assembly.design.equipment:
        size = next((w.size for w in equipment.items if w.kind is ItemKind.SCREW), "")
        held = sum(1 for w in equipment.items if w.in_grommet)
        if equipment.fitted and held:
            counts.setdefault(size, {})[equipment.id] = 4 * held
    return tuple(
        BillLine(
            "grommet",
            f"grommet {size}",
            sum(where.values()),
            _spares(sum(where.values()), assembly),
            tuple(f"{owner} x {n}" for owner, n in where.items()),
            "",
            assembly.catalogue.grommet(size).id,
        )
        for size, where in sorted(counts.items())
    )


def hardware_name(item: Item, length: float) -> str:
    """Return what a piece of hardware is called in lists, with its length where it has one [mm]."""
    word = item.word
    size = f"{word.size}x{length:g}" if length else word.size
    extra = " studded" if word.studded else ""
    words = [
        word.kind.value,
        size,
        word.style if word.kind is not ItemKind.WASHER or word.style != "plain" else "",
        word.grade,
    ]
    return " ".join(filter(None, words)) + extra


def _parts(assembly: Assembly) -> list[BillLine]:
    made = []
    for finished in assembly.parts.values():
        part = finished.part
        where = tuple(i.name for i in assembly.instances.values() if i.part.id == part.id)
        note = f"{part.thickness_mm:g} mm {part.material}"
        made.append(BillLine("part", part.id, finished.quantity, 0, where, note, part.id))
    return made


def _hardware(assembly: Assembly) -> list[BillLine]:
    screws = {(s.line.name, s.index): s for s in assembly.screws}
    groups: dict[tuple[int, str, float, str], dict[str, int]] = {}
    notes: dict[tuple[int, str, float, str], tuple[str, str]] = {}
    for line in assembly.lines:
        for n, item in enumerate(line.items):
            if not line.fitted or item.word.kind not in HARDWARE or item.record is None:
                continue
            screw = screws.get((line.name, n))
            length = screw.length if screw is not None else item.word.length_mm or 0.0
            key = (HARDWARE.index(item.word.kind), item.word.size, length, hardware_name(item, length))
            where = groups.setdefault(key, {})
            where[line.owner] = where.get(line.owner, 0) + 1
            full = "fully threaded" if screw is not None and screw.full_thread else ""
            previous = notes.get(key, ("", ""))[1]
            notes[key] = (item.record.id, full or previous)
    return [
        BillLine(
            HARDWARE[key[0]].value,
            key[3],
            sum(where.values()),
            _spares(sum(where.values()), assembly),
            tuple(f"{owner} x {n}" for owner, n in where.items()),
            "; ".join(filter(None, (_standard(assembly.catalogue.find(notes[key][0])), notes[key][1]))),
            notes[key][0],
        )
        for key, where in sorted(groups.items())
    ]


def _standard(records: Iterable[Record]) -> str:
    record = next(iter(records))
    return record.standard if isinstance(record, Screw | Nut) else ""


def _hub_screw_lines(assembly: Assembly) -> list[BillLine]:
    """Screws that hold propellers on their bells."""
    made = []
    for equipment in assembly.design.equipment:
        fit = hub_screws(equipment, assembly.catalogue)
        if fit is None or not equipment.fitted:
            continue
        count = N_HUB_SCREWS * (len(rotors_at(equipment.at, assembly.rotors)) if equipment.at is not None else 1)
        where = (f"{equipment.id} x {count}",)
        made.append(
            BillLine("screw", fit.name, count, _spares(count, assembly), where, fit.screw.standard, fit.screw.id)
        )
    return made


def _equipment(assembly: Assembly) -> list[BillLine]:
    made: dict[str, tuple[int, list[str]]] = {}
    for equipment in assembly.design.equipment:
        if not equipment.fitted:
            continue
        at_rotors = len(rotors_at(equipment.at, assembly.rotors)) if equipment.at is not None else 0
        copies = at_rotors or {"": 1, "xy": 4}.get(equipment.mirror, 2)
        for role, record_id in equipment.use.items():
            if isinstance(assembly.catalogue.find(record_id)[0], Screw):
                continue
            count, where = made.get(record_id, (0, []))
            made[record_id] = (count + copies, [*where, f"{equipment.id}.{role}"])
    return [
        BillLine("equipment", assembly.catalogue.find(i)[0].title, n, 0, tuple(where), "", i)
        for i, (n, where) in made.items()
    ]


def _spares(quantity: int, assembly: Assembly) -> int:
    return math.ceil(quantity * assembly.design.checks.spare_fraction)
