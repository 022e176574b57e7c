"""Order of assembly, found by taking the frame apart.

From the finished frame, joints (all screws at one position of one column or piece of equipment) are removed one
after another, the highest first among those whose every screw a driver can reach; what no screw holds any more
comes off with them. Read backwards this is an order in which every screw can be driven. Only what is still bolted
to the same piece can stand in the way, so motors screwed to a pad that is still loose are found. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Box, Cylinder
from platewright.assembly.screws import Fit, ScrewFit, StudFit
from platewright.assembly.sketches import standing_faces, top_height
from platewright.model.stack import ItemKind

__all__ = ["AssemblyOrder", "Blocked", "Step", "assembly_order", "driver_radius"]

_DRIVER_PLAY = 0.2  # room round a hex key [mm] (common practice, no source)


@dataclass(frozen=True)
class Step:
    """One step of the assembly.

    Parameters
    ----------
    number : int
        From 1.
    owner : str
        Column or piece of equipment whose screws are driven; empty for what is only laid in.
    places : tuple of str
        Instances that come on.
    equipment : tuple of str
        Pieces of equipment that come on.
    screws : tuple of ScrewFit
        Screws driven.
    studs : tuple of StudFit
        Studded standoffs screwed in by hand.
    """

    number: int
    owner: str
    places: tuple[str, ...]
    equipment: tuple[str, ...]
    screws: tuple[ScrewFit, ...]
    studs: tuple[StudFit, ...] = ()


@dataclass(frozen=True)
class Blocked:
    """A screw that no driver reaches at its step, and what stands in the way."""

    screw: ScrewFit
    by: tuple[str, ...]


@dataclass(frozen=True)
class AssemblyOrder:
    """Steps in the order of building, screws that cannot be driven, and what covers each screw when all is built."""

    steps: tuple[Step, ...]
    blocked: tuple[Blocked, ...]
    covered: Mapping[tuple[str, int], tuple[str, ...]] = field(default_factory=dict)


def driver_radius(drive_size: float) -> float:
    """Radius of the room a hex key needs [mm]: its corners and a little play.

    Examples
    --------
    >>> round(driver_radius(2.5), 2)
    1.64
    """
    return drive_size / math.sqrt(3) + _DRIVER_PLAY


def assembly_order(assembly: Assembly) -> AssemblyOrder:
    """Order in which a frame goes together.

    Parameters
    ----------
    assembly : Assembly
        The finished frame.
    """
    joints = _joints(assembly)
    met = _met(assembly)
    loose = [e.id for e in assembly.design.equipment if e.fitted and not e.stack]
    present = {n for j in joints for n in j.nodes} | set(assembly.instances)
    present |= {_body_node(b) for b in assembly.bodies if b.role not in _SOFT and b.owner not in loose}
    remaining = list(joints)
    taken: list[tuple[_Joint, tuple[str, ...]]] = []
    blocked: list[Blocked] = []
    while remaining:
        piece = _pieces(remaining)
        ways = [_in_the_way(j, met, present, piece) for j in remaining]
        best = max(range(len(remaining)), key=lambda k: (-len(ways[k]), remaining[k].height, -k))
        blocked += ways[best]
        joint = remaining.pop(best)
        still = {n for j in remaining for n in j.nodes}
        gone = tuple(n for n in dict.fromkeys(joint.nodes) if n in present and n not in still)
        present -= set(gone)
        taken.append((joint, gone))
    return AssemblyOrder(_steps(assembly, taken[::-1], loose), tuple(blocked), {k: v for k, v in met.items() if v})


_SOFT = ("propeller", "nut", "screw", "washer", "standoff", "spacer", "plate")


@dataclass(frozen=True)
class _Joint:
    """All screws, or studs, at one position of one column or piece of equipment, and everything they hold."""

    owner: str
    fits: tuple[Fit, ...]
    nodes: tuple[str, ...]
    height: float


@dataclass(frozen=True)
class _Obstacle:
    """Something a driver cannot pass: its node, and whether it meets a driver's path."""

    node: str
    meets: Callable[[ScrewFit, float], bool]


