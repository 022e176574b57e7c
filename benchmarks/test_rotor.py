"""How long propellers, hover and the comparison of motors take.

Nothing here asserts an absolute time; the growth is of one run.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from platewright.app.load import load
from platewright.rotor.air import standard_air
from platewright.rotor.blade_element import blade_element
from platewright.rotor.predict import fit_propeller_model
from platewright.study.hover import hover_report
from platewright.study.motor_choice import motor_choice
from platewright.study.powertrain import Powertrain, frame_powertrain
from platewright.study.propellers import blade_section, wind_tunnel_tables

HEDDLE = Path(__file__).resolve().parents[1] / "examples" / "heddle.toml"


@pytest.fixture(scope="module")
def train(tmp_path_factory: pytest.TempPathFactory) -> Powertrain:
    made = frame_powertrain(load(HEDDLE, cache=tmp_path_factory.mktemp("outlines")).assembly)
    assert made is not None
    return made


def test_model_of_all_propellers(benchmark: Callable[..., object]) -> None:
    assert benchmark(fit_propeller_model, wind_tunnel_tables(), blade_section())


def test_blade_elements_of_a_thousand_rows(benchmark: Callable[..., object]) -> None:
    table = next(t for t in wind_tunnel_tables() if t.name == "5.0x4.3x2-J")
    rows = np.arange(1000) % table.speed.size
    assert table.blade is not None
    where = (table.speed[rows], table.advance_ratio[rows], standard_air())
    assert benchmark(blade_element, table.size, table.blade, blade_section(), *where)


def test_propeller_at_work_in_forward_flight(benchmark: Callable[..., object], train: Powertrain) -> None:
    """160 rotors and speeds at once: 40 speeds of four rotors."""
    speed = np.linspace(900.0, 2500.0, 160)
    assert benchmark(train.propeller.at, speed, 5.0, 12.0)


def test_hover_of_the_check(benchmark: Callable[..., object], train: Powertrain) -> None:
    """Share of the goal of 250 ms for all about flying: a fifth."""
    assert benchmark(hover_report, train)


def test_comparison_of_motors(benchmark: Callable[..., object], tmp_path: Path) -> None:
    assembly = load(HEDDLE, cache=tmp_path).assembly
    assert benchmark(motor_choice, assembly)


def test_time_does_not_grow_with_the_rotors(train: Powertrain) -> None:
    """Rotors in hover are alike: eight take what four take, within a half, best of five."""
    times = []
    for rotors in (4, 8):
        runs = []
        for _ in range(5):
            start = time.perf_counter()
            hover_report(replace(train, rotors=rotors))
            runs.append(time.perf_counter() - start)
        times.append(min(runs))
    assert times[1] <= 1.5 * times[0]
