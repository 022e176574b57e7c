"""Every part of the example frames and of the small frames for tests can be meshed."""

import math
from pathlib import Path

import pytest

from platewright.app.load import load
from platewright.geometry.loops import outline_area
from platewright.structure.mesh import mesh_outline

ROOT = Path(__file__).parents[2]
FRAMES = sorted(path for folder in ("examples", "tests/designs") for path in (ROOT / folder).glob("*.toml"))


@pytest.fixture(scope="module")
def cache(tmp_path_factory):
    return tmp_path_factory.mktemp("outlines")


@pytest.mark.parametrize("path", FRAMES, ids=lambda path: path.stem)
def test_parts_are_meshed_without_turned_triangles(path, cache):
    for name, part in load(path, cache=cache).assembly.parts.items():
        quality = mesh_outline(part.outline, 2 * part.part.thickness_mm).quality
        assert quality.least_jacobian > 0.2, name
        assert math.degrees(quality.least_angle) > 12, name
        assert quality.area == pytest.approx(outline_area(part.outline), rel=1e-4), name
