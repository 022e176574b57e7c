"""How long it takes to say how everything comes off: the table of the check, and the proofs of the command.

Nothing here asserts an absolute time; the growth is of one run.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmarks.tower import tower
from platewright.app.load import Loaded, load
from platewright.assembly.assemble import Assembly
from platewright.assembly.order import assembly_order
from platewright.fit.service import removal
from platewright.fit.taking_apart import Thing, bench_of
from platewright.study.service_findings import service_rows

HEDDLE = Path(__file__).resolve().parents[1] / "examples" / "heddle.toml"


@pytest.fixture(scope="module")
def heddle(tmp_path_factory: pytest.TempPathFactory) -> Loaded:
    return load(HEDDLE, cache=tmp_path_factory.mktemp("outlines"))


def rows(assembly: Assembly, covered: dict[tuple[str, int], tuple[str, ...]]) -> int:
    return len(service_rows(assembly, covered))


def test_service_of_the_check(benchmark: Callable[..., object], heddle: Loaded) -> None:
    """Share of the goal of 50 ms for all about fit: a third."""
    covered = dict(assembly_order(heddle.assembly).covered)
    assert benchmark(rows, heddle.assembly, covered) == 14


def test_one_arm_proved(benchmark: Callable[..., object], heddle: Loaded) -> None:
    covered = assembly_order(heddle.assembly).covered

    def run() -> bool:
        return removal(bench_of(heddle.assembly, covered), Thing("arm.1"), 2000).proven

    assert benchmark(run)


def test_time_grows_no_faster_than_the_square_of_the_parts(tmp_path: Path) -> None:
    """Of a tower each plate held by all above it: four times the plates, at most 16 times the time, best of three."""
    times = []
    for n_plates in (5, 20):
        path = tmp_path / f"tower_{n_plates}.toml"
        path.write_text(tower(n_plates), encoding="utf-8")
        assembly = load(path, cache=tmp_path / "cache").assembly
        covered = assembly_order(assembly).covered
        runs = []
        for _ in range(3):
            start = time.perf_counter()
            service_rows(assembly, covered)
            runs.append(time.perf_counter() - start)
        times.append(min(runs))
    assert times[1] <= 16 * times[0]
