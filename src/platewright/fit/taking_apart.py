"""A finished frame on the bench: what a set of screws, taken out, sets free.

A screw can be taken out when nothing that is bolted to the same piece closes a driver's way to it. A thing is off when
no screw holds it and a straight way out is free (`exits`). What is taped, tied or strapped on comes off by hand,
without screws, whenever it is in the way. Taking out more screws never closes a way. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Vector
from platewright.assembly.reach import body_node, held_nodes, pieces_of
from platewright.assembly.screws import Fit
from platewright.fit.exits import Exits, directions_of
from platewright.fit.interference import prisms_of
from platewright.fit.solids import Prism
from platewright.model.catalogue.base import Record

__all__ = ["Bench", "Outcome", "Screws", "Thing", "bench_of", "take_out"]

Screws = frozenset[int]
_HARDWARE = ("screw", "nut", "washer", "standoff", "spacer")


@dataclass(frozen=True)
class Thing:
    """What is to come off: an instance of a place, or a piece of equipment and one of its roles."""

    node: str
    role: str = ""


@dataclass(frozen=True)
class Bench:
    """A frame with what is asked again and again.

    Parameters
    ----------
    assembly : Assembly
        The finished frame.
    fits : tuple of Fit
        Its screws and studs; sets of screws are sets of positions in this tuple.
    holds : tuple of tuple of str
        Nodes that each of them holds.
    covered : tuple of tuple of str
        Nodes in a driver's way to each of them in the finished frame.
    loose : frozenset of str
        Equipment that no screw holds.
    keepers : mapping of str to frozenset of int
        Screws that hold a node.
    exits : Exits
        The bodies.
    kept_by : tuple of frozenset of int
        Screws that keep a prism where it is, by the prism's position.
    nodes : tuple of str
        Node of each prism.
    is_hardware : tuple of bool
        Whether it is a screw or something on its way.
    records : mapping
        Catalogue record by equipment and role.
    """

    assembly: Assembly
    fits: tuple[Fit, ...]
    holds: tuple[tuple[str, ...], ...]
    covered: tuple[tuple[str, ...], ...]
    loose: frozenset[str]
    keepers: Mapping[str, Screws]
    exits: Exits
    kept_by: tuple[Screws, ...]
    nodes: tuple[str, ...]
    is_hardware: tuple[bool, ...]
    records: Mapping[str, Mapping[str, Record]]
    _pieces: dict[frozenset[int], dict[str, str]] = field(default_factory=dict, repr=False, compare=False)

    def records_of(self, equipment: str) -> tuple[Record, ...]:
        """Return the catalogue records that a piece of equipment uses."""
        return tuple(self.records[equipment].values())

    def keepers_of(self, node: str) -> Screws:
        """Return the screws that hold a node."""
        return self.keepers.get(node, frozenset())

    def pieces(self, taken: Screws) -> dict[str, str]:
        """Return the piece of every held node while some screws are out; remembered."""
        if taken not in self._pieces:
            self._pieces[taken] = pieces_of(nodes for k, nodes in enumerate(self.holds) if k not in taken)
        return self._pieces[taken]

    def prisms_of(self, thing: Thing) -> list[int]:
        """Return the positions of a thing's solids."""
        own = [k for k, node in enumerate(self.nodes) if node == thing.node and not self.is_hardware[k]]
        return [k for k in own if thing.role and self.exits.bodies[k].name == f"{thing.node}.{thing.role}"] or own


@dataclass(frozen=True)
class Outcome:
    """What a set of screws, taken out, brings about.

    Parameters
    ----------
    order : tuple of (int or str)
        Screws that could be taken out, and other nodes that came off on the way, in order.
    aside : tuple of str
        Loose things that had to be moved away.
    shut : tuple of (int, tuple of str)
        Screws that cannot be reached, each with the nodes in its way.
    ways : tuple of tuple of int
        For each direction the prisms that hold the thing back; none once it is off.
    toward : Vector or None
        Direction in which the thing comes off; None if it does not.
    """

    order: tuple[int | str, ...]
    aside: tuple[str, ...]
    shut: tuple[tuple[int, tuple[str, ...]], ...]
    ways: tuple[tuple[int, ...], ...]
    toward: Vector | None

    @property
    def is_off(self) -> bool:
        """The thing came off."""
        return self.toward is not None

    @property
    def taken(self) -> tuple[int, ...]:
        """Screws that came out, in order."""
        return tuple(k for k in self.order if isinstance(k, int))

    @property
    def off(self) -> tuple[str, ...]:
        """Other nodes that came off on the way, in order."""
        return tuple(n for n in self.order if isinstance(n, str))


