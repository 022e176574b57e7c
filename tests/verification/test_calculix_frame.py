"""Two arms bolted to a plate against three-dimensional solids with the same joints.

Reference: CalculiX CrunchiX 2.20 (G. Dhondt, K. Wittig), Debian package calculix-ccx, bricks C3D20R, two layers through
each plate. Walls of bolted holes are rigid and joined by the same six springs; two holes of the plate are fixed; a mass
sits on each arm's tip. Tolerance 5 %, what the joints' own stiffness leaves to be known (about 20 %) makes fair.
"""

import math
import shutil
from pathlib import Path

import numpy as np
import pytest
from scipy.linalg import eigh

from platewright.assembly.sketches import own_sketch
from platewright.geometry.cache import OutlineCache
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.io.part_file import pierced, read_part_file
from platewright.structure.frame import Frame
from platewright.structure.mesh import mesh_outline
from platewright.structure.ply import PlyMaterial
from platewright.structure.points import Lump, PlacedPlate, Spring
from platewright.structure.reduce import Reductions
from platewright.structure.stacks import single_stack
from solid_frames import Body, Group, Joint, solve
from solids import constants_of, stacked

ARM = Path(__file__).parents[2] / "examples" / "parts" / "arm.toml"
DENSITY, MASS, THICK, THIN = 1.55e-9, 35e-6, 5.0, 3.0
E, NU, G = (50_000, 50_000, 10_000), (0.357, 0.3, 0.3), (18_410, 3_000, 3_000)
PLATE = Outline(
    rectangle_loop(0, 0, 80, 26),
    (),
    tuple(Circle(x, y, 1.6) for x, y in ((0, 9), (0, -9), (14, 0), (30, 0), (-14, 0), (-30, 0))),
)
JOINT = (2e4, 2e4, 5e4, 2e5, 2e5, 2e4)
FACE = THIN / 2  # where plates touch; the thin one's mid-plane is z = 0 [mm]
LOADS = {"lift": (0, 0, 10, 0, 0, 0), "twist": (0, 0, 0, 100, 0, 0), "edgewise": (0, 10, 0, 0, 0, 0)}

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(shutil.which("ccx") is None, reason="needs the Debian package calculix-ccx"),
]


@pytest.fixture(scope="module")
def arm():
    part = read_part_file(ARM)
    outline, holes = pierced(part, OutlineCache().get_or_build(own_sketch(part.file.part)))
    return outline, holes


def plates(outline, holes):
    """Motions of the first arm's tip in each case, then of the second's; frequencies."""
    stack = PlyMaterial(E[0], E[1], G[0], NU[0], G[1], G[2])
    kept, motor = Reductions(), tuple(holes[f"m{n}"] for n in range(1, 5))
    arm = kept.get(
        outline, single_stack(stack, THICK, DENSITY), 0.0, ((holes["inner"],), (holes["outer"],), motor), THICK
    )
    base = kept.get(PLATE, single_stack(stack, THIN, DENSITY), 0.0, tuple((n,) for n in range(6)), THIN)
    z = FACE + THICK / 2
    frame = Frame(
        [
            PlacedPlate("base", base, np.zeros(3), np.eye(3)),
            PlacedPlate("right", arm, np.array([0, 0, z]), np.eye(3)),
            PlacedPlate("left", arm, np.array([0, 0, z]), np.diag([-1.0, -1.0, 1.0])),
        ]
    )
    for hole, place, number in ((2, 1, 0), (3, 1, 1), (4, 2, 0), (5, 2, 1)):
        own = PLATE.circles[hole]
        at = np.array([own.x, own.y, FACE])
        frame.join(Spring("bolt", frame.point(0, hole), frame.point(place, number), at, np.diag(JOINT)))
    tips = [frame.point(place, 2) for place in (1, 2)]
    for tip in tips:
        frame.carry(Lump(tip, MASS, tip.position, np.zeros((3, 3))))
    free = np.setdiff1d(np.arange(len(frame.stiffness)), np.arange(12))  # the first two points of the base are held
    k, m = frame.stiffness[np.ix_(free, free)], frame.mass[np.ix_(free, free)]
    load = np.array([frame.load(tips[0], np.array(six, dtype=float)) for six in LOADS.values()])
    moved = np.zeros_like(load)
    moved[:, free] = np.linalg.solve(k, load[:, free].T).T
    squares = eigh(k, m, eigvals_only=True, subset_by_index=[0, 5])
    return [tip.motion(moved) for tip in tips], np.sqrt(squares) / (2 * math.pi)


def solids(outline, holes, folder):
    card = constants_of(*E, NU, G)

    def solid(shape, thickness, size):
        centres = [(c.x, c.y) for c in shape.circles]
        return stacked(mesh_outline(shape, size), centres, [c.radius for c in shape.circles], thickness, 2)

    arm, base = solid(outline, THICK, 6.0), solid(PLATE, THIN, 5.0)
    z = FACE + THICK / 2
    bodies = [
        Body(base, card, DENSITY, 0.0, (0, 0, 0)),
        Body(arm, card, DENSITY, 0.0, (0, 0, z)),
        Body(arm, card, DENSITY, math.pi, (0, 0, z)),
    ]
    motor = tuple(holes[f"m{n}"] for n in range(1, 5))
    x = float(np.mean([outline.circles[n].x for n in motor]))
    groups = [Group(1, motor, (x, 0, z), MASS), Group(2, motor, (-x, 0, z), MASS)]
    joints = []
    for hole, body, name in ((2, 1, "inner"), (3, 1, "outer"), (4, 2, "inner"), (5, 2, "outer")):
        at = (PLATE.circles[hole].x, PLATE.circles[hole].y, FACE)
        joints.append(Joint(len(groups), len(groups) + 1, JOINT))
        groups += [Group(0, (hole,), at), Group(body, (holes[name],), at)]
    return solve(folder, bodies, {0: (0, 1)}, groups, joints, [(0, six) for six in LOADS.values()], 6)


def test_two_arms_on_a_plate_against_solids(arm, tmp_path, capsys):
    (right, left), frequencies = plates(*arm)
    motions, theirs = solids(*arm, tmp_path)
    rows = [
        ("lift: tip up", right[0, 2], motions[0, 0, 2]),
        ("lift: tip turns about y", right[0, 4], motions[0, 0, 4]),
        ("lift: other tip", left[0, 2], motions[0, 1, 2]),
        ("twist: tip turns about x", right[1, 3], motions[1, 0, 3]),
        ("edgewise: tip along y", right[2, 1], motions[2, 0, 1]),
        *((f"frequency {n + 1}", frequencies[n], theirs[n]) for n in range(6)),
    ]
    with capsys.disabled():
        for what, ours, best in rows:
            print(f"\n  {what:28s} {ours:12.5g} {best:12.5g} {100 * (ours / best - 1):+7.2f} %", end="")
    for what, ours, best in rows:
        assert ours == pytest.approx(best, rel=0.05), what
