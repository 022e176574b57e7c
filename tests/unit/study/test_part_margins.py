"""Margins of a part's holes and plies against closed forms; what depends on the mesh."""

from __future__ import annotations

import math
from functools import cache

import pytest

from platewright.geometry.loops import Circle, Loop, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.model.catalogue import load_catalogue
from platewright.model.part_file import PartFile
from platewright.structure.failure import point_stress_factor
from platewright.study.part_results import CaseResult, PartStudy
from platewright.study.strength_part import part_strength

STRIP = Outline(rectangle_loop(40, 0, 80, 16), (), (Circle(8, 0, 1.6), Circle(72, 0, 1.6)))
PLY = {
    "e1_mpa": 70_000, "e2_mpa": 70_000, "g12_mpa": 5_000, "g13_mpa": 3_000, "g23_mpa": 3_000, "nu12": 0.1,
    "xt_mpa": 600, "xc_mpa": 500, "yt_mpa": 600, "yc_mpa": 500, "s12_mpa": 80,
}  # fmt: skip


@cache
def solved(
    force: tuple[float, float, float], material: str = "plate_woven_0_90", grain: float = 0.0, tie: str = "rigid"
) -> PartStudy:
    own = {} if material else {"ply": [PLY], "density_g_cm3": 1.55, "bearing_mpa": 400, "interlaminar_mpa": 50}
    file = PartFile.model_validate(
        {
            "format": 1,
            "modes": 0,
            "mesh_mm": 3,
            "part": {"material": material, "thickness_mm": 2, "grain_deg": grain, "polygons": [
                {"points_mm": [[0, -8], [80, -8], [80, 8], [0, 8]]}]},
            "hole": [{"id": "root", "at_mm": [8, 0]}, {"id": "tip", "at_mm": [72, 0], "head_mm": 6}],
            "hold": [{"holes": ["root"]}],
            "group": [{"id": "end", "holes": ["tip"], "tie": tie}],
            "case": [{"id": "pull", "loads": [{"group": "end", "force_n": force}]}],
            **own,
        }
    )  # fmt: skip
    return part_strength(file, STRIP, {"root": 0, "tip": 1}, load_catalogue(None))


def case(*args: object) -> CaseResult:
    return solved(*args).strength.cases[0]  # type: ignore[arg-type]


def modes(result: CaseResult, hole: str) -> dict[str, tuple[float | None, float | None, float]]:
    return {m.mode: (m.stress_mpa, m.strength_mpa, m.strength_ratio) for m in result.hole_margins if m.hole == hole}


def test_a_pull_bears_tears_and_shears_by_the_means_of_its_sections() -> None:
    """200 N along a strip of 16 x 2 mm with a hole of 3.2 mm, 8 mm from its end."""
    own = modes(case((200.0, 0.0, 0.0), ""), "tip")
    notch = point_stress_factor(1.6)
    assert own["bearing"] == pytest.approx((200 / 6.4, 400, 400 * 6.4 / 200))
    assert own["net tension"][:2] == pytest.approx((200 / 25.6, 600 * notch))
    assert own["shear-out"][:2] == pytest.approx((200 / (2 * 7.2 * 2), 80))
    assert "pull-through" not in own


def test_strength_follows_the_direction_of_the_sheet() -> None:
    """Pulled at 45 degrees to its fibres the ply fails in shear: s_12 = s / 2, as E_x = 17 722 MPa strains it."""
    own = modes(case((200.0, 0.0, 0.0), "plate_woven_0_90", 45.0), "tip")
    assert own["net tension"][1] == pytest.approx(2 * 75 * point_stress_factor(1.6), rel=1e-6)
    straight = modes(case((200.0, 0.0, 0.0), "plate_woven_0_90", 0.0), "tip")
    assert straight["net tension"][1] == pytest.approx(600 * point_stress_factor(1.6), rel=1e-6)


