"""How long the study of flight takes: a frame warm, 40 speeds, growth with rotors and with speeds.

Nothing here asserts an absolute time.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from platewright.app.load import load
from platewright.assembly.assemble import Assembly
from platewright.rotor.wake import disc_inflow
from platewright.study.flight import fly_frame
from platewright.study.flight_model import flight_model
from platewright.study.flight_runs import flight_runs
from platewright.study.handling import handling_report
from platewright.study.powertrain import frame_powertrain

ROOT = Path(__file__).resolve().parents[1]
FRAMES = {4: "examples/heddle", 6: "tests/designs/hexa", 8: "tests/designs/coaxial"}


@pytest.fixture(scope="module")
def frames(tmp_path_factory: pytest.TempPathFactory) -> dict[int, Assembly]:
    cache = tmp_path_factory.mktemp("outlines")
    return {n: load(ROOT / f"{name}.toml", cache=cache).assembly for n, name in FRAMES.items()}


@pytest.mark.parametrize("rotors", [4, 6, 8])
def test_flight_by_rotors(benchmark: Callable[..., object], frames: dict[int, Assembly], rotors: int) -> None:
    """Everything `fly` says, without reading the file: 19 speeds, five stances, five doubts, pull-outs, download."""
    assert benchmark(fly_frame, frames[rotors])


@pytest.mark.parametrize("speeds", [10, 20, 40, 80, 160])
def test_trims_by_speeds(benchmark: Callable[..., object], frames: dict[int, Assembly], speeds: int) -> None:
    """Heddle in five stances and five doubts, pull-outs included."""
    power, model = frame_powertrain(frames[4]), flight_model(frames[4])
    assert power is not None
    assert model is not None
    assert benchmark(flight_runs, model.airframe, power, np.linspace(0.0, 45.0, speeds))


def test_one_pair_at_one_skew(benchmark: Callable[..., object]) -> None:
    assert benchmark(disc_inflow, 2.6, 0.0, -0.1, 1.2)


@pytest.mark.parametrize("rotors", [4, 6, 8])
@pytest.mark.parametrize("in_time", [False, True], ids=["control", "in time"])
def test_handling(benchmark: Callable[..., object], frames: dict[int, Assembly], rotors: int, *, in_time: bool) -> None:
    """Control and both sides of the battery; then three steps and a dive in time as well."""
    power, model = frame_powertrain(frames[rotors]), flight_model(frames[rotors])
    assert power is not None
    assert model is not None
    assert benchmark(handling_report, frames[rotors], power, model, in_time=in_time)
