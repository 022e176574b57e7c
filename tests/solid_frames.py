"""Several plates as solids in CalculiX, their holes' walls rigid, springs between holes: the joints of our own frames.

Each group of holes follows a point by linear equations of small turns; springs of six stiffnesses join two points at
one place. Turns of a point are displacements of a second node there. Units mm, N, MPa, t, s.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from solids import Solid, ccx, numbers_of, tables

__all__ = ["Body", "Group", "Joint", "solve"]

Floats = NDArray[np.float64]
_TURNED = {0: ((2, 1.0), (3, -1.0)), 1: ((3, 1.0), (1, -1.0)), 2: ((1, 1.0), (2, -1.0))}


@dataclass(frozen=True)
class Body:
    """A plate: solid, material card, density, turn about z [rad], origin [mm]."""

    solid: Solid
    elastic: str
    density: float
    turn: float
    origin: tuple[float, float, float]

    @property
    def nodes(self) -> Floats:
        c, s = np.cos(self.turn), np.sin(self.turn)
        found: Floats = self.solid.nodes @ np.array([[c, -s, 0], [s, c, 0], [0, 0, 1.0]]).T + self.origin
        return found


@dataclass(frozen=True)
class Group:
    """Holes of a body that follow a point [mm], and a mass there [t]."""

    body: int
    holes: tuple[int, ...]
    point: tuple[float, float, float]
    mass: float = 0.0


@dataclass(frozen=True)
class Joint:
    """Two groups at one place and six stiffnesses between them [N/mm], [N mm]."""

    near: int
    far: int
    stiffness: tuple[float, ...]


def solve(
    folder: Path,
    bodies: Sequence[Body],
    held: Mapping[int, Sequence[int]],
    groups: Sequence[Group],
    joints: Sequence[Joint],
    loads: Sequence[tuple[int, Sequence[float]]],
    modes: int,
) -> tuple[Floats, Floats]:
    """Return the motions of all groups in each load case, (n_cases, n_groups, 6), and frequencies [Hz].

    `held` names the holes of bodies whose walls are fixed; a load is six forces on a group.
    """
    statics, vibration = (_head(bodies, held, groups, joints, masses) for masses in (False, True))
    first = _first_point(bodies)
    for group, six in loads:
        statics += "*STEP\n*STATIC\n*CLOAD, OP=NEW\n"
        for k, value in enumerate(six):
            if value:
                statics += f"{first + 2 * group + k // 3}, {k % 3 + 1}, {value:.9g}\n"
        statics += "*NODE PRINT, NSET=POINTS\nU\n*END STEP\n"
    text = ccx(folder, "static", statics, 1)
    motions = np.array([np.array([numbers_of(line) for line in block]).reshape(-1, 6) for block in tables(text)])
    text = ccx(folder, "modes", vibration + f"*STEP\n*FREQUENCY\n{modes}\n*END STEP\n", 1)
    lines = text.split("E I G E N V A L U E   O U T P U T")[1].splitlines()
    rows = [line.split() for line in lines if re.match(r"\s+\d+\s+[-\d.]+E", line)][:modes]
    return motions, np.array([float(row[3]) for row in rows])


def _first_point(bodies: Sequence[Body]) -> int:
    return sum(len(b.solid.nodes) for b in bodies) + 1


def _head(
    bodies: Sequence[Body],
    held: Mapping[int, Sequence[int]],
    groups: Sequence[Group],
    joints: Sequence[Joint],
    masses: bool,
) -> str:
    starts = np.concatenate([[0], np.cumsum([len(b.solid.nodes) for b in bodies])])
    nodes = np.concatenate([b.nodes for b in bodies])
    first, element = _first_point(bodies), 0
    lines = ["*NODE, NSET=ALL", *(f"{k + 1}, {x:.9g}, {y:.9g}, {z:.9g}" for k, (x, y, z) in enumerate(nodes.tolist()))]
    for n, group in enumerate(groups):
        lines += [f"{first + 2 * n + k}, " + ", ".join(f"{v:.9g}" for v in group.point) for k in (0, 1)]
    for n, body in enumerate(bodies):
        lines.append(f"*ELEMENT, TYPE=C3D20R, ELSET=BODY{n}")
        for brick in (body.solid.bricks + 1 + starts[n]).tolist():
            element += 1
            lines += [f"{element}, " + ", ".join(map(str, brick[:15])) + ",", ", ".join(map(str, brick[15:]))]
        lines += [f"*MATERIAL, NAME=M{n}", body.elastic.rstrip(), "*DENSITY", f"{body.density:.9g}"]
        if body.turn:
            c, s = np.cos(body.turn), np.sin(body.turn)
            lines += [f"*ORIENTATION, NAME=O{n}", f"{c:.12g}, {s:.12g}, 0, {-s:.12g}, {c:.12g}, 0"]
        turned = f", ORIENTATION=O{n}" if body.turn else ""
        lines.append(f"*SOLID SECTION, ELSET=BODY{n}, MATERIAL=M{n}{turned}")
    fixed = np.unique(np.concatenate([bodies[b].solid.walls[h] + starts[b] for b, hs in held.items() for h in hs])) + 1
    lines += ["*NSET, NSET=HELD", *(f"{k}," for k in fixed.tolist())]
    lines += ["*NSET, NSET=POINTS", *(f"{first + k}," for k in range(2 * len(groups)))]
    for k, joint in enumerate(joints):
        for axis, value in enumerate(joint.stiffness):
            element += 1
            a, b = (first + 2 * g + axis // 3 for g in (joint.near, joint.far))
            lines += [f"*ELEMENT, TYPE=SPRING2, ELSET=S{k}X{axis}", f"{element}, {a}, {b}"]
            lines += [f"*SPRING, ELSET=S{k}X{axis}", f"{axis % 3 + 1}, {axis % 3 + 1}", f"{value:.9e}"]
    for n, group in enumerate(groups):
        if masses and group.mass:
            element += 1
            lines += [f"*ELEMENT, TYPE=MASS, ELSET=T{n}", f"{element}, {first + 2 * n}"]
            lines += [f"*MASS, ELSET=T{n}", f"{group.mass:.9g}"]
    lines += ["*BOUNDARY", "HELD, 1, 3", "*EQUATION"]
    for n, group in enumerate(groups):
        own = np.unique(np.concatenate([bodies[group.body].solid.walls[h] for h in group.holes])) + starts[group.body]
        for k in own.tolist():
            lines += _follows(k + 1, nodes[k] - group.point, first + 2 * n)
    return "\n".join(lines) + "\n"


def _follows(node: int, arm: Floats, point: int) -> list[str]:
    """Return the equations by which a node follows a point and its turns."""
    dx, dy, dz = arm
    arms = {(0, 2): dz, (0, 3): dy, (1, 3): dx, (1, 1): dz, (2, 1): dy, (2, 2): dx}
    found = []
    for axis in range(3):
        terms = [(node, axis + 1, 1.0), (point, axis + 1, -1.0)]
        terms += [(point + 1, a, -s * arms[axis, a]) for a, s in _TURNED[axis] if abs(arms[axis, a]) > 1e-12]
        found += [str(len(terms)), ", ".join(f"{a}, {b}, {c:.12g}" for a, b, c in terms)]
    return found
