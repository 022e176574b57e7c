"""How long costs and nests take, and how much denser nests are than shelves of bounding boxes.

The times of nests are budgets, not results; what is compared is the area that is used, within one run.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from nests import QUARTERS, frame_parts, independent_faults, shelves
from platewright.app.load import load
from platewright.assembly.assemble import Assembly
from platewright.fabrication.nest import Nest, NestPart, Stock
from platewright.fabrication.nesting import nest_parts
from platewright.fabrication.strip import Search, pack_strip
from platewright.io.shop_file import read_shop_file
from platewright.model.shop import ShopFile
from platewright.study.cost import cost_report
from platewright.study.cut_findings import cut_findings

ROOT = Path(__file__).resolve().parents[1]
SHEET = Stock("sheet", 500, 400, 8)
SPACING = 3.0
BUDGET_S = 30.0


@pytest.fixture(scope="module")
def heddle(tmp_path_factory: pytest.TempPathFactory) -> Assembly:
    return load(ROOT / "examples" / "heddle.toml", cache=tmp_path_factory.mktemp("outlines")).assembly


@pytest.fixture(scope="module")
def shop(heddle: Assembly) -> ShopFile:
    return read_shop_file(ROOT / "examples" / "shop" / "shop.toml", heddle.catalogue)


def used_area(nest: Nest) -> float:
    """Area of all sheets, the last counted as far as it is used [mm^2]."""
    return sum(layout.stock.area for layout in nest.layouts[:-1]) + nest.score[1]


def two_hundred() -> list[NestPart]:
    """200 parts of 12 shapes."""
    parts = frame_parts(17)
    return [replace(p, quantity=p.quantity - (k < 4)) for k, p in enumerate(parts)]


def test_warm_cost(benchmark: Callable[..., object], heddle: Assembly, shop: ShopFile) -> None:
    """Goal: 50 ms with a yield rule instead of a nest."""
    benchmark(lambda: cost_report(heddle, shop))


def test_warm_cutting_findings(benchmark: Callable[..., object], heddle: Assembly) -> None:
    """A part of the warm check."""
    benchmark(lambda: list(cut_findings(heddle)))


def test_first_nest_of_200_parts(benchmark: Callable[..., object]) -> None:
    """Goal: a whole nest, before any search, in a few seconds."""
    parts = two_hundred()
    assert sum(p.quantity for p in parts) == 200
    benchmark.pedantic(  # type: ignore[attr-defined]
        lambda: nest_parts(parts, [SHEET], SPACING, 0.0, 1, time.monotonic), rounds=3
    )


@pytest.mark.slow
def test_200_parts_in_30_seconds_against_shelves(capsys: pytest.CaptureFixture[str]) -> None:
    """Goal: within its budget, and denser than shelf packing by a factor that is printed."""
    parts = two_hundred()
    begin = time.monotonic()
    nest = nest_parts(parts, [SHEET], SPACING, BUDGET_S, 1, time.monotonic)
    seconds = time.monotonic() - begin
    assert independent_faults(nest) == []
    boxes = shelves(parts, SHEET.length, SHEET.width, SHEET.margin, SPACING)
    with capsys.disabled():
        print(f"\n200 parts: {seconds:.1f} s, {len(nest.layouts)} sheets, density {nest.density:.3f}, ", end="")
        print(f"shelves take {boxes / used_area(nest):.2f} times the area")
    assert seconds < BUDGET_S + 3
    assert boxes > 1.1 * used_area(nest)


@pytest.mark.slow
@pytest.mark.parametrize("kits", [2, 3])
def test_one_sheet_against_the_library(kits: int, capsys: pytest.CaptureFixture[str]) -> None:
    """Goal: at least as dense as the strip packer alone, as it comes, with the same parts and time."""
    parts = frame_parts(kits)
    search = Search(int(BUDGET_S), 1, workers=None)
    strip = pack_strip([(p, p.quantity) for p in parts], SHEET.width - 2 * SHEET.margin, SPACING, search)
    nest = nest_parts(parts, [SHEET], SPACING, BUDGET_S, 1, time.monotonic)
    assert strip is not None
    assert len(nest.layouts) == 1
    used = nest.layouts[0].used_length(nest.by_key) - SHEET.margin
    with capsys.disabled():
        print(f"\n{12 * kits} parts: {used:.1f} mm of the sheet, the strip packer alone {strip.length:.1f} mm")
    assert used <= strip.length


@pytest.mark.slow
def test_example_frames_against_shelves(heddle: Assembly, capsys: pytest.CaptureFixture[str]) -> None:
    """Plates and arms of Heddle, ten kits, each thickness."""
    for thickness in (2.0, 5.0):
        parts = [
            NestPart(name, finished.outline, 10 * finished.quantity, QUARTERS)
            for name, finished in heddle.parts.items()
            if finished.part.thickness_mm == thickness
        ]
        nest = nest_parts(parts, [SHEET], SPACING, 10.0, 1, time.monotonic)
        boxes = shelves(parts, SHEET.length, SHEET.width, SHEET.margin, SPACING)
        with capsys.disabled():
            print(f"\nHeddle {thickness:g} mm: density {nest.density:.3f}, shelves {boxes / used_area(nest):.2f}")
        assert boxes > used_area(nest)