def bench_of(
    assembly: Assembly,
    covered: Mapping[tuple[str, int], tuple[str, ...]],
    prisms: Mapping[str, Sequence[Prism]] | None = None,
) -> Bench:
    """Put a frame on the bench.

    Parameters
    ----------
    assembly : Assembly
        The finished frame.
    covered : mapping of (str, int) to tuple of str
        What is in a driver's way to each screw, by line and position; `AssemblyOrder.covered`.
    prisms : mapping, optional
        Of all bodies by name, where they are known.
    """
    fits = (*assembly.screws, *assembly.studs)
    holds = tuple(held_nodes(f) for f in fits)
    keepers: dict[str, set[int]] = {}
    on_line: dict[tuple[str, int], set[int]] = {}
    for k, (fit, nodes) in enumerate(zip(fits, holds, strict=True)):
        for node in nodes:
            keepers.setdefault(node, set()).add(k)
        for position in (fit.index, *fit.path, *([] if fit.end_index is None else [fit.end_index])):
            on_line.setdefault((fit.line.name, position), set()).add(k)
    exits = Exits(assembly, prisms or prisms_of(assembly))
    frozen = {node: frozenset(v) for node, v in keepers.items()}
    nodes = tuple(_node(b) for b in exits.bodies)
    kept_by = tuple(
        frozenset(on_line.get((b.line, int(b.name.rpartition("#")[2]) - 1), ()))
        if b.role in _HARDWARE
        else frozen.get(node, frozenset())
        for b, node in zip(exits.bodies, nodes, strict=True)
    )
    return Bench(
        assembly,
        fits,
        holds,
        tuple(covered.get((f.line.name, f.index), ()) for f in fits),
        frozenset(e.id for e in assembly.design.equipment if e.fitted and not e.stack),
        frozen,
        exits,
        kept_by,
        nodes,
        tuple(b.role in _HARDWARE for b in exits.bodies),
        {
            e.id: {role: assembly.catalogue.find(i)[0] for role, i in e.use.items()}
            for e in assembly.design.equipment
            if e.fitted
        },
    )


def take_out(bench: Bench, thing: Thing, wanted: Collection[int]) -> Outcome:
    """Take screws out as far as they can be reached, and see whether a thing comes off.

    Parameters
    ----------
    bench : Bench
        The frame.
    thing : Thing
        What is to come off.
    wanted : collection of int
        The screws that may be taken out.
    """
    own = bench.keepers_of(thing.node)
    left = sorted(wanted, key=lambda k: (k in own, k))
    order: list[int | str] = []
    aside: dict[str, None] = {}
    ways: tuple[tuple[int, ...], ...] = ()
    while True:
        out, gone = frozenset(k for k in order if isinstance(k, int)), {n for n in order if isinstance(n, str)}
        piece = bench.pieces(out)
        reached = [k for k in left if not _closed(bench, k, piece, gone)]
        if reached:
            aside |= dict.fromkeys(n for k in reached for n in bench.covered[k] if n in bench.loose)
            order += reached
            left = [k for k in left if k not in reached]
            continue
        if own <= out:
            ways = tuple(_until_free(_ways(bench, bench.prisms_of(thing), thing.node, out, gone)))
            firm = tuple(tuple(k for k in way if bench.nodes[k] not in bench.loose) for way in ways)
            free = [n for n, held in enumerate(firm) if not held]
            if free:
                best = min(free, key=lambda n: len(ways[n]))
                aside |= dict.fromkeys(bench.nodes[k] for k in ways[best])
                return Outcome(tuple(order), tuple(aside), (), (), directions_of(bench.assembly, thing.node)[best])
            ways = firm
        lifted = [n for n in _come_off(bench, thing, out, gone, piece, ways, left) if n not in gone]
        order += dict.fromkeys(lifted)
        if not lifted:
            shut = tuple((k, _closed(bench, k, piece, gone)) for k in left)
            return Outcome(tuple(order), tuple(aside), shut, ways, None)


def _closed(bench: Bench, k: int, piece: Mapping[str, str], gone: Collection[str]) -> tuple[str, ...]:
    """Return what closes the way to a screw: firm, still there, and part of the piece that the screw is in."""
    covered = bench.covered[k]
    if not covered:
        return ()
    own = next(iter(bench.holds[k]), "")
    own = piece.get(own, own)
    return tuple(n for n in covered if n not in bench.loose and n not in gone and piece.get(n, n) == own)


def _ways(bench: Bench, moved: Sequence[int], name: str, out: Screws, gone: set[str]) -> Iterator[tuple[int, ...]]:
    """Yield for each direction what holds some prisms back."""

    def present(k: int) -> bool:
        if bench.is_hardware[k]:  # it goes with its screws, or with all that they hold
            return any(f not in out and not gone.issuperset(bench.holds[f]) for f in bench.kept_by[k])
        return bench.nodes[k] not in gone

    for toward in directions_of(bench.assembly, name):
        yield bench.exits.in_the_way(moved, toward, present)


def _until_free(ways: Iterator[tuple[int, ...]]) -> Iterator[tuple[int, ...]]:
    """Yield ways out up to the first that nothing closes."""
    for way in ways:
        yield way
        if not way:
            return


def _come_off(
    bench: Bench,
    thing: Thing,
    out: Screws,
    gone: set[str],
    piece: Mapping[str, str],
    ways: Sequence[Sequence[int]],
    left: Sequence[int],
) -> Iterator[str]:
    """Yield nodes that hold the thing or a screw back and can be lifted away, with all that is bolted to them alone."""
    asked = {bench.nodes[k] for way in ways for k in way if not bench.is_hardware[k] or bench.nodes[k] in piece}
    asked |= {n for k in left for n in bench.covered[k]}
    members: dict[str, set[str]] = {}
    for node, root in piece.items():
        members.setdefault(root, set()).add(node)
    largest = max(members, key=lambda m: (len(members[m]), m), default="")
    for root in sorted({piece.get(n, n) for n in asked - bench.loose - set(gone)}):
        group = members.get(root, {root})
        if root == largest or thing.node in group:
            continue
        prisms = [k for k, n in enumerate(bench.nodes) if n in group]
        name = next(iter(group)) if len(group) == 1 else ""
        for way in _ways(bench, prisms, name, out, gone):
            if all(bench.nodes[k] in bench.loose for k in way):
                yield from sorted(group)
                break


def _node(body: Body) -> str:
    if body.role == "plate":
        return body.name
    if body.role in _HARDWARE:
        name, _, number = body.name.rpartition("#")
        return f"{name}#{int(number) - 1}" if body.line else ""
    return body_node(body)
