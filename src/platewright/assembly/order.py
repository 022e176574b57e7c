"""Order of assembly, found by taking the frame apart.

From the finished frame, joints (all screws at one position of one column or piece of equipment) are removed one
after another, the highest first among those whose every screw a driver can reach; what no screw holds any more
comes off with them. Read backwards this is an order in which every screw can be driven. Only what is still bolted
to the same piece can stand in the way, so motors screwed to a pad that is still loose are found. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from platewright.assembly.assemble import Assembly
from platewright.assembly.reach import SOFT_ROLES, Joint, body_node, held_nodes, joints_of, met_by_drivers, pieces_of
from platewright.assembly.screws import ScrewFit, StudFit

__all__ = ["AssemblyOrder", "Blocked", "Step", "assembly_order"]


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


def assembly_order(assembly: Assembly) -> AssemblyOrder:
    """Order in which a frame goes together.

    Parameters
    ----------
    assembly : Assembly
        The finished frame.
    """
    joints = joints_of(assembly)
    met = met_by_drivers(assembly)
    loose = [e.id for e in assembly.design.equipment if e.fitted and not e.stack]
    present = {n for j in joints for n in j.nodes} | set(assembly.instances)
    present |= {body_node(b) for b in assembly.bodies if b.role not in SOFT_ROLES and b.owner not in loose}
    remaining = list(joints)
    taken: list[tuple[Joint, tuple[str, ...]]] = []
    blocked: list[Blocked] = []
    while remaining:
        piece = pieces_of(nodes for joint in remaining for nodes in joint.holds)
        ways = [_in_the_way(j, met, present, piece) for j in remaining]
        best = max(range(len(remaining)), key=lambda k: (-len(ways[k]), remaining[k].height, -k))
        blocked += ways[best]
        joint = remaining.pop(best)
        still = {n for j in remaining for n in j.nodes}
        gone = tuple(n for n in dict.fromkeys(joint.nodes) if n in present and n not in still)
        present -= set(gone)
        taken.append((joint, gone))
    return AssemblyOrder(_steps(assembly, taken[::-1], loose), tuple(blocked), {k: v for k, v in met.items() if v})


def _steps(
    assembly: Assembly, built: Sequence[tuple[Joint, tuple[str, ...]]], loose: Sequence[str]
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
    turning = {b.owner for b in assembly.bodies if b.role == "propeller"}  # propellers go on last
    for name in sorted(loose, key=lambda n: (n in turning, on[n] in loose, loose.index(n))):
        steps.append(Step(len(steps) + 1, "", (), (name,), ()))
    return tuple(steps)


def _driven(joint: Joint) -> tuple[tuple[ScrewFit, ...], tuple[StudFit, ...]]:
    screws = tuple(f for f in joint.fits if isinstance(f, ScrewFit))
    return screws, tuple(f for f in joint.fits if isinstance(f, StudFit))


def _in_the_way(
    joint: Joint, met: Mapping[tuple[str, int], tuple[str, ...]], present: set[str], piece: Mapping[str, str]
) -> list[Blocked]:
    found = []
    for screw in (f for f in joint.fits if isinstance(f, ScrewFit)):
        own = piece.get(next(iter(held_nodes(screw)), ""), "")
        by = tuple(n for n in met[screw.line.name, screw.index] if n in present and piece.get(n, n) == own)
        if by:
            found.append(Blocked(screw, by))
    return found