def test_a_force_across_pulls_the_head_through() -> None:
    """A head of 6 mm where it is given, 1.7 holes where it is not."""
    result = case((0.0, 0.0, 30.0), "")
    tip, root = modes(result, "tip"), modes(result, "root")
    assert tip["pull-through"] == pytest.approx((30 / (math.pi * 6 * 2), 50, 50 * math.pi * 12 / 30))
    assert root["pull-through"][0] == pytest.approx(30 / (math.pi * 1.7 * 3.2 * 2))
    assert "bearing" not in tip


@pytest.mark.parametrize("tie", ["rigid", "flexible"])
def test_every_hole_is_judged_at_the_characteristic_distance(tie: str) -> None:
    result = case((0.0, 0.0, 30.0), "plate_woven_0_90", 0.0, tie)
    least = min(m.strength_ratio for m in result.margins)
    for hole in ("root", "tip"):
        (own,) = [m for m in result.hole_margins if (m.hole, m.mode) == (hole, "characteristic distance")]
        low, high = own.band or (0, 0)
        assert low < own.strength_ratio < high
        assert own.strength_ratio >= least * 0.999
    root = next(m for m in result.hole_margins if (m.hole, m.mode) == ("root", "characteristic distance"))
    assert root.strength_ratio == pytest.approx(least, rel=0.1)


def test_holes_balance_what_loads_them() -> None:
    result = case((20.0, 5.0, 30.0))
    held, loaded = result.hole_forces
    assert loaded.force_n == pytest.approx((20, 5, 30), abs=1e-6)
    assert held.force_n == pytest.approx((-20, -5, -30), abs=1e-6)


def test_every_printed_quantity_stands_on_two_meshes() -> None:
    strength = solved((20.0, 5.0, 30.0)).strength
    rows = {(r.quantity, r.of): r for r in strength.meshes}
    assert strength.n_triangles_of_finer_mesh > 1.3 * strength.n_triangles
    for margin in strength.cases[0].hole_margins:
        assert rows[margin.mode, margin.hole].value == margin.strength_ratio
    for quantity, of in (("displacement", "end"), ("force", "root"), ("bearing", "tip"), ("strength ratio", "Tsai-Wu")):
        row = rows[quantity, of]
        assert row.value_on_finer_mesh != row.value or quantity == "force"
        assert row.change_pct < (0.5 if quantity != "strength ratio" else 5.0)
    # The stress at a clamped rim is the one that grows.
    assert max(strength.meshes, key=lambda r: r.change_pct).quantity == "stress"


def test_sharp_inside_corners_are_judged_off_the_corner() -> None:
    """A notch of two sharp corners: where the load fails first is no nearer than the characteristic distance."""
    points = [(0, -8), (80, -8), (80, 8), (46, 8), (46, 2), (40, 2), (40, 8), (0, 8)]
    notched = Outline(Loop(tuple((float(x), float(y), 0.0) for x, y in points)), (), STRIP.circles)
    file = PartFile.model_validate(
        {
            "format": 1, "modes": 0, "mesh_mm": 2.0,
            "part": {"material": "plate_woven_0_90", "thickness_mm": 2, "polygons": [{"points_mm": points}]},
            "hole": [{"id": "root", "at_mm": [8, 0]}, {"id": "tip", "at_mm": [72, 0]}],
            "hold": [{"holes": ["root"]}], "group": [{"id": "end", "holes": ["tip"]}],
            "case": [{"id": "pull", "loads": [{"group": "end", "force_n": [100, 0, 0]}]}],
        }
    )  # fmt: skip
    strength = part_strength(file, notched, {"root": 0, "tip": 1}, load_catalogue(None)).strength
    for margin in strength.cases[0].margins:
        away = min(math.dist((margin.x_mm, margin.y_mm), corner) for corner in ((46, 2), (40, 2)))
        assert 1.0 < away < 1.2
    changes = [r.change_pct for r in strength.meshes if r.quantity == "strength ratio"]
    assert max(changes) < 5
