"""The work of taking a thing off and putting it back, counted by kind, with the time that each kind takes.

Counts follow from the frame: screws, nuts held with a second tool, plugs, solder joints, ties. Seconds are rules of the
catalogue (topic `service`), common practice without source, with a range; a user's own records may replace them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platewright.fit.taking_apart import Bench, Outcome, Thing
from platewright.model.catalogue import Catalogue, Motor, Propeller, PropellerNut
from platewright.model.catalogue.base import Record
from platewright.model.catalogue.electronics import ActionCamera, Antenna, Board, Camera
from platewright.model.catalogue.power import Battery, Capacitor, PowerConnector
from platewright.model.design import Equipment
from platewright.model.stack import ItemKind

__all__ = ["Work", "carried_by", "loose_work", "needs_spanner", "propeller_work", "work_of"]


@dataclass(frozen=True)
class Work:
    """One kind of work: how often, and the seconds each takes with their range [s]."""

    what: str
    count: float
    seconds: float
    low: float
    high: float


def work_of(bench: Bench, thing: Thing, outcome: Outcome) -> tuple[Work, ...]:
    """Return all the work of one change, out and back."""
    design, catalogue = bench.assembly.design, bench.assembly.catalogue
    held = sum(needs_spanner(bench, k) for k in outcome.taken)
    rows = [
        *_counted(catalogue, "screw out and in", len(outcome.taken), "service.screw_s"),
        *_counted(catalogue, "nut held", held, "service.nut_s"),
    ]
    by_id = {e.id: e for e in design.equipment}
    own = by_id.get(thing.node) or by_id.get(thing.node.partition(".")[0])
    moved = dict.fromkeys([*outcome.aside, *(e.id for e in carried_by(bench, thing))])
    for name in moved:
        if name in by_id:
            rows += loose_work(bench, by_id[name])
    if own is not None:
        rows += _connections(bench, own, thing.role)
        rows += () if own.stack else loose_work(bench, own)
    lifted = len([n for n in outcome.off if "#" not in n]) + (1 if own is None or own.stack else 0)
    rows += _counted(catalogue, "part lifted out and lined up", lifted, "service.part_s")
    return tuple(_summed(rows))


def loose_work(bench: Bench, equipment: Equipment) -> Iterator[Work]:
    """Yield the work of one thing that no screw of the design holds."""
    catalogue = bench.assembly.catalogue
    records = bench.records_of(equipment.id)
    if any(isinstance(r, Propeller) for r in records):
        yield from propeller_work(bench, equipment)
    elif any(isinstance(r, Battery) for r in records) or not any(_is_wired(r) for r in records):
        yield from _counted(catalogue, "battery or strap off and on", 1, "service.battery_s")
    elif any(isinstance(r, Antenna) and r.thread for r in records):
        yield from _counted(catalogue, "threaded antenna", 1, "service.antenna_nut_s")
    else:
        yield from _counted(catalogue, "tie or tape", 1, "service.tie_s")


def propeller_work(bench: Bench, equipment: Equipment) -> Iterator[Work]:
    """Yield the work of one propeller: its nut, its screws, or a push."""
    catalogue = bench.assembly.catalogue
    records = bench.records_of(equipment.id)
    hub = next(r for r in records if isinstance(r, Propeller))
    if any(isinstance(r, PropellerNut) for r in records):
        yield from _counted(catalogue, "propeller nut", 1, "service.propeller_nut_s")
    elif "t_mount" in hub.fixings:
        count = catalogue.rule("service.propeller_screws").value
        yield from _counted(catalogue, "propeller screw", count, "service.screw_s")
    else:
        yield from _counted(catalogue, "propeller pressed on", 1, "service.propeller_press_s")


def carried_by(bench: Bench, thing: Thing) -> list[Equipment]:
    """Return the loose equipment that lies on a thing, and must go over to what replaces it."""
    instance = bench.assembly.instances.get(thing.node)
    names = {thing.node, instance.place.id if instance is not None else thing.node.partition(".")[0]}
    return [e for e in bench.assembly.design.equipment if e.fitted and not e.stack and e.on in names]


def needs_spanner(bench: Bench, k: int) -> bool:
    """Whether a screw turns in a nut that must be held."""
    fit = bench.fits[k]
    items = [fit.line.items[n] for n in (*fit.path, *([] if fit.end_index is None else [fit.end_index]))]
    return any(i.word.kind is ItemKind.NUT and i.word.style != "press" for i in items)


def _connections(bench: Bench, equipment: Equipment, role: str) -> Iterator[Work]:
    catalogue = bench.assembly.catalogue
    own = bench.records[equipment.id]
    for record in [own[role]] if role in own else own.values():
        yield from _counted(catalogue, "plug", _plugs(catalogue, record), "service.plug_s")
        yield from _counted(catalogue, "solder joint", _joints(bench, record), "service.solder_joint_s")


def _plugs(catalogue: Catalogue, record: Record) -> float:
    if isinstance(record, Board) and (record.plugs or (record.pattern and record.motor_pads and not record.plugs)):
        name = "service.flight_controller_plugs" if record.plugs else "service.other_plugs"
        return catalogue.rule(name).value
    return catalogue.rule("service.other_plugs").value if isinstance(record, Board | Camera | Antenna) else 0.0


def _joints(bench: Bench, record: Record) -> float:
    catalogue = bench.assembly.catalogue
    pair = catalogue.rule("service.lead_pair_solder_joints").value
    if isinstance(record, Motor):
        return catalogue.rule("service.motor_solder_joints").value
    if isinstance(record, Board) and record.motor_pads:
        records = [r for e in bench.records for r in bench.records_of(e)]
        boards = sum(1 for r in records if isinstance(r, Board) and r.motor_pads)
        motors = len(bench.assembly.rotors) / boards
        return catalogue.rule("service.motor_solder_joints").value * motors + (pair if record.battery_pads else 0.0)
    return pair if isinstance(record, Capacitor | PowerConnector) else 0.0


def _is_wired(record: Record) -> bool:
    return isinstance(record, Board | Camera | ActionCamera | Antenna | Capacitor | PowerConnector)


def _counted(catalogue: Catalogue, what: str, count: float, name: str) -> Iterator[Work]:
    if count:
        rule = catalogue.rule(name)
        low = rule.low if rule.low is not None else rule.value
        high = rule.high if rule.high is not None else rule.value
        yield Work(what, count, rule.value, low, high)


def _summed(rows: list[Work]) -> Iterator[Work]:
    """Yield one row for each kind of work."""
    counts: dict[str, float] = {}
    first: dict[str, Work] = {}
    for row in rows:
        counts[row.what] = counts.get(row.what, 0) + row.count
        first.setdefault(row.what, row)
    for what, count in counts.items():
        row = first[what]
        yield Work(what, count, row.seconds, row.low, row.high)