def _joints(assembly: Assembly) -> list[_Joint]:
    groups: dict[tuple[str, int], list[Fit]] = {}
    for fit in (*assembly.screws, *assembly.studs):
        groups.setdefault((fit.line.owner, fit.index), []).append(fit)
    return [
        _Joint(owner, tuple(fits), tuple(n for f in fits for n in _nodes(f)), max(_height(assembly, f) for f in fits))
        for (owner, _), fits in groups.items()
    ]


def _nodes(screw: Fit) -> list[str]:
    """Return what it holds: plates and equipment on its way, the standoff it ends in, and a stud's own."""
    nodes = [f"{screw.line.name}#{screw.index}"] if isinstance(screw, StudFit) else []
    ends = [] if screw.end_index is None else [screw.end_index]
    for k in (*screw.path, *ends):
        item = screw.line.items[k]
        if item.instance is not None:
            nodes.append(item.instance.name)
        elif item.word.kind is ItemKind.STANDOFF:
            nodes.append(f"{screw.line.name}#{k}")
        elif item.word.kind is ItemKind.THING:
            nodes.append(screw.line.owner if screw.line.rotor is None else f"{screw.line.owner}.{screw.line.rotor}")
    return nodes


def _steps(
    assembly: Assembly, built: Sequence[tuple[_Joint, tuple[str, ...]]], loose: Sequence[str]
) -> tuple[Step, ...]:
    """Return numbered steps; standing plates held by tabs alone come with the first plate they enter."""
    placed = {n for _, gone in built for n in gone}
    tabbed = {j.standing.name: j.plate.name for j in assembly.tabs if j.standing.name not in placed}
    known = {e.id for e in assembly.design.equipment}
    steps: list[Step] = []
    for joint, gone in built:
        extra = tuple(s for s, p in tabbed.items() if p in gone)
        places = (*(n for n in gone if n in assembly.instances), *extra)
        equipment = tuple(dict.fromkeys(e for n in gone if (e := n.partition(".")[0]) in known))
        steps.append(Step(len(steps) + 1, joint.owner, places, equipment, *_driven(joint)))
    on = {e.id: e.on for e in assembly.design.equipment}
    for name in sorted(loose, key=lambda n: (on[n] in loose, loose.index(n))):
        steps.append(Step(len(steps) + 1, "", (), (name,), ()))
    return tuple(steps)


def _driven(joint: _Joint) -> tuple[tuple[ScrewFit, ...], tuple[StudFit, ...]]:
    screws = tuple(f for f in joint.fits if isinstance(f, ScrewFit))
    return screws, tuple(f for f in joint.fits if isinstance(f, StudFit))


def _height(assembly: Assembly, screw: Fit) -> float:
    """Return how high a screw is reached from: its head, higher for one that looks up."""
    line = screw.line
    if line.axis != "z":
        return top_height(line.foot, assembly.instances, assembly.levels, (line.a, 0.0)) + line.b
    return _head(assembly, screw)


def _pieces(joints: Sequence[_Joint]) -> dict[str, str]:
    """Return for every node the piece it is bolted into, over the joints that are left."""
    root: dict[str, str] = {}

    def find(node: str) -> str:
        while root.setdefault(node, node) != node:
            node = root[node]
        return node

    for joint in joints:
        for fit in joint.fits:
            nodes = _nodes(fit)
            for node in nodes[1:]:
                root[find(node)] = find(nodes[0])
    return {node: find(node) for node in list(root)}


def _in_the_way(
    joint: _Joint, met: Mapping[tuple[str, int], tuple[str, ...]], present: set[str], piece: Mapping[str, str]
) -> list[Blocked]:
    found = []
    for screw in (f for f in joint.fits if isinstance(f, ScrewFit)):
        own = piece.get(next(iter(_nodes(screw)), ""), "")
        by = tuple(n for n in met[screw.line.name, screw.index] if n in present and piece.get(n, n) == own)
        if by:
            found.append(Blocked(screw, by))
    return found


def _met(assembly: Assembly) -> dict[tuple[str, int], tuple[str, ...]]:
    """Return everything in a driver's way to each screw when all is built."""
    obstacles = _obstacles(assembly)
    found = {}
    for screw in assembly.screws:
        radius = driver_radius(screw.screw.drive_size_mm)
        own = {f"{screw.line.owner}.{screw.line.rotor}", screw.line.owner}
        found[screw.line.name, screw.index] = tuple(
            o.node for o in obstacles if o.node not in own and o.meets(screw, radius)
        )
    return found


