"""Nests and cut lengths as others see them: sheets read back by ezdxf, distances by shapely, lengths of chords."""

from __future__ import annotations

import math
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

import ezdxf
import ezdxf.path
import shapely

from platewright.app.load import load
from platewright.app.nest import nest
from platewright.fabrication.bit import Bit
from platewright.fabrication.cutting import CutTime, Pace, cut_time
from platewright.fabrication.plan import cut_plan
from platewright.geometry.loops import Circle, Loop, Outline, cut_length
from platewright.geometry.shapes import rectangle_loop
from platewright.io.shop_file import read_shop_file
from platewright.model.catalogue import load_catalogue
from platewright.study.nest_results import NestedSheet

__all__ = ["NESTS", "SheetRead", "sheets_of"]

ROOT = Path(__file__).parents[1]
SHOP = ROOT / "examples" / "shop" / "shop.toml"
_CHORD = 5e-4  # how far chords may be off a curve [mm]
_LOST = 2e-3  # what chords and single precision may take of a distance [mm]


class SheetRead:
    """One sheet of a nest as its drawing shows it: each piece a polygon with its openings, and the length of its cuts.

    Parameters
    ----------
    path : Path
        The DXF file.
    row : NestedSheet
        What the nest says of it.
    """

    def __init__(self, path: Path, row: NestedSheet) -> None:
        self.row = row
        loops: dict[str, list[list[tuple[float, float]]]] = {"CUT_OUTSIDE": [], "CUT_INSIDE": [], "HOLES": []}
        for entity in ezdxf.readfile(path).modelspace():
            if entity.dxf.layer in loops:
                points = ezdxf.path.make_path(entity).flattening(_CHORD)
                loops[entity.dxf.layer].append([(p.x, p.y) for p in points])
        outside = [shapely.Polygon(points) for points in loops["CUT_OUTSIDE"]]
        inside: list[list[list[tuple[float, float]]]] = [[] for _ in outside]
        for points in (*loops["CUT_INSIDE"], *loops["HOLES"]):
            around = [n for n, polygon in enumerate(outside) if polygon.contains(shapely.Polygon(points))]
            inside[min(around, key=lambda n: outside[n].area)].append(points)
        self.pieces = [shapely.Polygon(o.exterior, holes) for o, holes in zip(outside, inside, strict=True)]

    def apart(self, spacing: float) -> int:
        """Return how many pieces keep a spacing from all others."""
        return sum(
            all(one.distance(other) >= spacing - _LOST for other in self.pieces if other is not one)
            for one in self.pieces
        )

    def inside(self, clamps: list[tuple[float, float, float, float]], spacing: float) -> int:
        """Return how many pieces lie within the rim and clear of clamps."""
        m, row = self.row.margin_mm - _LOST, self.row
        free = shapely.box(m, m, row.length_mm - m, row.width_mm - m)
        held = [shapely.box(x, y, x + a, y + b) for x, y, a, b in clamps]
        return sum(
            free.covers(piece) and all(piece.distance(clamp) >= spacing - _LOST for clamp in held)
            for piece in self.pieces
        )


def sheets_of(frames: dict[Path, int], shop: Path, **keys: object) -> list[tuple[SheetRead, float]]:
    """Nest kits, write them, and return the sheets as they are read back, with the spacing of each."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "sheets"
        report = nest([*frames], [*frames.values()], out, shop, **{"seconds": 0, **keys})
        return [
            (SheetRead(out / f"{sheet.id}.dxf", sheet), row.spacing_mm) for row in report.groups for sheet in row.sheets
        ]


@cache
def _examples() -> list[tuple[SheetRead, float]]:
    names = {"heddle": 4, "bobbin": 6, "shuttle": 3}
    return sheets_of({ROOT / "examples" / f"{name}.toml": kits for name, kits in names.items()}, SHOP)


def _apart(kits: str) -> float:
    return float(sum(sheet.apart(spacing) for sheet, spacing in _examples()))


def _inside(kits: str) -> float:
    shop = read_shop_file(SHOP, load_catalogue())
    total = 0
    for sheet, spacing in _examples():
        wide = f"{sheet.row.length_mm:g}x{sheet.row.width_mm:g}"
        thickness = float(sheet.row.id.rpartition("mm_")[0].rpartition("_")[2])
        sold = [s for s in shop.sheet if s.thickness_mm == thickness and f"{s.length_mm:g}x{s.width_mm:g}" == wide]
        clamps = [(*c.at_mm, *c.size_mm) for s in sold[:1] for c in s.clamps]
        total += sheet.inside(clamps, spacing)
    return float(total)


def _as_long(kits: str) -> float:
    """Return how many pieces have contours, by the sum of their chords, as long as the outline of their part."""
    lengths = {
        (name, part): cut_length(finished.outline)
        for name in ("heddle", "bobbin", "shuttle")
        for part, finished in load(ROOT / "examples" / f"{name}.toml").assembly.parts.items()
    }
    total = 0
    for sheet, _ in _examples():
        wanted = sorted(lengths[p.frame, p.part] for p in sheet.row.pieces)
        found = sorted(piece.length for piece in sheet.pieces)
        total += sum(math.isclose(a, b, rel_tol=1e-3) for a, b in zip(wanted, found, strict=True))
    return float(total)


def _plate(field: str, a: float, b: float, slot: float, wide: float, r: float, d: float, t: float) -> float:
    """A plate a x b, a slot with round ends and a hole; a bit d in passes of 1 mm at 10 mm/s, 3 s a contour."""
    straight, half = (slot - wide) / 2, wide / 2
    corners = ((straight, -half, 1.0), (straight, half, 0.0), (-straight, half, 1.0), (-straight, -half, 0.0))
    outline = Outline(rectangle_loop(0, 0, a, b), (Loop(corners),), (Circle(a / 3, b / 3, r),))
    bit = Bit(d, d / 2 + 0.05, 1.25 * d, 8.0, 10.0, 1.0, 25_000.0)
    found: CutTime = cut_time(cut_plan(outline, bit, 0.05, 2.0), t, bit, Pace(3.0, 3.0))
    return float(getattr(found, field))


NESTS: dict[str, Callable[..., float]] = {
    "nest_apart": _apart,
    "nest_inside": _inside,
    "nest_as_long": _as_long,
    "cut_plate": _plate,
}
