"""How long a frame takes: warm and from nothing, a new process, a whole build, and growth with the number of parts.

Nothing here asserts an absolute time; ratios are compared within one run. `scripts/test --all` runs these.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmarks.tower import tower
from platewright.app.check import check_loaded
from platewright.app.load import Loaded, assemble_tree, load
from platewright.app.what_to_change import ChangeStudy, what_to_change
from platewright.assembly.mass import mass_items, total_mass
from platewright.geometry.cache import OutlineCache
from platewright.study.strength import frame_strength
from platewright.study.strength_parts import PartCache

ROOT = Path(__file__).resolve().parents[1]
HEDDLE = ROOT / "examples" / "heddle.toml"
SIZES = (5, 10, 20, 40, 80)


@pytest.fixture(scope="module")
def heddle(tmp_path_factory: pytest.TempPathFactory) -> Loaded:
    return load(HEDDLE, cache=tmp_path_factory.mktemp("outlines"))


def test_warm_geometry_columns_and_mass(benchmark: Callable[..., object], heddle: Loaded) -> None:
    """Goal: 100 ms on one core."""

    def run() -> float:
        assembly = assemble_tree(heddle.tree, heddle.catalogue, heddle.outlines)
        return total_mass(mass_items(assembly)).mass

    assert benchmark(run) > 0


def test_geometry_columns_and_mass_from_nothing(benchmark: Callable[..., object], heddle: Loaded) -> None:
    """Goal: 1 s without imports."""

    def run() -> float:
        assembly = assemble_tree(heddle.tree, heddle.catalogue, OutlineCache(None))
        return total_mass(mass_items(assembly)).mass

    assert benchmark(run) > 0


def test_warm_check(benchmark: Callable[..., object], heddle: Loaded) -> None:
    assert benchmark(check_loaded, heddle) is not None


def test_warm_strength(benchmark: Callable[..., object], heddle: Loaded) -> None:
    """Goal: 500 ms on one core, all load cases and three joint models."""
    kept: PartCache = {}
    frame_strength(heddle.assembly, cache=kept)
    assert benchmark.pedantic(frame_strength, (heddle.assembly, None, kept), rounds=3) is not None


def test_warm_strength_with_hits_in_time(benchmark: Callable[..., object], heddle: Loaded) -> None:
    kept: PartCache = {}
    frame_strength(heddle.assembly, cache=kept)
    assert benchmark.pedantic(frame_strength, (heddle.assembly, None, kept, True), rounds=3) is not None


def test_numbers_that_change_one_part_and_three(benchmark: Callable[..., object], tmp_path: Path) -> None:
    """Both steps of each, with the frame as it is and on another mesh already kept."""

    def run() -> ChangeStudy:
        *_, study = what_to_change(HEDDLE, cache=tmp_path, only=("arm_root_width_mm", "deck_y_mm"))
        return study

    study = benchmark.pedantic(run, rounds=2, warmup_rounds=1)  # type: ignore[attr-defined]
    assert all(row.energy is not None and row.energy.is_known for row in study.rows)


def test_memory_of_strength_from_nothing(tmp_path: Path) -> None:
    """At most 500 MB in a new process that reduces every part of Heddle itself."""
    code = (
        "import resource, sys, pathlib; from platewright.app.strength import strength_study; "
        "strength_study(pathlib.Path(sys.argv[1]), folder=pathlib.Path(sys.argv[2])); "
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)"  # in KiB on Linux
    )
    command = [sys.executable, "-c", code, str(HEDDLE), str(tmp_path)]
    done = subprocess.run(command, capture_output=True, check=True, text=True)
    assert int(done.stdout) * 1024 <= 500e6


def test_check_in_a_new_process(benchmark: Callable[..., object], tmp_path: Path) -> None:
    """Goal: 3 s with a warm disk cache."""

    def run() -> int:
        command = [sys.executable, "-c", "from platewright.cli import main; raise SystemExit(main())"]
        done = subprocess.run([*command, "check", str(HEDDLE)], capture_output=True, check=False, cwd=tmp_path)
        return done.returncode

    assert benchmark.pedantic(run, rounds=3, warmup_rounds=1) in (0, 1)  # type: ignore[attr-defined]


@pytest.mark.parametrize("n_plates", SIZES)
def test_growth_with_parts(benchmark: Callable[..., object], tmp_path: Path, n_plates: int) -> None:
    path = tmp_path / "tower.toml"
    path.write_text(tower(n_plates), encoding="utf-8")
    loaded = load(path, cache=tmp_path / "cache")

    def run() -> int:
        return len(assemble_tree(loaded.tree, loaded.catalogue, loaded.outlines).parts)

    assert benchmark(run) == n_plates


def test_time_grows_no_faster_than_the_square_of_the_parts(tmp_path: Path) -> None:
    """Four times the plates may take at most sixteen times as long; both timed in one run, best of five."""
    times = []
    for n_plates in (20, 80):
        path = tmp_path / f"tower_{n_plates}.toml"
        path.write_text(tower(n_plates), encoding="utf-8")
        loaded = load(path, cache=tmp_path / "cache")
        runs = []
        for _ in range(5):
            start = time.perf_counter()
            check_loaded(loaded)
            assemble_tree(loaded.tree, loaded.catalogue, loaded.outlines)
            runs.append(time.perf_counter() - start)
        times.append(min(runs))
    assert times[1] <= 16 * times[0]
