"""What holds what, and what stands in a driver's way: shared by the order of assembly and by service.

A *joint* is all screws, or studs, at one position of one column or piece of equipment. A *node* is what a screw can
hold: an instance of a place, a piece of equipment (one of each motor), or a standoff. Nodes that screws join are one
*piece*. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Box, Cylinder
from platewright.assembly.instances import Instance
from platewright.assembly.screws import Fit, ScrewFit, StudFit
from platewright.assembly.standing import standing_faces, top_height
from platewright.model.stack import ItemKind

__all__ = [
    "SOFT_ROLES",
    "Joint",
    "body_node",
    "driver_radius",
    "held_nodes",
    "joints_of",
    "met_by_drivers",
    "pieces_of",
]

SOFT_ROLES = ("propeller", "nut", "screw", "washer", "standoff", "spacer", "plate")  # never in a driver's way as bodies
_DRIVER_PLAY = 0.2  # room round a hex key [mm] (common practice, no source)


@dataclass(frozen=True)
class Joint:
    """All screws, or studs, at one position of one column or piece of equipment.

    Parameters
    ----------
    owner : str
        The column or piece of equipment.
    fits : tuple of Fit
        The screws or studs.
    holds : tuple of tuple of str
        Nodes that each of them holds.
    height : float
        Of the highest head [mm].
    """

    owner: str
    fits: tuple[Fit, ...]
    holds: tuple[tuple[str, ...], ...]
    height: float

    @property
    def nodes(self) -> tuple[str, ...]:
        """Everything its screws hold, once per screw."""
        return tuple(node for nodes in self.holds for node in nodes)


def driver_radius(drive_size: float) -> float:
    """Radius of the room a hex key needs [mm]: its corners and a little play.

    Examples
    --------
    >>> round(driver_radius(2.5), 2)
    1.64
    """
    return drive_size / math.sqrt(3) + _DRIVER_PLAY


def joints_of(assembly: Assembly) -> list[Joint]:
    """Return the joints of a frame: the screws and studs of each owner, by their position in its stack."""
    groups: dict[tuple[str, int], list[Fit]] = {}
    for fit in (*assembly.screws, *assembly.studs):
        groups.setdefault((fit.line.owner, fit.index), []).append(fit)
    return [
        Joint(owner, tuple(fits), tuple(held_nodes(f) for f in fits), max(_height(assembly, f) for f in fits))
        for (owner, _), fits in groups.items()
    ]


def held_nodes(fit: Fit) -> tuple[str, ...]:
    """Return what a screw or stud holds: plates and equipment on its way, the standoff it ends in, a stud's own."""
    nodes = [f"{fit.line.name}#{fit.index}"] if isinstance(fit, StudFit) else []
    ends = [] if fit.end_index is None else [fit.end_index]
    for k in (*fit.path, *ends):
        item = fit.line.items[k]
        if item.instance is not None:
            nodes.append(item.instance.name)
        elif item.word.kind is ItemKind.STANDOFF:
            nodes.append(f"{fit.line.name}#{k}")
        elif item.word.kind is ItemKind.THING:
            nodes.append(fit.line.owner if fit.line.rotor is None else f"{fit.line.owner}.{fit.line.rotor}")
    return tuple(nodes)


def pieces_of(holds: Iterable[Sequence[str]]) -> dict[str, str]:
    """Return for every node the piece it is bolted into, from what each screw holds.

    Examples
    --------
    >>> piece = pieces_of([("base", "arm.1"), ("arm.1", "motor.1"), ("arm.2", "motor.2")])
    >>> piece["motor.1"] == piece["base"], piece["motor.2"] == piece["base"]
    (True, False)
    """
    root: dict[str, str] = {}

    def find(node: str) -> str:
        top = root.setdefault(node, node)
        while root[top] != top:
            top = root[top]
        root[node] = top
        return top

    for nodes in dict.fromkeys(tuple(nodes) for nodes in holds):
        for node in nodes[1:]:
            root[find(node)] = find(nodes[0])
        if nodes:
            find(nodes[0])
    return {node: find(node) for node in list(root)}


def met_by_drivers(assembly: Assembly) -> dict[tuple[str, int], tuple[str, ...]]:
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


def body_node(body: Body) -> str:
    """Return the node that a body belongs to: each motor is one, other equipment is one together."""
    return body.name if body.role == "motor" else body.owner


@dataclass(frozen=True)
class _Obstacle:
    """Something a driver cannot pass: its node, and whether it meets a driver's path."""

    node: str
    meets: Callable[[ScrewFit, float], bool]


def _height(assembly: Assembly, screw: Fit) -> float:
    """Return how high a screw is reached from: its head, higher for one that looks up."""
    line = screw.line
    if line.axis != "z":
        return top_height(line.foot, assembly.instances, assembly.levels, (line.a, 0.0)) + line.b
    return _head(assembly, screw)


def _obstacles(assembly: Assembly) -> list[_Obstacle]:
    made = []
    for instance in assembly.instances.values():
        meets = _flat(assembly, instance.name) if instance.normal == "z" else _upright(assembly, instance.name)
        made.append(_Obstacle(instance.name, meets))
    bulky = [b for b in assembly.bodies if b.role not in (*SOFT_ROLES, "antenna")]
    made += [_Obstacle(body_node(b), _bulky(b, lambda screw: _head(assembly, screw))) for b in bulky]
    return made


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
        bottom = assembly.levels.built[name].at(screw.line.a, screw.line.b).nominal
        beyond = (_head(assembly, screw) - bottom - instance.part.thickness_mm / 2) * screw.direction > 0
        if not beyond or _passes(screw, instance):
            return False
        return closed(*instance.in_part(screw.line.a, screw.line.b), radius)

    return meets


def _passes(screw: ScrewFit, instance: Instance) -> bool:
    """Return whether a screw goes through an instance, wherever its bowed plane lies."""
    return any(screw.line.items[k].instance is instance for k in screw.path)


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
        if line.axis != instance.normal or _passes(screw, instance):
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
