"""Bare edges of boards beside carbon plates."""

from pathlib import Path

import pytest

from frames import equipment, findings, part, place, plate
from platewright.app.load import load
from platewright.fit.interference import prisms_of
from platewright.study.carbon_findings import beside_carbon

ROOT = Path(__file__).parents[3]
DESIGNS = sorted([*(ROOT / "examples").glob("*.toml"), *(ROOT / "tests" / "designs").glob("*.toml")])
SCREW, NUT = "screw M2 socket 12.9", "nut M2 hex"


def board(*under: str) -> str:
    return equipment("boards", {"fc": "fc_20"}, stack=[SCREW, "base", *under, "boards.fc", NUT])


def found(*pieces: str) -> list[tuple[str, str]]:
    return [(f.severity.value, f.where) for f in findings("carbon.pad", *pieces)]


def test_a_board_flat_on_carbon_fails_and_a_washer_under_it_warns() -> None:
    assert found(plate("base"), board()) == [("fail", "boards.fc")]
    assert found(plate("base"), board("washer M2")) == [("warn", "boards.fc")]
    assert found(plate("base"), board(*["washer M2"] * 5)) == []


def test_glass_fibre_does_not_conduct() -> None:
    glass = part("base", material="plate_g10") + place("base", "base")
    assert found(glass, board("washer M2")) == []


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
def test_boards_of_the_designs_keep_away(path: Path) -> None:
    frame = load(path).assembly
    assert [f for f in beside_carbon(frame, prisms_of(frame))[1] if f.code == "carbon.pad"] == []
