"""How long each motor's leads must be: along the arm to its root, and on to the nearest pads of the board.

Pads are where the catalogue's words put them: two motors on each of two opposite long sides, or one at each corner.
Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Box, Cylinder, Vector
from platewright.model.catalogue.electronics import Board
from platewright.model.catalogue.power import Motor

__all__ = ["Lead", "motor_leads", "pads_of"]


@dataclass(frozen=True)
class Lead:
    """The leads of one motor.

    Parameters
    ----------
    motor, board : str
        Bodies at both ends.
    path : tuple of (float, float, float)
        From the motor's base along the arm to the pads [mm].
    length : float
        Along the path, with slack by the rule `wire.slack_mm` [mm].
    awg : int
        Wire size of the motor's class.
    """

    motor: str
    board: str
    path: tuple[Vector, ...]
    length: float
    awg: int


def motor_leads(assembly: Assembly) -> list[Lead]:
    """Return the leads of every motor; none where no board has pads for motors.

    Each group of pads serves one motor, or as many as there are more motors than pads: the nearest are joined first,
    then swapped while that shortens all leads together.
    """
    motors = [(body, motor) for body in assembly.bodies if (motor := _motor(assembly, body)) is not None]
    pads = [(name, pad) for name, pads in _boards(assembly) for pad in pads]
    if not motors or not pads:
        return []
    pads *= math.ceil(len(motors) / len(pads))
    roots = [_root(assembly, body) for body, _ in motors]
    far = [
        [math.dist(root or body.frame.origin, pad) for _, pad in pads]
        for root, (body, _) in zip(roots, motors, strict=True)
    ]
    slack = assembly.catalogue.rule("wire.slack_mm").value
    made = []
    for n, k in enumerate(_shared_out(far)):
        (body, motor), (board, pad), root = motors[n], pads[k], roots[n]
        path = (_base(body, root or pad), *([] if root is None else [root]), pad)
        length = sum(math.dist(a, b) for a, b in pairwise(path)) + slack
        made.append(Lead(body.name, board, path, length, motor.lead_awg))
    return made


def pads_of(body: Body, record: Board) -> tuple[Vector, ...]:
    """Return the middles of a board's groups of motor pads, on its upper face [mm].

    Parameters
    ----------
    body : Body
        The board in place; its first solid is the bare board.
    record : Board
        Its record, with `motor_pads` in words.
    """
    bare = body.solids[0].shape
    if not isinstance(bare, Box):
        return ()
    a, b = bare.length / 2, bare.width / 2
    if "corner" not in record.motor_pads:  # on the long sides, a quarter of the length from each end
        a, b = (a / 2, b) if bare.length >= bare.width else (a, b / 2)
    return tuple(body.frame.point(sx * a, sy * b, bare.height) for sx in (1, -1) for sy in (1, -1))


def _boards(assembly: Assembly) -> list[tuple[str, tuple[Vector, ...]]]:
    found = []
    for equipment in assembly.design.equipment:
        for role, record_id in equipment.use.items():
            record = assembly.catalogue.find(record_id)[0]
            if isinstance(record, Board) and record.motor_pads:
                name = f"{equipment.id}.{role}"
                found += [(b.name, pads_of(b, record)) for b in assembly.bodies if b.key == name]
    return [(name, pads) for name, pads in found if pads]


def _motor(assembly: Assembly, body: Body) -> Motor | None:
    if body.role != "motor":
        return None
    equipment = next(e for e in assembly.design.equipment if e.id == body.owner)
    return next(
        (r for i in equipment.use.values() if isinstance(r := assembly.catalogue.find(i)[0], Motor)),
        None,
    )


def _shared_out(far: Sequence[Sequence[float]]) -> list[int]:
    """Return a pad for each motor, from the distances between them."""
    pairs = sorted((d, n, k) for n, row in enumerate(far) for k, d in enumerate(row))
    taken: dict[int, int] = {}
    for _, n, k in pairs:
        if n not in taken and k not in taken.values():
            taken[n] = k
    swapped = True
    while swapped:
        swapped = False
        for n, m in combinations(sorted(taken), 2):
            k, j = taken[n], taken[m]
            if far[n][j] + far[m][k] < far[n][k] + far[m][j] - 1e-9:
                taken[n], taken[m], swapped = j, k, True
    return [taken[n] for n in range(len(far))]


def _base(body: Body, towards: Vector) -> Vector:
    """Where the leads leave a motor: under the edge of its bell, on the side of what they go to."""
    x, y, z = body.frame.origin
    bell = body.solids[0].shape
    away = math.dist((x, y), towards[:2])
    share = min(bell.radius / away, 1.0) if isinstance(bell, Cylinder) and away > 0 else 0.0
    return x + share * (towards[0] - x), y + share * (towards[1] - y), z


def _root(assembly: Assembly, body: Body) -> Vector | None:
    """Root of the arm that carries a motor, at the height of the motor's base; None where it has no arm of its own."""
    x, y, z = body.frame.origin
    arms = [i.arm for i in assembly.instances.values() if i.arm is not None]
    ends = [
        (math.dist((x, y), (a.root_x + a.reach * math.cos(a.bearing), a.root_y + a.reach * math.sin(a.bearing))), a)
        for a in arms
    ]
    near = [arm for apart, arm in ends if apart < 0.01]
    return (near[0].root_x, near[0].root_y, z) if near else None
