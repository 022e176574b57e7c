"""Hardware of a frame by the step of assembly that needs it, in bags; spares in a bag of their own. Masses in g."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from platewright.assembly.assemble import Assembly
from platewright.assembly.bill import HARDWARE, BillLine, bill_of_materials, hardware_name
from platewright.assembly.hardware import hub_screw_mass
from platewright.assembly.hub_screws import hub_screws
from platewright.assembly.mass import mass_items
from platewright.assembly.order import Step, assembly_order
from platewright.foundation.units import G_PER_T
from platewright.model.catalogue.hardware import Grommet
from platewright.study.packing_results import Bag, BagLine

__all__ = ["hardware_bags"]

_BOUGHT = ("part", "equipment")


@dataclass(frozen=True)
class _Lot:
    """Hardware of one or more neighbouring steps."""

    steps: tuple[int, ...]
    owners: tuple[str, ...]
    counts: Counter[str]


def hardware_bags(assembly: Assembly, most: int | None = None) -> tuple[tuple[Bag, ...], tuple[str, ...]]:
    """Return the bags of a kit in the order of assembly, spares last, and hardware of which no mass is known.

    Parameters
    ----------
    assembly : Assembly
        The whole frame.
    most : int or None
        Bags at most, that of the spares among them; neighbouring steps are then put together, the smallest first.
        One for each step and owner when None.

    Notes
    -----
    A screw is in the bag of the step that drives it; what else is on its line, such as a standoff or a nut, in that of
    the first step whose screw goes through it.
    """
    steps = assembly_order(assembly).steps
    bill = [line for line in bill_of_materials(assembly) if line.kind not in _BOUGHT]
    each = _masses(assembly, bill)
    lots = _by_step(assembly, steps, bill)
    spares = Counter({line.item: line.spares for line in bill if line.spares})
    room = None if most is None else max(most - bool(spares), 1)
    while room is not None and len(lots) > room:
        n = min(range(len(lots) - 1), key=lambda k: lots[k].counts.total() + lots[k + 1].counts.total())
        lots[n : n + 2] = [_joined(lots[n], lots[n + 1])]
    bags = [_bag(n, lot.steps, ", ".join(lot.owners), lot.counts, each) for n, lot in enumerate(lots, 1)]
    if spares:
        bags.append(_bag(len(bags) + 1, (), "spares", spares, each))
    return tuple(bags), tuple(sorted({line.item for line in bill if line.item not in each}))


def _by_step(assembly: Assembly, steps: Sequence[Step], bill: Sequence[BillLine]) -> list[_Lot]:
    """Return the hardware of every step that needs some; neighbouring steps of one owner are one."""
    first: dict[tuple[str, int], int] = {}
    of_owner: dict[str, int] = {}
    for step in steps:
        for name in (step.owner, *step.equipment):
            of_owner.setdefault(name, step.number)
        for fit in (*step.screws, *step.studs):
            for index in (fit.index, *fit.path):
                key = fit.line.name, index
                first[key] = step.number if index == fit.index else first.get(key, step.number)
    counts: dict[int, Counter[str]] = {step.number: Counter() for step in steps}
    lengths = {(s.line.name, s.index): s.length for s in assembly.screws}
    for line in assembly.lines:
        for n, item in enumerate(line.items):
            if line.fitted and item.word.kind in HARDWARE and item.record is not None:
                step_number = first.get((line.name, n)) or of_owner.get(line.owner, steps[0].number)
                length = lengths.get((line.name, n), item.word.length_mm or 0.0)
                counts[step_number][hardware_name(item, length)] += 1
    _rest(counts, bill, of_owner, steps[0].number)
    lots: list[_Lot] = []
    for step in steps:
        if not counts[step.number]:
            continue
        owner = step.owner or ", ".join(step.equipment)
        lot = _Lot((step.number,), (owner,), counts[step.number])
        if lots and lots[-1].owners == lot.owners:
            lots[-1] = _joined(lots[-1], lot)
        else:
            lots.append(lot)
    return lots


def _rest(
    counts: Mapping[int, Counter[str]], bill: Sequence[BillLine], of_owner: Mapping[str, int], otherwise: int
) -> None:
    """Add what stands on no line, such as grommets and screws of propellers, to the step of what it belongs to."""
    have = sum(counts.values(), Counter[str]())
    for line in bill:
        missing = line.quantity - have[line.item]
        for where in line.where:
            owner, _, number = where.rpartition(" x ")
            share = min(missing, int(number))
            if share > 0:
                counts[of_owner.get(owner, otherwise)][line.item] += share
                missing -= share


def _masses(assembly: Assembly, bill: Sequence[BillLine]) -> dict[str, float]:
    """Return the mass of one piece of each kind of hardware [g]."""
    lengths = {(s.line.name, s.index): s.length for s in assembly.screws}
    weighed = {m.name: m.mass * G_PER_T for m in mass_items(assembly) if m.group == "hardware"}
    records = {line.item: assembly.catalogue.find(line.record) for line in bill}
    found = {name: record.mass_g for name, same in records.items() for record in same if isinstance(record, Grommet)}
    for fit in (hub_screws(equipment, assembly.catalogue) for equipment in assembly.design.equipment):
        if fit is not None:
            found[fit.name] = hub_screw_mass(fit, assembly.catalogue) * G_PER_T
    for line in assembly.lines:
        for n, item in enumerate(line.items):
            mass = weighed.get(f"{line.name}#{n + 1}")
            if mass is not None and item.record is not None:
                found[hardware_name(item, lengths.get((line.name, n), item.word.length_mm or 0.0))] = mass
    return found


def _joined(one: _Lot, other: _Lot) -> _Lot:
    owners = tuple(dict.fromkeys((*one.owners, *other.owners)))
    return _Lot((*one.steps, *other.steps), owners, one.counts + other.counts)


def _bag(number: int, steps: tuple[int, ...], what: str, counts: Counter[str], each: Mapping[str, float]) -> Bag:
    lines = tuple(BagLine(item, n) for item, n in sorted(counts.items()))
    return Bag(number, steps, what, lines, sum(each.get(line.item, 0.0) * line.quantity for line in lines))
