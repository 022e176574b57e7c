"""How long a warm fit takes beyond geometry and columns, as a whole and by subject.

Fit is all that a check says of space: solids, clearances, interference, cameras, batteries, boards, wires, antennas,
carbon, service and webs. What is warm: imports, the catalogue, outlines of parts, and what is kept by the content of a
part's or a catalogue record's own shape (its edges, chords, area, webs, probes), wherever it stands. What is not: every
round gets a newly assembled frame in which the battery lies elsewhere, so nothing about places, distances, rays or
screws is known before. Assembly, masses and the order of building come before the clock starts; they have rounds of
their own. The clock is that of the process, one core's work, so that others on the machine count little. Nothing here
asserts an absolute time; ratios are compared within one run, by the least of many rounds.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from platewright.app.load import Loaded, load, reassemble
from platewright.assembly.assemble import Assembly
from platewright.assembly.mass import MassItem, mass_items
from platewright.assembly.order import AssemblyOrder, assembly_order
from platewright.fit.interference import prisms_of
from platewright.fit.interior import Interior, interior_of
from platewright.fit.solids import Prism
from platewright.study.battery_findings import batteries
from platewright.study.board_findings import boards
from platewright.study.camera_findings import cameras, views
from platewright.study.check import check_assembly
from platewright.study.clearance_findings import clearances
from platewright.study.service_findings import service_rows
from platewright.study.signal_findings import signals
from platewright.study.web_findings import web_findings

ROOT = Path(__file__).resolve().parents[1]
ROUNDS = 30

pytestmark = pytest.mark.benchmark(timer=time.process_time)


@dataclass(frozen=True)
class Given:
    """A frame with what the fit of a check is handed, and what its subjects share."""

    assembly: Assembly
    order: AssemblyOrder
    items: tuple[MassItem, ...]
    prisms: dict[str, tuple[Prism, ...]]
    interior: Interior


SUBJECTS: dict[str, Callable[[Given], object]] = {
    "solids": lambda g: prisms_of(g.assembly),
    "interior": lambda g: interior_of(g.assembly, g.prisms),
    "clearances": lambda g: clearances(g.assembly, g.prisms, g.interior),
    "cameras": lambda g: cameras(g.assembly, g.prisms),
    "views": lambda g: views(g.assembly, g.prisms),
    "batteries": lambda g: batteries(g.assembly, g.prisms, g.interior.packs, g.items),
    "boards": lambda g: boards(g.assembly, g.prisms, g.interior),
    "signals": lambda g: signals(g.assembly, g.prisms, g.interior),
    "service": lambda g: service_rows(g.assembly, g.order.covered, prisms=g.prisms),
    "webs": lambda g: list(web_findings(g.assembly)),
}


class Frames:
    """One frame after another, each assembled anew with its battery a little farther forward."""

    def __init__(self, loaded: Loaded) -> None:
        self._loaded = loaded
        self._steps = itertools.count(1)

    def moved(self) -> Assembly:
        """Return the next frame."""
        design, step = self._loaded.assembly.design, 0.01 * next(self._steps)
        equipment = tuple(
            e.model_copy(update={"at_mm": (float(e.at_mm[0]) + step, *e.at_mm[1:])}) if e.id == "battery" else e
            for e in design.equipment
        )
        return reassemble(self._loaded, design.model_copy(update={"equipment": equipment}))

    def given(self) -> tuple[tuple[Given], dict[str, Any]]:
        """Return the next frame as the argument of one round."""
        assembly = self.moved()
        prisms = prisms_of(assembly)
        interior = interior_of(assembly, prisms)
        return (Given(assembly, assembly_order(assembly), mass_items(assembly), prisms, interior),), {}


def fit(given: Given) -> int:
    """Do all of the fit, as the check does; nothing of what the subjects share is known."""
    prisms = prisms_of(given.assembly)
    fresh = Given(given.assembly, given.order, given.items, prisms, interior_of(given.assembly, prisms))
    return len([SUBJECTS[name](fresh) for name in SUBJECTS if name not in ("solids", "interior")])


@pytest.fixture(scope="module")
def frames(tmp_path_factory: pytest.TempPathFactory) -> Frames:
    return Frames(load(ROOT / "examples" / "heddle.toml", cache=tmp_path_factory.mktemp("outlines")))


def test_warm_fit(benchmark: Any, frames: Frames) -> None:
    """Goal: 50 ms."""
    benchmark.pedantic(fit, setup=frames.given, rounds=ROUNDS, warmup_rounds=2)


@pytest.mark.parametrize("subject", SUBJECTS)
def test_warm_subject(benchmark: Any, frames: Frames, subject: str) -> None:
    """Share of the goal of 50 ms; boxes of solids are found by the first subject that asks, here outside the clock."""
    benchmark.pedantic(SUBJECTS[subject], setup=frames.given, rounds=ROUNDS, warmup_rounds=2)


def test_warm_assembly(benchmark: Any, frames: Frames) -> None:
    """With the next: goal 150 ms for assembly, masses, stack-ups and fit."""
    benchmark.pedantic(frames.moved, rounds=ROUNDS, warmup_rounds=2)


def test_warm_check(benchmark: Any, frames: Frames) -> None:
    benchmark.pedantic(check_assembly, setup=lambda: ((frames.moved(),), {}), rounds=ROUNDS, warmup_rounds=2)


def test_a_moved_battery_is_computed_anew(frames: Frames) -> None:
    """What is kept by content gives no old answer: a pack that moves moves in the rows."""
    one, other = (clearances(g.assembly, g.prisms, g.interior)[0] for g in (frames.given()[0][0] for _ in range(2)))
    packs = [{row.other: row.distance_mm for row in report.pairs} for report in (one, other)]
    assert packs[0] != packs[1]


def test_a_frame_of_the_same_places_takes_as_long_as_a_moved_one(frames: Frames) -> None:
    """If places were remembered, the same frame again would be many times faster; it may be 3 times at most."""
    again = frames.given()[0][0]
    same: list[float] = []
    moved: list[float] = []
    for _ in range(8):
        next_one = frames.given()[0][0]
        for given, times in ((again, same), (next_one, moved)):
            start = time.process_time()
            fit(given)
            times.append(time.process_time() - start)
    assert min(moved) <= 3 * min(same)
