"""Bodies of what is soft: straps round their packs, motor leads along their arms, runs of wire.

They are measured against the blades, as tied: a lead lies where `leads` and `wires` lead it, a flat ribbon of wires
side by side; every straight piece goes on by half its width at both ends, so that corners are closed. Soft bodies are
no part of an assembly: they touch what they lie on. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Box, Frame3, Solid, Vector, cross
from platewright.fit.battery import Pack
from platewright.fit.leads import Lead
from platewright.fit.solids import Prism, prisms_of_body
from platewright.fit.straps import strap_body, strap_paths
from platewright.fit.things import fitted
from platewright.fit.wires import Run
from platewright.model.catalogue import Catalogue
from platewright.model.catalogue.power import PowerConnector

__all__ = ["NO_SOFT_BODIES", "SoftBodies", "soft_bodies", "wire_diameter"]

_INCH = 25.4
_WIRES = {"power": 2, "video": 3, "signal": 4, "coax": 1}  # side by side in a run of each kind
_SIGNAL_AWG = 28  # of wires that carry no power (common practice, no source)
_PLUG_AWG = 14  # of a battery's leads where nothing else is known (common practice, no source)


@dataclass(frozen=True)
class SoftBodies:
    """Soft bodies and the prisms of each by its name; a lead's prisms are its straight pieces."""

    bodies: tuple[Body, ...]
    prisms: Mapping[str, tuple[Prism, ...]]


NO_SOFT_BODIES = SoftBodies((), {})


def soft_bodies(assembly: Assembly, packs: Sequence[Pack], leads: Sequence[Lead], runs: Sequence[Run]) -> SoftBodies:
    """Return the bodies of all straps, motor leads and runs of wire.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    packs : sequence of Pack
        Its batteries: a strap without a pack hangs loose and has no body.
    leads : sequence of Lead
        Of its motors.
    runs : sequence of Run
        All other wires.
    """
    bodies, prisms = [], {}
    for path in (path for pack in packs for path in strap_paths(assembly, pack)):
        body = strap_body(path)
        if body.name not in prisms:  # a long pack may lie in a strap together with its neighbour
            bodies.append(body)
            prisms[body.name] = prisms_of_body(body)
    ribbons = [*_lead_bodies(assembly, leads), *_run_bodies(assembly, runs)]
    for pieces in ribbons:
        bodies.append(pieces[0])
        prisms[pieces[0].name] = tuple(prism for piece in pieces for prism in prisms_of_body(piece))
    return SoftBodies(tuple(bodies), prisms)


def wire_diameter(catalogue: Catalogue, awg: float) -> float:
    """Return the diameter of a wire with its insulation [mm].

    Parameters
    ----------
    catalogue : Catalogue
        With the rules `wire.outer_over_conductor` and `wire.outer_d_min_mm`.
    awg : float
        Wire size.

    Notes
    -----
    A solid conductor of size n is 0.005 in x 92^((36 - n) / 39) thick (ASTM B258, from memory).
    """
    conductor = 0.005 * _INCH * math.pow(92, (36 - awg) / 39)
    times, least = (catalogue.rule(f"wire.{name}").value for name in ("outer_over_conductor", "outer_d_min_mm"))
    return max(times * conductor, least)


def _lead_bodies(assembly: Assembly, leads: Sequence[Lead]) -> Iterator[list[Body]]:
    """Yield the straight pieces of each motor's three leads, side by side on the face that the motor stands on."""
    up = {body.name: body.frame.n[2] for body in assembly.bodies if body.role == "motor"}
    for lead in leads:
        d = wire_diameter(assembly.catalogue, lead.awg)
        name = f"{lead.motor} to {lead.board}"
        lift = math.copysign(d / 2, up[lead.motor])
        yield _ribbon(name, "motor leads", lead.motor.partition(".")[0], lead.path, 3 * d, d, lift)


def _run_bodies(assembly: Assembly, runs: Sequence[Run]) -> Iterator[list[Body]]:
    """Yield the straight pieces of each run of wire."""
    plugs = [thing.record.lead_awg_range[0] for thing in fitted(assembly, PowerConnector)]
    for run in runs:
        awg = min(plugs, default=_PLUG_AWG) if run.kind == "power" else _SIGNAL_AWG
        d = wire_diameter(assembly.catalogue, awg)
        name = f"{run.start} to {run.end}"
        yield _ribbon(name, f"{run.kind} leads", run.start.partition(".")[0], run.path, _WIRES[run.kind] * d, d, 0.0)


def _ribbon(
    name: str, key: str, owner: str, path: Sequence[Vector], width: float, height: float, lift: float
) -> list[Body]:
    """Return a box for each straight piece of a path, its width level; `lift` raises it off its face [mm]."""
    made = []
    for a, b in pairwise(path):
        size = math.dist(a, b)
        if size < 1e-6:
            continue
        n = ((b[0] - a[0]) / size, (b[1] - a[1]) / size, (b[2] - a[2]) / size)
        level = math.hypot(n[0], n[1])
        v = (-n[1] / level, n[0] / level, 0.0) if abs(n[2]) < 0.999 else (0.0, 1.0, 0.0)
        x, y, z = a
        frame = Frame3((x, y, z + lift), cross(v, n), v)
        solid = Solid(Box(height, width, size + width), -width / 2)
        made.append(Body(name, "lead", key, frame, (solid,), owner))
    return made
