"""Drawings damaged at random: each is read, or refused in one sentence; nothing else is raised, not even a warning."""

import random
from pathlib import Path

import pytest

from platewright.app.read import ReadOptions, read
from platewright.foundation.errors import DrawingError
from platewright.model.catalogue import load_catalogue

FILES = sorted((Path(__file__).parents[2] / "data" / "foreign").glob("*_r1?.dxf"))
WORDS = (
    b"",
    b"0",
    b"-1",
    b"1e308",
    b"nan",
    b"inf",
    b"LINE",
    b"SPLINE",
    b"70",
    b"\xff\xfe",
    b"9" * 20,
    b"ENDSEC",
    b"INSERT",
)
CATALOGUE = load_catalogue()


def damaged(chance, content):
    lines = content.split(b"\n")
    for _ in range(chance.choice((1, 1, 2, 5))):
        k, other = chance.randrange(len(lines)), chance.randrange(len(lines))
        kind = chance.random()
        if kind < 0.4:
            lines[k] = chance.choice(WORDS)
        elif kind < 0.6:
            del lines[k]
        elif kind < 0.8:
            lines.insert(k, lines[other])
        else:
            lines[k], lines[other] = lines[other], lines[k]
    return b"\n".join(lines)


@pytest.mark.parametrize("seed", range(120))
def test_damage_gives_a_reading_or_a_sentence(tmp_path, seed):
    chance = random.Random(seed)
    path = tmp_path / "given.dxf"
    path.write_bytes(damaged(chance, chance.choice(FILES).read_bytes()))
    said = "given.dxf"
    try:
        assert read(path, ReadOptions(units="mm"), CATALOGUE).plates
    except DrawingError as error:
        said = str(error)
    assert "given.dxf" in said
    assert "\n" not in said
