"""A plate as solids for CalculiX: bricks of 20 nodes from the plate's triangles, a deck, and its results read back.

Each six-node triangle is divided into three curved quadrilaterals of eight nodes, and these are stacked through the
thickness as C3D20R. Held holes have all nodes of their walls fixed; the walls of a tied group follow a point in the
mid-plane by linear equations of small turns. Units mm, N, MPa, t, s.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from platewright.structure.mesh import Mesh
from platewright.structure.triangle import shapes

__all__ = ["Solid", "SolidResults", "ccx", "constants_of", "numbers_of", "run", "stacked", "tables"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

# Corners of the three quadrilaterals in natural coordinates: a corner, the middles beside it, the centroid.
_CENTRE = (1 / 3, 1 / 3)
_QUADS = (
    ((0.0, 0.0), (0.5, 0.0), _CENTRE, (0.0, 0.5)),
    ((0.5, 0.0), (1.0, 0.0), (0.5, 0.5), _CENTRE),
    ((0.0, 0.5), _CENTRE, (0.5, 0.5), (0.0, 1.0)),
)
_NUMBER = re.compile(r"[-+]?\d+\.\d+E[-+]\d+")


@dataclass(frozen=True)
class Solid:
    """Bricks of a plate: nodes (n, 3) [mm], bricks (n, 20), and for each round hole the nodes of its wall."""

    nodes: Floats
    bricks: Ints
    walls: tuple[Ints, ...]


@dataclass(frozen=True)
class SolidResults:
    """Motions of the tied point (n_cases, 6), resultants of each held hole (n_cases, n_held, 6), frequencies [Hz]."""

    motions: Floats
    reactions: Floats
    frequencies: Floats


def stacked(mesh: Mesh, centres: Sequence[tuple[float, float]], radii: Sequence[float], t: float, layers: int) -> Solid:
    """Return the bricks of a plate [mm]."""
    points: dict[tuple[int, int], int] = {}
    plane: list[tuple[float, float]] = []
    quads = []
    xy = mesh.nodes[mesh.triangles]
    for corner in _QUADS:
        natural = [
            *corner,
            *(tuple((a + b) / 2 for a, b in zip(corner[k], corner[(k + 1) % 4], strict=True)) for k in range(4)),
        ]
        at = np.stack([np.einsum("n,enk->ek", shapes(*rs), xy) for rs in natural], axis=1)
        for quad in at:
            own = []
            for x, y in quad:
                key = (round(x * 1e6), round(y * 1e6))
                if key not in points:
                    points[key] = len(plane)
                    plane.append((x, y))
                own.append(points[key])
            quads.append(own)
    flat, quad = np.array(plane), np.array(quads)
    n = len(flat)
    z = np.linspace(-t / 2, t / 2, 2 * layers + 1)
    nodes = np.column_stack([np.tile(flat, (len(z), 1)), np.repeat(z, n)])
    bricks = []
    for k in range(layers):
        low, mid, high = (2 * k * n, (2 * k + 1) * n, (2 * k + 2) * n)
        bricks.append(
            np.column_stack(
                [quad[:, :4] + low, quad[:, :4] + high, quad[:, 4:] + low, quad[:, 4:] + high, quad[:, :4] + mid]
            )
        )
    every = np.concatenate(bricks)
    used, numbers = np.unique(every, return_inverse=True)
    nodes, every = nodes[used], numbers.reshape(-1, 20)
    walls = []
    for (x, y), r in zip(centres, radii, strict=True):
        away = np.hypot(nodes[:, 0] - x, nodes[:, 1] - y)
        walls.append(np.flatnonzero(np.abs(away - r) < 5e-3 * r))  # quarter points lie on a parabola, not on the arc
    return Solid(nodes, every, tuple(walls))


def constants_of(e1: float, e2: float, e3: float, nu: Sequence[float], g: Sequence[float]) -> str:
    """Return the card of an orthotropic material: nu12, nu13, nu23 and G12, G13, G23 [MPa]."""
    head = ", ".join(f"{v:.6g}" for v in (e1, e2, e3, *nu, g[0], g[1]))
    return f"*ELASTIC, TYPE=ENGINEERING CONSTANTS\n{head},\n{g[2]:.6g}\n"


def run(
    folder: Path,
    solid: Solid,
    elastic: str,
    density: float,
    held: Mapping[int, tuple[float, float]],
    tied: Sequence[int],
    point: tuple[float, float],
    loads: Floats,
    mass: float,
    modes: int,
    threads: int = 1,
) -> SolidResults:
    """Solve load cases on the tied point, and the modes with a mass there."""
    statics, vibration = (
        _head(solid, elastic, density, held, tied, point, mass if dynamic else 0.0) for dynamic in (False, True)
    )
    n = len(solid.nodes)
    for case in loads:
        statics += "*STEP\n*STATIC\n*CLOAD, OP=NEW\n"
        for k, value in enumerate(case):
            if value:
                statics += f"{n + 1 + k // 3}, {k % 3 + 1}, {value:.9g}\n"
        statics += "*NODE PRINT, NSET=POINT\nU\n*NODE PRINT, NSET=HELD\nRF\n*END STEP\n"
    text = ccx(folder, "static", statics, threads)
    blocks = [np.array([numbers_of(line) for line in b]) for b in tables(text)]
    labels = [[int(line.split()[0]) for line in b] for b in tables(text)]
    motions = np.array([block.ravel() for block in blocks[0::2]])
    reactions = np.zeros((len(loads), len(held), 6))
    for c, (block, rows) in enumerate(zip(blocks[1::2], labels[1::2], strict=True)):
        force = np.zeros((n, 3))
        force[np.array(rows) - 1] = block
        for h, (number, (x, y)) in enumerate(held.items()):
            own = solid.walls[number]
            arm = solid.nodes[own] - (x, y, 0.0)
            reactions[c, h] = [*force[own].sum(axis=0), *np.cross(arm, force[own]).sum(axis=0)]
    vibration += f"*STEP\n*FREQUENCY\n{modes}\n*END STEP\n"
    text = ccx(folder, "modes", vibration, threads)
    lines = text.split("E I G E N V A L U E   O U T P U T")[1].splitlines()
    rows = [line.split() for line in lines if re.match(r"\s+\d+\s+[-\d.]+E", line)][:modes]
    return SolidResults(motions, reactions, np.array([float(row[3]) for row in rows]))


def _head(
    solid: Solid,
    elastic: str,
    density: float,
    held: Mapping[int, tuple[float, float]],
    tied: Sequence[int],
    point: tuple[float, float],
    mass: float,
) -> str:
    """Return nodes, bricks, material, supports and ties; the point is node n + 1, its turns are those of n + 2."""
    n = len(solid.nodes)
    lines = ["*NODE, NSET=ALL"]
    lines += [f"{k + 1}, {x:.9g}, {y:.9g}, {z:.9g}" for k, (x, y, z) in enumerate(solid.nodes.tolist())]
    lines += [f"{n + 1}, {point[0]:.9g}, {point[1]:.9g}, 0", f"{n + 2}, {point[0]:.9g}, {point[1]:.9g}, 0"]
    lines.append("*ELEMENT, TYPE=C3D20R, ELSET=PLATE")
    for k, brick in enumerate((solid.bricks + 1).tolist()):
        lines += [f"{k + 1}, " + ", ".join(map(str, brick[:15])) + ",", ", ".join(map(str, brick[15:]))]
    fixed = np.unique(np.concatenate([solid.walls[h] for h in held])) + 1
    lines += ["*NSET, NSET=HELD", *(f"{k}," for k in fixed.tolist())]
    lines += ["*NSET, NSET=POINT", f"{n + 1}, {n + 2}"]
    lines += ["*MATERIAL, NAME=M", elastic.rstrip(), "*DENSITY", f"{density:.9g}"]
    lines += ["*SOLID SECTION, ELSET=PLATE, MATERIAL=M"]
    if mass:
        lines += [
            "*ELEMENT, TYPE=MASS, ELSET=TIP",
            f"{len(solid.bricks) + 1}, {n + 1}",
            "*MASS, ELSET=TIP",
            f"{mass:.9g}",
        ]
    lines += ["*BOUNDARY", "HELD, 1, 3", "*EQUATION"]
    turned = {0: ((2, 1.0), (3, -1.0)), 1: ((3, 1.0), (1, -1.0)), 2: ((1, 1.0), (2, -1.0))}
    for k in np.unique(np.concatenate([solid.walls[h] for h in tied])).tolist():
        dx, dy, dz = solid.nodes[k] - (*point, 0.0)
        arm = {(0, 2): dz, (0, 3): dy, (1, 3): dx, (1, 1): dz, (2, 1): dy, (2, 2): dx}
        for axis in range(3):
            terms = [(k + 1, axis + 1, 1.0), (n + 1, axis + 1, -1.0)]
            terms += [(n + 2, a, -s * arm[axis, a]) for a, s in turned[axis] if abs(arm[axis, a]) > 1e-12]
            lines.append(str(len(terms)))
            lines.append(", ".join(f"{a}, {b}, {c:.12g}" for a, b, c in terms))
    return "\n".join(lines) + "\n"


def ccx(folder: Path, name: str, deck: str, threads: int) -> str:
    """Solve a deck; return what it prints."""
    (folder / f"{name}.inp").write_text(deck)
    environment = {"OMP_NUM_THREADS": str(threads), "PATH": "/usr/bin:/bin:/usr/local/bin"}
    done = subprocess.run(["ccx", name], cwd=folder, capture_output=True, text=True, env=environment, check=False)
    assert done.returncode == 0, done.stdout[-2000:]
    return (folder / f"{name}.dat").read_text()


def tables(text: str) -> list[list[str]]:
    """Return the rows of each printed table."""
    found: list[list[str]] = []
    for line in text.splitlines():
        if line.strip().startswith(("displacements", "forces")):
            found.append([])
        elif line.strip() and found:
            found[-1].append(line)
    return found


def numbers_of(line: str) -> list[float]:
    """Return the numbers with an exponent on a line."""
    return [float(v) for v in _NUMBER.findall(line)]
