"""How long cameras, batteries, boards and wires take beyond geometry and columns; nothing asserts an absolute time."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from platewright.app.load import load
from platewright.assembly.assemble import Assembly
from platewright.fit.interference import prisms_of
from platewright.study.battery_findings import batteries
from platewright.study.board_findings import boards
from platewright.study.camera_findings import cameras, views

ROOT = Path(__file__).resolve().parents[1]
SUBJECTS = {"cameras": cameras, "views": views, "batteries": batteries, "boards": boards}


@pytest.fixture(scope="module")
def heddle(tmp_path_factory: pytest.TempPathFactory) -> Assembly:
    return load(ROOT / "examples" / "heddle.toml", cache=tmp_path_factory.mktemp("outlines")).assembly


@pytest.mark.parametrize("subject", SUBJECTS)
def test_warm_equipment(benchmark: Callable[..., object], heddle: Assembly, subject: str) -> None:
    """Goal: together a part of the 50 ms of a warm fit."""
    prisms = prisms_of(heddle)
    assert benchmark(lambda: SUBJECTS[subject](heddle, prisms)[0])


def test_warm_prisms(benchmark: Callable[..., object], heddle: Assembly) -> None:
    assert benchmark(lambda: prisms_of(heddle))
