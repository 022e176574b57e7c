"""One part alone: of every drawing from other programs, and of every part of the example frames."""

from __future__ import annotations

import math
import shutil
from pathlib import Path

import pytest
import shapely

from platewright.app.load import load
from platewright.app.part import study_part
from platewright.app.read import ReadOptions, read, write_part
from platewright.cli import main
from platewright.foundation.errors import DrawingError
from platewright.geometry.loops import Outline, to_shapely
from platewright.io.foreign_drawing.stanza_writer import PartFacts
from platewright.model.catalogue import load_catalogue
from platewright.model.part_file import PartFile
from platewright.study.part_results import PartStrength
from platewright.study.strength_part import part_strength

ROOT = Path(__file__).parents[2]
FOREIGN = sorted((ROOT / "tests" / "data" / "foreign").glob("*.dxf"))
FRAMES = sorted(path for folder in ("examples", "tests/designs") for path in (ROOT / folder).glob("*.toml"))
FACTS = PartFacts("plate", "other", "plate_woven_0_90", 3.0, "clean.dxf", "a drawing")
PLY = "e1_mpa = 60000\ne2_mpa = 60000\ng12_mpa = 4000\ng13_mpa = 3000\ng23_mpa = 3000\nnu12 = 0.05"


def sound(strength: PartStrength, force: float) -> None:
    """It moves, its supports bear the load, its equations are solved well, and another mesh agrees."""
    (case,) = strength.cases
    assert case.largest_displacement_mm > 0
    assert sum(r.force_n[2] for r in case.reactions) == pytest.approx(-force, rel=1e-6)
    assert strength.residual < 1e-9
    frequencies = [m.frequency_hz for m in strength.modes]
    assert 0 < frequencies[0] <= frequencies[1]
    changes = {r.of: r.change_pct for r in strength.meshes if r.quantity in ("largest displacement", "frequency")}
    assert max(changes.values()) < 2


def far_apart(outline: Outline) -> list[tuple[float, float]]:
    """Two places well within the plate, as far apart as may be."""
    inner = to_shapely(outline).buffer(-3.5)
    x0, _, x1, _ = inner.bounds
    ends = [inner.intersection(shapely.box(*box)) for box in ((x0, -1e3, x0 + 0.5, 1e3), (x1 - 0.5, -1e3, x1, 1e3))]
    return [(p.x, p.y) for p in (end.representative_point() for end in ends)]


@pytest.mark.parametrize("path", FOREIGN, ids=lambda path: path.stem)
def test_foreign_drawings_are_solved(path: Path, tmp_path: Path) -> None:
    """Read, written as a clean drawing, held and loaded at two holes of its own."""
    try:
        reading = read(path)
    except DrawingError:  # it states no units
        reading = read(path, ReadOptions(units="mm"))
    for plate in (p for p in reading.plates if p.seen is not None):
        write_part(reading, plate.number, FACTS, tmp_path / "clean.dxf")
        (x0, y0), (x1, y1) = far_apart(plate.plate.outline)
        (tmp_path / "plate.toml").write_text(
            f"""format = 1
modes = 2
density_g_cm3 = 1.55
[part]
thickness_mm = 3
drawing = "clean.dxf"
[[ply]]
{PLY}
[[hole]]
id = "a"
at_mm = [{x0}, {y0}]
diameter_mm = 2.5
[[hole]]
id = "b"
at_mm = [{x1}, {y1}]
diameter_mm = 2.5
[[hold]]
holes = ["a"]
[[group]]
id = "end"
holes = ["b"]
[[case]]
id = "lift"
loads = [{{ group = "end", force_n = [0, 0, 5] }}]
"""
        )
        sound(study_part(tmp_path / "plate.toml", cache=tmp_path / "cache").strength, 5.0)


def test_a_foreign_drawing_with_units_serves_as_it_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shutil.copy(ROOT / "tests" / "data" / "foreign" / "tray_freecad_r14.dxf", tmp_path)
    (tmp_path / "tray.toml").write_text(
        """format = 1
modes = 2
[part]
thickness_mm = 3
material = "plate_woven_qi"
drawing = "tray_freecad_r14.dxf"
[[hole]]
id = "motor"
at_mm = [-52.30, -52.99]
[[hole]]
id = "other"
at_mm = [-57.99, -46.70]
[[hold]]
holes = ["motor", "other"]
"""
    )
    assert main(["part", str(tmp_path / "tray.toml")]) == 0
    assert "Frequencies" in capsys.readouterr().out


@pytest.mark.parametrize(
    "path",
    [pytest.param(path, id=path.stem, marks=() if path.stem == "twin_plate" else pytest.mark.slow) for path in FRAMES],
)
def test_parts_of_the_frames_are_solved(path: Path, tmp_path: Path) -> None:
    catalogue = load_catalogue()
    for name, finished in load(path, cache=tmp_path).assembly.parts.items():
        circles = finished.outline.circles
        assert len(circles) > 1, name
        first = min(range(len(circles)), key=lambda n: circles[n].x)
        last = max(
            range(len(circles)),
            key=lambda n: math.dist((circles[n].x, circles[n].y), (circles[first].x, circles[first].y)),
        )
        file = PartFile.model_validate(
            {
                "format": 1,
                "modes": 2,
                "mesh_mm": 2.5 * finished.part.thickness_mm,
                "density_g_cm3": 1.55,
                "part": {"id": name, "thickness_mm": finished.part.thickness_mm},
                "ply": [dict(line.split(" = ") for line in PLY.splitlines())],
                "hole": [{"id": h, "at_mm": [circles[n].x, circles[n].y]} for h, n in (("a", first), ("b", last))],
                "hold": [{"holes": ["a"]}],
                "group": [{"id": "end", "holes": ["b"]}],
                "case": [{"id": "lift", "loads": [{"group": "end", "force_n": [0, 0, 5]}]}],
            }
        )
        sound(part_strength(file, finished.outline, {"a": first, "b": last}, catalogue).strength, 5.0)
