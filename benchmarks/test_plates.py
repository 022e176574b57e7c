"""How long a plate takes: an arm with four load cases and six modes, and cost against the number of freedoms.

Nothing here asserts an absolute time; ratios are compared within one run.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from platewright.assembly.sketches import own_sketch
from platewright.geometry.cache import OutlineCache
from platewright.geometry.loops import Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.io.part_file import pierced, read_part_file
from platewright.structure.laminate import section_of
from platewright.structure.mesh import Mesh, mesh_outline
from platewright.structure.plate import plate_systems, pressure_load
from platewright.structure.ply import PlyMaterial
from platewright.structure.reduce import group_ties, reduce_plate
from platewright.structure.solve import PlateModel
from platewright.structure.stacks import single_stack
from platewright.structure.supports import fixed_freedoms, tie_group
from solids import constants_of, run, stacked

ROOT = Path(__file__).resolve().parents[1]
PLY = PlyMaterial(50_000, 50_000, 18_410, 0.357, 3_000, 3_000)
SECTION = section_of(single_stack(PLY, 5.0, 1.55e-9))
MASS, MODES = 35e-6, 6
HELD, TIED = ("inner", "outer"), ("m1", "m2", "m3", "m4")


class Arm:
    """The example's arm with the numbers of its holes."""

    def __init__(self) -> None:
        part = read_part_file(ROOT / "examples" / "parts" / "arm.toml")
        self.outline, self.holes = pierced(part, OutlineCache().get_or_build(own_sketch(part.file.part)))
        self.centres = [(c.x, c.y) for c in self.outline.circles]

    def mesh(self) -> Mesh:
        return mesh_outline(self.outline, 5.0)

    def solve(self, mesh: Mesh) -> tuple[np.ndarray, np.ndarray]:
        tie = tie_group(
            [mesh.rims[self.holes[h]] for h in TIED], [self.centres[self.holes[h]] for h in TIED], mass=MASS
        )
        held = fixed_freedoms(len(mesh.nodes), [(mesh.rims[self.holes[h]], "fixed") for h in HELD])
        model = PlateModel(mesh.nodes, plate_systems(mesh, SECTION), held, [tie])
        return model.solve(None, loads()[:, None, :]).ties, model.modes(MODES).frequencies


def loads() -> np.ndarray:
    found = np.zeros((4, 6))
    found[0, 2], found[1, 3], found[2, 1], found[3, 0] = 10.0, 100.0, 10.0, 10.0
    return found


@pytest.fixture(scope="module")
def arm() -> Arm:
    return Arm()


def test_arm_with_four_cases_and_six_modes(benchmark: Callable[..., object], arm: Arm) -> None:
    """Goal: 100 ms, the mesh kept from before."""
    mesh = arm.mesh()
    benchmark(lambda: arm.solve(mesh))


def test_mesh_of_an_arm(benchmark: Callable[..., object], arm: Arm) -> None:
    benchmark(arm.mesh)


def test_arm_reduced(benchmark: Callable[..., object], arm: Arm) -> None:
    mesh = arm.mesh()
    groups = tuple((n,) for n in range(len(arm.centres)))
    benchmark(lambda: reduce_plate(mesh, SECTION, group_ties(mesh, arm.centres, groups)))


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("ccx") is None, reason="needs the Debian package calculix-ccx")
def test_arm_against_solids_in_one_run(arm: Arm, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Goal: a hundred times faster than mesh and solids that agree within 1 %, both on one core."""
    arm.solve(arm.mesh())
    start = time.perf_counter()
    for _ in range(5):
        ours = arm.solve(arm.mesh())
    plate = (time.perf_counter() - start) / 5
    start = time.perf_counter()
    radii = [c.radius for c in arm.outline.circles]
    solid = stacked(mesh_outline(arm.outline, 5.0), arm.centres, radii, 5.0, 2)
    centre = tuple(np.mean([arm.centres[arm.holes[h]] for h in TIED], axis=0))
    held = {arm.holes[h]: arm.centres[arm.holes[h]] for h in HELD}
    elastic = constants_of(50_000, 50_000, 10_000, (0.357, 0.3, 0.3), (18_410, 3_000, 3_000))
    best = run(tmp_path, solid, elastic, 1.55e-9, held, [arm.holes[h] for h in TIED], centre, loads(), MASS, MODES)
    solids = time.perf_counter() - start
    with capsys.disabled():
        print(f"\nplate with its mesh {1e3 * plate:.0f} ms, solids {solids:.1f} s: {solids / plate:.0f} times")
    assert ours[1] == pytest.approx(best.frequencies, rel=0.01)
    assert solids / plate > 100


@pytest.mark.parametrize("command", [("strength", "heddle.toml"), ("part", "parts/arm.toml")], ids=lambda c: c[0])
def test_memory_of_a_new_process(command: tuple[str, str], tmp_path: Path) -> None:
    """Goal: 500 MB at most, with nothing kept from before."""
    code = (
        "import resource, sys; from platewright.cli import main; status = main(sys.argv[1:]); "
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, file=sys.stderr); raise SystemExit(status)"
    )
    name, file = command
    done = subprocess.run(
        [sys.executable, "-c", code, name, str(ROOT / "examples" / file), "--json"],
        capture_output=True,
        text=True,
        env={**os.environ, "XDG_CACHE_HOME": str(tmp_path)},
        check=True,
    )
    assert int(done.stderr.split()[-1]) / 1024 < 500  # kilobytes on Linux


@pytest.mark.parametrize("freedoms", [1_000, 5_000, 20_000, 80_000, 200_000])
def test_plate_by_freedoms(benchmark: Callable[..., object], freedoms: int) -> None:
    """Matrices, factors and one load case of a clamped square, the mesh not counted."""
    mesh = mesh_outline(Outline(rectangle_loop(0, 0, 100, 100)), 100 * (19.9 / freedoms) ** 0.5)
    assert 0.7 < 5 * len(mesh.nodes) / freedoms < 1.4
    held = fixed_freedoms(len(mesh.nodes), [(mesh.loops[0], "fixed")])
    load = pressure_load(mesh, 1e-3)[None]

    def solve() -> float:
        return PlateModel(mesh.nodes, plate_systems(mesh, SECTION), held).solve(load).residual

    assert benchmark.pedantic(solve, rounds=1, iterations=1) < 1e-12  # type: ignore[attr-defined]
