"""How long reading a drawing takes, and how that grows with its entities. Nothing here asserts an absolute time."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from ezdxf import units

from platewright.app.read import read

SIZES = (100, 1_000, 10_000, 100_000)
_PER_PLATE = 10  # four lines, a motor pattern with its middle hole, one other hole
_PITCH = 40.0  # [mm]


def sheet(path: Path, n_entities: int) -> Path:
    """Write a sheet of square plates of loose lines, in no order, each with a motor pattern and one more hole."""
    document = ezdxf.new("R2010", units=units.MM)
    space = document.modelspace()
    n_plates = n_entities // _PER_PLATE
    side = math.ceil(math.sqrt(n_plates))
    corners = ((0, 0), (30, 0), (30, 30), (0, 30))
    for k in range(4):
        for n in range(n_plates):
            x, y = n % side * _PITCH, n // side * _PITCH
            start, end = corners[k], corners[(k + 1) % 4]
            space.add_line((x + start[0], y + start[1]), (x + end[0], y + end[1]))
    for n in range(n_plates):
        x, y = n % side * _PITCH + 15, n // side * _PITCH + 15
        for k in range(4):
            turn = math.pi / 2 * k
            space.add_circle((x + 8 * math.cos(turn), y + 8 * math.sin(turn)), 1.6)
        space.add_circle((x, y), 3)
        space.add_circle((x + 10, y + 10), 1 + n % 50 / 100)  # fifty different shapes
    document.saveas(path)
    return path


@pytest.mark.parametrize("n_entities", SIZES)
def test_reading_a_drawing(benchmark: Callable[..., object], tmp_path: Path, n_entities: int) -> None:
    """Goals: 1 s for 1 000 entities, 12 s for 100 000."""
    path = sheet(tmp_path / "sheet.dxf", n_entities)
    rounds = 5 if n_entities < SIZES[-1] else 1
    reading = benchmark.pedantic(read, (path,), rounds=rounds)  # type: ignore[attr-defined]
    assert len(reading.plates) == n_entities // _PER_PLATE


def test_time_grows_in_proportion_to_the_entities(tmp_path: Path) -> None:
    """Ten times the entities may take at most twenty times as long; both timed in one run, best of three."""
    times = []
    for n_entities in (1_000, 10_000):
        path = sheet(tmp_path / f"sheet_{n_entities}.dxf", n_entities)
        runs = []
        for _ in range(3):
            start = time.perf_counter()
            read(path)
            runs.append(time.perf_counter() - start)
        times.append(min(runs))
    assert times[1] <= 20 * times[0]
