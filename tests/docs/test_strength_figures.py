"""Figures of strength in the theory pages are those that are computed now."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from frames import PARTS
from platewright.app.load import load
from platewright.study.belief_results import Belief, ScrewChoice
from platewright.study.strength import frame_strength
from platewright.study.strength_beliefs import belief_rows

ROOT = Path(__file__).parents[2]
FRAMES = ("bobbin", "heddle", "shuttle")


def figures(page: str, pattern: str) -> list[str]:
    """Return the figures that a pattern finds in a page of the theory, its lines as one."""
    text = " ".join((ROOT / "docs" / "theory" / page).read_text(encoding="utf-8").split())
    found = re.search(pattern, text)
    assert found is not None, f"{page} no longer says '{pattern}'"
    return list(found.groups())


def agrees(written: str, value: float) -> bool:
    """Whether a figure is a value rounded as it is written, give or take half of its last digit more."""
    last = 10.0 ** -len(written.partition(".")[2])
    return abs(float(written) - value) <= last


@cache
def beliefs(frame: str) -> tuple[tuple[ScrewChoice, ...], tuple[Belief, ...]]:
    return belief_rows(load(ROOT / "examples" / f"{frame}.toml").assembly, PARTS)


def belief(frame: str, word: str) -> Belief:
    return next(b for b in beliefs(frame)[1] if word in b.belief)


def test_bending_by_shear_of_the_examples() -> None:
    written = figures(
        "screws_strength.md",
        r"([\d.]+) times as much as shear does on Bobbin, ([\d.]+) times on Heddle and ([\d.]+) times on Shuttle",
    )
    for frame, figure in zip(FRAMES, written, strict=True):
        assert agrees(figure, belief(frame, "shear hurts").value), frame


def test_aluminium_outlasts_by_what_is_written() -> None:
    written = figures(
        "screws_strength.md",
        r"outlasts what breaks first by ([\d.]+) on Bobbin, ([\d.]+) on Heddle and ([\d.]+) on Shuttle",
    )
    for frame, figure in zip(FRAMES, written, strict=True):
        aluminium = next(c for c in beliefs(frame)[0] if c.material == "aluminium-7075")
        assert agrees(figure, aluminium.times_later), frame
        assert aluminium.breaks_first == ("with some joints" if frame == "shuttle" else "no")
        assert next(c for c in beliefs(frame)[0] if c.material == "titanium-5").breaks_first == "no"


def test_the_brace_of_shuttle_does_what_is_written() -> None:
    screws, tips = figures("screws_strength.md", r"arm screws carry (\d+) % more and its tips give way (\d+) % more")
    found = re.search(r"carry ([+-]\d+) %.*give way ([+-]\d+) %", belief("shuttle", "brace").words)
    assert found is not None
    assert agrees(screws, float(found[1]))
    assert agrees(tips, float(found[2]))


def test_slow_energies_by_those_in_time_on_heddle() -> None:
    strength = frame_strength(load(ROOT / "examples" / "heddle.toml").assembly, cache=PARTS, in_time=True).strength
    slow = {row.case: row.energy_j or 0.0 for row in strength.cases}
    by = {row.case: slow[row.case] / row.energy_j for row in strength.strikes if row.case != "gate post"}
    low, high = figures("impact.md", r"slow energies lie between ([\d.]+) and ([\d.]+) times those in time")
    assert min(by.values()) == pytest.approx(float(low), rel=0.05)  # of meshes that differ between machines
    assert max(by.values()) == pytest.approx(float(high), rel=0.05)
    assert sorted(by, key=lambda case: by[case])[-1] == "nose hit"
    assert min(by, key=lambda case: by[case]).startswith(("tip along", "tip oblique"))
