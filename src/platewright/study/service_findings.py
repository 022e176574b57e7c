"""Service as rows and findings: for each thing a pilot changes the steps, screws, tools and minutes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from platewright.assembly.assemble import Assembly
from platewright.assembly.stance import rotors_at
from platewright.fit.service import Removal, removal
from platewright.fit.service_work import work_of
from platewright.fit.solids import Prism
from platewright.fit.taking_apart import Bench, Outcome, Thing, bench_of
from platewright.foundation.findings import Finding, Severity
from platewright.foundation.units import S_PER_MIN
from platewright.model.catalogue import Board, Motor
from platewright.study.results import ServiceRow
from platewright.study.service_steps import steps_out, tools_of

__all__ = ["ServiceKind", "service_findings", "service_kinds", "service_names", "service_rows"]


@dataclass(frozen=True)
class ServiceKind:
    """A kind of thing and its copies in the frame; `loose` if no screw of the design holds it."""

    label: str
    copies: tuple[Thing, ...]
    loose: bool = False


def service_kinds(bench: Bench) -> tuple[ServiceKind, ...]:
    """Return what a pilot changes: the plates that carry motors, then equipment in the order of the design."""
    kinds: dict[str, list[Thing]] = {}
    assembly = bench.assembly
    motors = {e for e in bench.records if any(isinstance(r, Motor) for r in bench.records_of(e))}
    carriers = {
        item.instance.name: item.instance.place.id
        for line in assembly.lines
        if line.owner in motors and line.fitted
        for item in line.items
        if item.instance is not None and not item.is_access
    }
    for name, place in carriers.items():
        kinds.setdefault(place, []).append(Thing(name))
    made = [ServiceKind(label, tuple(copies)) for label, copies in kinds.items()]
    for e in assembly.design.equipment:
        if not e.fitted:
            continue
        if not e.stack:
            made.append(ServiceKind(e.id, (Thing(e.id),), loose=True))
        elif e.at is not None:
            copies = tuple(Thing(f"{e.id}.{r.number}") for r in rotors_at(e.at, assembly.rotors))
            made.append(ServiceKind(e.id, copies))
        else:
            roles = list(e.use)
            made += [ServiceKind(f"{e.id}.{r}" if len(roles) > 1 else e.id, (Thing(e.id, r),)) for r in roles]
    return tuple(made)


def service_rows(
    assembly: Assembly,
    covered: Mapping[tuple[str, int], tuple[str, ...]],
    only: Sequence[str] = (),
    every_copy: bool = False,
    budget: int = 0,
    prisms: Mapping[str, Sequence[Prism]] | None = None,
) -> tuple[ServiceRow, ...]:
    """Return how each thing comes off and goes back.

    Parameters
    ----------
    assembly : Assembly
        The finished frame.
    covered : mapping of (str, int) to tuple of str
        What is in a driver's way to each screw; `AssemblyOrder.covered`.
    only : sequence of str
        Kinds, or any placed plates, to look at; all kinds when empty.
    every_copy : bool
        Look at every copy of a kind, one row for those that come off alike; otherwise its first stands for all.
    budget : int
        Smaller sets of screws that may be tried to prove a result [-].
    prisms : mapping, optional
        Of all bodies by name, where they are known.

    Raises
    ------
    KeyError
        If there is no such kind or plate.
    """
    bench = bench_of(assembly, covered, prisms)
    kinds = tuple(_known(bench)[name] for name in only) if only else service_kinds(bench)
    rows: list[ServiceRow] = []
    for kind in kinds:
        rows += _kind_rows(bench, kind, every_copy, budget)
    return tuple(rows)


def service_names(assembly: Assembly, covered: Mapping[tuple[str, int], tuple[str, ...]]) -> tuple[str, ...]:
    """Return what `only` of `service_rows` may name: every plate and every piece of equipment."""
    return tuple(_known(bench_of(assembly, covered)))


def service_findings(rows: Sequence[ServiceRow]) -> Iterator[Finding]:
    """Yield things that cannot be taken off at all."""
    for row in rows:
        if not row.possible:
            why = "what flies into the ground must come off again (common practice, no source)"
            text = f"cannot be taken off with all screws out that can be reached: {row.held_by} holds it."
            yield Finding("service.locked", Severity.FAIL, row.thing, text, why=why)


def _known(bench: Bench) -> dict[str, ServiceKind]:
    """Return every plate and every piece of equipment as a kind: a pilot may break any of them."""
    places: dict[str, list[Thing]] = {}
    for name, instance in bench.assembly.instances.items():
        places.setdefault(instance.place.id, []).append(Thing(name))
    plates = {place: ServiceKind(place, tuple(copies)) for place, copies in places.items()}
    return plates | {kind.label: kind for kind in service_kinds(bench)}


def _kind_rows(bench: Bench, kind: ServiceKind, every_copy: bool, budget: int) -> list[ServiceRow]:
    rows: dict[object, ServiceRow] = {}
    for thing in kind.copies if every_copy else kind.copies[:1]:
        found = _by_hand(thing) if kind.loose else removal(bench, thing, budget)
        row = _row(bench, kind.label, found)
        key = (row.screws, row.other_joints, row.set_aside, row.boards_stay, row.minutes)
        if key in rows:
            row = replace(rows[key], copies=(*rows[key].copies, thing.node))
        rows[key] = row
    if not every_copy:
        return [replace(row, copies=tuple(t.node for t in kind.copies)) for row in rows.values()]
    return list(rows.values())


def _by_hand(thing: Thing) -> Removal:
    return Removal(thing, Outcome((), (), (), (), (0.0, 0.0, 1.0)), frozenset(), True)


def _row(bench: Bench, label: str, found: Removal) -> ServiceRow:
    outcome, thing = found.outcome, found.thing
    work = work_of(bench, thing, outcome)
    boards = _boards(bench)
    loose, eased = _loosened(bench, found, boards)
    held_by = {bench.nodes[k] for way in outcome.ways for k in way} | {n for _, by in outcome.shut for n in by}
    return ServiceRow(
        label,
        (thing.node,),
        outcome.is_off,
        ", ".join(sorted(held_by)),
        len(outcome.taken),
        len(found.direct & set(outcome.taken)),
        _joints(bench, [k for k in outcome.taken if k not in found.direct]),
        outcome.aside,
        loose,
        eased,
        not boards & set(loose),
        tools_of(bench, found),
        round(sum(w.count * w.seconds for w in work) / S_PER_MIN, 1),
        round(sum(w.count * w.low for w in work) / S_PER_MIN, 1),
        round(sum(w.count * w.high for w in work) / S_PER_MIN, 1),
        tuple(f"{w.count:g} x {w.what}, {w.seconds:g} s ({w.low:g} to {w.high:g})" for w in work),
        found.proven,
        steps_out(bench, found, work),
    )


def _joints(bench: Bench, screws: Sequence[int]) -> tuple[str, ...]:
    counts: dict[str, int] = {}
    for k in screws:
        owner = bench.fits[k].line.owner
        counts[owner] = counts.get(owner, 0) + 1
    return tuple(f"{owner} x {n}" for owner, n in counts.items())


def _loosened(bench: Bench, found: Removal, boards: set[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what is no longer bolted to the boards while the thing is off, and what keeps some of its screws."""
    out = frozenset(found.outcome.taken)
    nodes = [n for n in bench.keepers if "#" not in n and n != found.thing.node]
    before, after = (_with_boards(boards, bench.pieces(taken), nodes) for taken in (frozenset[int](), out))
    loose = tuple(n for n in nodes if n in before - after or bench.keepers_of(n) <= out)
    eased = tuple(
        f"{n} {len(bench.keepers_of(n) & out)} of {len(bench.keepers_of(n))} screws"
        for n in nodes
        if n not in loose and n.partition(".")[0] in bench.records and bench.keepers_of(n) & out
    )
    return loose, eased


def _with_boards(boards: set[str], piece: Mapping[str, str], nodes: Sequence[str]) -> set[str]:
    """Return the nodes of the piece that holds most boards, or most of all where none does."""
    members: dict[str, set[str]] = {}
    for node in nodes:
        members.setdefault(piece.get(node, node), set()).add(node)
    return max(members.values(), key=lambda m: (len(m & boards), len(m)), default=set())


def _boards(bench: Bench) -> set[str]:
    return {e for e in bench.records if any(isinstance(r, Board) for r in bench.records_of(e))}
