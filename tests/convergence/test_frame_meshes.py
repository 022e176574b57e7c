"""What `platewright strength` prints does not depend on its mesh: frames at their own mesh and at one of 0.6 of it.

Tolerances: 4 % of frequencies (3.2 % measured, a mode of Shuttle's), 3 % of margins (2 %), 13 % of energies, which go
with the square and rest, where a plate fails, on slopes near the end of a slot (12 %). Each number of the finer mesh
lies in the band that the usual mesh prints.
"""

from pathlib import Path

import pytest

from platewright.app.load import load
from platewright.study.strength import frame_strength

EXAMPLES = Path(__file__).parents[2] / "examples"
pytestmark = pytest.mark.slow


@pytest.fixture(scope="module", params=["bobbin", "heddle", "shuttle"])
def rows(request):
    assembly = load(EXAMPLES / f"{request.param}.toml").assembly
    return [frame_strength(assembly, size_factor=factor).strength for factor in (1.0, 0.6)]


def test_frequencies(rows):
    coarse, fine = ([mode.frequency_hz for mode in r.modes[:12]] for r in rows)
    assert coarse == pytest.approx(fine, rel=0.04)


def test_margins_and_energies(rows):
    for coarse, fine in zip(*(r.cases for r in rows), strict=True):
        if coarse.margin is not None:
            assert coarse.margin == pytest.approx(fine.margin, rel=0.03), coarse.case
            assert coarse.margin_band[0] <= fine.margin <= coarse.margin_band[1], coarse.case
        else:
            assert coarse.energy_j == pytest.approx(fine.energy_j, rel=0.13), coarse.case
            assert coarse.energy_band_j[0] <= fine.energy_j <= coarse.energy_band_j[1], coarse.case
