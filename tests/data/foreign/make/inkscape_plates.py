"""Plates drawn as SVG and written as DXF by Inkscape: run `/usr/bin/python3 inkscape_plates.py` in this folder.

Debian packages inkscape 1.2.2-2+deb12u1, python3-lxml, python3-numpy. The plates are invented. Areas come from the
function with which Inkscape measures paths (`inkex.bezier.csparea`), on the curves it writes: Bezier curves for R14,
their chords for R12, which it flattens to 0.1. They and the counts of openings go to ../inkscape.csv.
"""

import csv
import subprocess
import sys
from pathlib import Path

EXTENSIONS = "/usr/share/inkscape/extensions"
sys.path.insert(0, EXTENSIONS)

import inkex  # noqa: E402
from inkex.bezier import csparea, cspsubdiv  # noqa: E402

HERE = Path.cwd()
OUT = HERE.parent


def areas(svg: Path, flatness: float | None) -> tuple[float, int]:
    """Area of the cut layer in mm^2, by even-odd nesting of one plate, and its openings."""
    document = inkex.load_svg(str(svg)).getroot()
    to_mm = document.scale / inkex.units.convert_unit("1mm", "px")
    parts = []
    layer = next(g for g in document.iter("{*}g") if g.get(inkex.addNS("label", "inkscape")) == "cut")
    for node in layer.iter():
        if isinstance(node, inkex.ShapeElement) and not isinstance(node, inkex.Group):
            for sub in node.path.to_superpath().transform(node.composed_transform()):
                one = inkex.paths.CubicSuperPath([sub])
                if flatness is not None:
                    cspsubdiv(one, flatness)
                    one = inkex.paths.CubicSuperPath([[[p, p, p] for _, p, _ in one[0]]])
                parts.append(abs(csparea(one)) * to_mm**2)
    outer = max(parts)
    return outer - (sum(parts) - outer), len(parts) - 1


def written(svg: str, dxf: str, extension: str, *options: str) -> None:
    result = subprocess.run(
        [sys.executable, f"{EXTENSIONS}/{extension}", *options, f"--output={OUT / dxf}", str(HERE / svg)],
        cwd=EXTENSIONS,
        check=True,
        capture_output=True,
    )
    assert not result.stderr, result.stderr


R14, R12 = "dxf_outlines.py", "dxf12_outlines.py"
POLYLINES = ("--POLY=true", "--unit_from_document=true")
made = [
    ("paddle.svg", "paddle_inkscape_r14.dxf", R14, None, POLYLINES),
    ("paddle.svg", "paddle_lines_inkscape_r14.dxf", R14, None, ("--POLY=false", "--unit_from_document=true")),
    (
        "paddle.svg",
        "paddle_inches_inkscape_r14.dxf",
        R14,
        None,
        (*POLYLINES[:1], "--unit_from_document=false", "--units=in"),
    ),
    ("paths.svg", "paddle_inkscape_r12.dxf", R12, 0.1, ()),
    ("crate.svg", "crate_inkscape_r14.dxf", R14, None, POLYLINES),
]
# The writer of R12 knows paths only.
to_paths = "select-all:all;object-to-path;export-filename:paths.svg;export-plain-svg:false;export-do"
subprocess.run(["inkscape", "paddle.svg", f"--actions={to_paths}"], cwd=HERE, check=True, capture_output=True)
rows = []
for svg, dxf, extension, flatness, options in made:
    written(svg, dxf, extension, *options)
    area, holes = areas(HERE / svg, flatness)
    rows.append([dxf, f"{area:.9f}", 1, holes])
(HERE / "paths.svg").unlink()
with (OUT / "inkscape.csv").open("w", newline="") as file:
    csv.writer(file, lineterminator="\n").writerows([["file", "area_mm2", "plates", "holes"], *rows])