def _obstacles(assembly: Assembly) -> list[_Obstacle]:
    made = []
    for instance in assembly.instances.values():
        meets = _flat(assembly, instance.name) if instance.normal == "z" else _upright(assembly, instance.name)
        made.append(_Obstacle(instance.name, meets))
    bulky = [b for b in assembly.bodies if b.role not in (*_SOFT, "antenna")]
    made += [_Obstacle(_body_node(b), _bulky(b, lambda screw: _head(assembly, screw))) for b in bulky]
    return made


def _body_node(body: Body) -> str:
    return body.name if body.role == "motor" else body.owner


def _head(assembly: Assembly, screw: Fit) -> float:
    span = assembly.levels.spans[screw.line.name][screw.index]
    return span.start.nominal if span is not None else 0.0


def _flat(assembly: Assembly, name: str) -> Callable[[ScrewFit, float], bool]:
    """Return whether a horizontal plate closes the way to the head of an upright screw."""
    instance = assembly.instances[name]
    closed = assembly.parts[instance.part.id].probe.closed_to

    def meets(screw: ScrewFit, radius: float) -> bool:
        if screw.line.axis != "z":
            return False
        bottom = assembly.levels.level[name].at(screw.line.a, screw.line.b).nominal
        beyond = (_head(assembly, screw) - bottom - instance.part.thickness_mm / 2) * screw.direction > 0
        if not beyond or any(i.instance is instance and not i.is_access for i in screw.line.items):
            return False
        return closed(*instance.in_part(screw.line.a, screw.line.b), radius)

    return meets


def _upright(assembly: Assembly, name: str) -> Callable[[ScrewFit, float], bool]:
    """Return whether a plate on edge stands over (or under) an upright screw, or beside a sideways one."""
    instance = assembly.instances[name]
    probe = assembly.parts[instance.part.id].probe
    closed = probe.closed_to
    near, far = standing_faces(instance, assembly.levels)
    x0, y0, x1, y1 = probe.box
    corners = [instance.to_plane.apply(x, y) for x in (x0, x1) for y in (y0, y1)]
    low, high = min(c[0] for c in corners), max(c[0] for c in corners)
    foot = top_height(instance.place.foot, assembly.instances, assembly.levels, (0.0, 0.0))
    z0, z1 = foot + min(c[1] for c in corners), foot + max(c[1] for c in corners)

    def meets(screw: ScrewFit, radius: float) -> bool:
        line = screw.line
        if line.axis == "z":
            along, across = (line.a, line.b) if instance.normal == "y" else (line.b, line.a)
            over = near - radius < across < far + radius and low - radius < along < high + radius
            beyond = ((z0 + z1) / 2 - _head(assembly, screw)) * screw.direction < 0
            return over and beyond
        if line.axis != instance.normal or any(i.instance is instance for i in line.items):
            return False
        if ((near + far) / 2 - _head(assembly, screw)) * screw.direction > 0:
            return False
        own_foot = top_height(line.foot, assembly.instances, assembly.levels, (line.a, 0.0))
        return closed(*instance.in_part(line.a, own_foot + line.b - foot), radius)

    return meets


def _bulky(body: Body, head: Callable[[ScrewFit], float]) -> Callable[[ScrewFit, float], bool]:
    """Return whether an upright box or cylinder of equipment covers the head of an upright screw."""
    solid = body.solids[0]
    up = body.frame.n[2]
    base = body.frame.origin[2] + up * solid.offset
    z0, z1 = sorted((base, base + up * solid.shape.height))

    def meets(screw: ScrewFit, radius: float) -> bool:
        if screw.line.axis != "z" or abs(up) < 0.999 or not isinstance(solid.shape, Box | Cylinder):
            return False
        if ((z0 + z1) / 2 - head(screw)) * screw.direction > 0:
            return False
        dx, dy = screw.line.a - body.frame.origin[0], screw.line.b - body.frame.origin[1]
        if isinstance(solid.shape, Cylinder):
            return math.hypot(dx, dy) < solid.shape.radius + radius
        u, v = body.frame.u, body.frame.v
        a, b = dx * u[0] + dy * u[1], dx * v[0] + dy * v[1]
        return abs(a) < solid.shape.length / 2 + radius and abs(b) < solid.shape.width / 2 + radius

    return meets
