"""The steps of a removal, and the tools they take: what is set aside, undone and taken out, in order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from platewright.assembly.bodies import Vector
from platewright.assembly.screws import Fit, ScrewFit
from platewright.fit.service import Removal
from platewright.fit.service_work import Work, carried_by
from platewright.fit.taking_apart import Bench
from platewright.model.catalogue import Antenna, PropellerNut, Screw
from platewright.model.stack import ItemKind
from platewright.study.results import ServiceStep

__all__ = ["steps_out", "tools_of"]

_WORDS: Mapping[Vector, str] = {
    (1.0, 0.0, 0.0): "forwards",
    (-1.0, 0.0, 0.0): "backwards",
    (0.0, 1.0, 0.0): "to the left",
    (0.0, -1.0, 0.0): "to the right",
    (0.0, 0.0, 1.0): "upwards",
    (0.0, 0.0, -1.0): "downwards",
}


def steps_out(bench: Bench, found: Removal, work: Sequence[Work]) -> tuple[ServiceStep, ...]:
    """Return the steps out; the way back is the same steps from the last to the first."""
    made: list[ServiceStep] = []

    def step(action: str, what: str, screws: tuple[str, ...] = (), bodies: tuple[str, ...] = ()) -> None:
        made.append(ServiceStep(len(made) + 1, action, what, screws, bodies))

    thing, outcome = found.thing, found.outcome
    for name in dict.fromkeys([*outcome.aside, *(e.id for e in carried_by(bench, thing))]):
        step("set aside", name, (), _bodies(bench, name, thing.node))
    undone = [f"{w.count:g} {w.what}{'s' if w.count > 1 else ''}" for w in work if w.what in ("plug", "solder joint")]
    if undone:
        step("disconnect", " and ".join(undone), (), (thing.node,))
    said: set[str] = set(outcome.aside)
    for group in _groups(bench, outcome.order):
        if isinstance(group, str):
            if "#" not in group:
                said.add(group)
                step("lift off", group, (), (group,))
            continue
        freed = dict.fromkeys(n for k in group for n in bench.covered[k] if n not in said)
        for name in freed:
            said.add(name)
            step("move away", name, (), (name,))
        owner = bench.fits[group[0]].line.owner
        step("undo", owner, _screws(bench, group), tuple(_body(bench.fits[k]) for k in group))
    if outcome.toward is not None:
        name = f"{thing.node}.{thing.role}" if thing.role else thing.node
        way = "" if not outcome.taken else _WORDS.get(outcome.toward, "outwards")
        step("take out" if outcome.taken else "take off", f"{name} {way}".rstrip(), (), (name,))
    return tuple(made)


def tools_of(bench: Bench, found: Removal) -> tuple[str, ...]:
    """Return the keys and spanners that a removal takes."""
    tools = {t for k in found.outcome.taken for t in _tools_for(bench.fits[k])}
    touched = {found.thing.node, found.thing.node.partition(".")[0], *found.outcome.aside}
    for e in bench.assembly.design.equipment:
        if e.fitted and not e.stack and (e.id in touched or e.on in touched):
            for record in bench.records_of(e.id):
                if isinstance(record, PropellerNut | Antenna) and record.across_flats_mm is not None:
                    tools.add(f"spanner {record.across_flats_mm:g}")
                elif isinstance(record, Screw):
                    tools.add(f"hex key {record.drive_size_mm:g}")
    return tuple(sorted(tools))


def _bodies(bench: Bench, name: str, node: str) -> tuple[str, ...]:
    """Return the bodies of a loose thing; of one at every rotor only those of the thing's own rotor."""
    own = next(e for e in bench.assembly.design.equipment if e.id == name)
    rotor = node.rpartition(".")[2]
    if own.at is None or not rotor.isdigit():
        return (name,)
    return tuple(f"{name}.{role}.{rotor}" for role in own.use)


def _tools_for(fit: Fit) -> Iterator[str]:
    if isinstance(fit, ScrewFit):
        yield f"hex key {fit.screw.drive_size_mm:g}"
    for n in (*fit.path, *([] if fit.end_index is None else [fit.end_index])):
        item = fit.line.items[n]
        size = getattr(item.record, "across_flats_max_mm", None)
        if item.word.kind is ItemKind.NUT and item.word.style != "press" and size is not None:
            yield f"spanner {size:g}"


def _groups(bench: Bench, order: Sequence[int | str]) -> Iterator[list[int] | str]:
    """Yield screws of one owner together, and what comes off between them."""
    group: list[int] = []
    for entry in order:
        same = isinstance(entry, int) and group and bench.fits[entry].line.owner == bench.fits[group[0]].line.owner
        if group and not same:
            yield group
            group = []
        if isinstance(entry, int):
            group.append(entry)
        else:
            yield entry
    if group:
        yield group


def _screws(bench: Bench, group: Sequence[int]) -> tuple[str, ...]:
    counts: dict[str, int] = {}
    for k in group:
        fit = bench.fits[k]
        name = f"{fit.word.size}x{fit.length:g} {fit.word.style}" if isinstance(fit, ScrewFit) else fit.word.text
        counts[name] = counts.get(name, 0) + 1
    return tuple(f"{n} x {name}" for name, n in counts.items())


def _body(fit: Fit) -> str:
    return f"{fit.line.name}#{fit.index + 1}"
