"""How long clearances take beyond geometry and columns, and how interference grows with the number of parts.

Nothing here asserts an absolute time; ratios are compared within one run.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmarks.tower import tower
from platewright.app.load import load
from platewright.assembly.assemble import Assembly
from platewright.fit.discs import body_gaps, discs_of, largest_propellers
from platewright.fit.ground import Support, first_strike, stand_on
from platewright.fit.interference import near_plates, overlaps, prisms_of
from platewright.fit.leads import motor_leads
from platewright.study.web_findings import web_findings

ROOT = Path(__file__).resolve().parents[1]
SIZES = (10, 20, 40, 80)


@pytest.fixture(scope="module")
def heddle(tmp_path_factory: pytest.TempPathFactory) -> Assembly:
    return load(ROOT / "examples" / "heddle.toml", cache=tmp_path_factory.mktemp("outlines")).assembly


def towers(n_plates: int, folder: Path) -> Assembly:
    path = folder / f"tower_{n_plates}.toml"
    path.write_text(tower(n_plates), encoding="utf-8")
    return load(path, cache=folder / "cache").assembly


def test_warm_clearances(benchmark: Callable[..., object], heddle: Assembly) -> None:
    """Goal: a part of the 50 ms of a warm fit."""

    def run() -> int:
        prisms, discs = prisms_of(heddle), discs_of(heddle)
        support = Support(heddle, prisms)
        found = [*overlaps(heddle, prisms), *near_plates(heddle, prisms, 0.2), *body_gaps(heddle, prisms, discs)]
        found += [*largest_propellers(heddle, prisms, discs, 3.0, 2.0), *motor_leads(heddle)]
        found += [stand_on(support, discs, math.radians(tilt)) for tilt in (0, 15, 30)]
        return len([*found, first_strike(support, discs)])

    assert benchmark(run)


def test_warm_interference(benchmark: Callable[..., object], heddle: Assembly) -> None:
    assert benchmark(lambda: overlaps(heddle, prisms_of(heddle))) == []


def test_warm_webs(benchmark: Callable[..., object], heddle: Assembly) -> None:
    assert benchmark(lambda: list(web_findings(heddle)))


@pytest.mark.parametrize("n_plates", SIZES)
def test_interference_grows_with_parts(benchmark: Callable[..., object], tmp_path: Path, n_plates: int) -> None:
    """Goal: 300 ms for 80 parts."""
    assembly = towers(n_plates, tmp_path)
    found = benchmark(lambda: overlaps(assembly, prisms_of(assembly)))
    assert len(found) == 4  # type: ignore[arg-type]  # the second plate's tips stand in the motors


def test_interference_grows_no_faster_than_the_square_of_the_parts(tmp_path: Path) -> None:
    """Four times the plates may take at most sixteen times as long; both timed in one run, best of five."""
    times = []
    for n_plates in (20, 80):
        assembly = towers(n_plates, tmp_path)
        runs = []
        for _ in range(5):
            start = time.perf_counter()
            overlaps(assembly, prisms_of(assembly))
            runs.append(time.perf_counter() - start)
        times.append(min(runs))
    assert times[1] <= 16 * times[0]
