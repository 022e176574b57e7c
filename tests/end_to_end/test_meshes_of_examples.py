"""Every part can be meshed when a thickness moves levels, and with them tabs, reliefs and slots, by any amount."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest

from platewright.app.load import load
from platewright.geometry.loops import outline_area
from platewright.structure.mesh import mesh_outline

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize(
    ("frame", "part", "thicknesses"),
    [
        ("heddle", "arm", np.arange(3.0, 6.6, 0.25)),
        ("heddle", "cheek", (3.0, 6.5)),
        ("shuttle", "arm", (3.0, 5.25, 6.5)),
        ("bobbin", "cheek", (3.0, 5.25)),
    ],
)
def test_parts_are_meshed_at_any_thickness(
    frame: str, part: str, thicknesses: tuple[float, ...], tmp_path: Path
) -> None:
    shutil.copytree(EXAMPLES, tmp_path / "examples")
    meshed = set()
    for thickness in thicknesses:
        path = tmp_path / "frame.toml"
        own = f'[[part]]\nid = "{part}"\nthickness_mm = {thickness:g}\n'
        path.write_text(f'format = 1\ninclude = ["examples/{frame}.toml"]\n{own}', encoding="utf-8")
        for finished in load(path, None, tmp_path / "cache").assembly.parts.values():
            outline = finished.outline
            if outline not in meshed:
                meshed.add(outline)
                mesh = mesh_outline(outline, max(3.5, finished.part.thickness_mm))
                assert mesh.quality.area == pytest.approx(outline_area(outline), rel=3e-4)
                assert mesh.quality.least_jacobian > 0.2
