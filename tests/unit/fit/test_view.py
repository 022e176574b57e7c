"""What a camera sees, against areas known in closed form and against the figures of the picture."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely

from platewright.app.load import load
from platewright.assembly.bodies import Body, Cylinder, Frame3, Solid
from platewright.fit.interference import prisms_of
from platewright.fit.solids import prisms_of_body
from platewright.fit.view import Eye, eyes_of, seen_by
from platewright.io.drawing.view import figures_in_view

ROOT = Path(__file__).parents[3]
FORWARD = np.array([[0.0, -1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]])  # looks along +x, the frame's left is left


def eye(projection: str, half_deg: float = 60.0) -> Eye:
    return Eye("camera", "", np.zeros(3), FORWARD, math.radians(half_deg), 0.0, 0.75, projection)


@pytest.mark.parametrize("projection", ["fisheye", "rectilinear"])
def test_points_come_back_from_the_image(projection: str) -> None:
    x, y = np.array([0.0, 0.3, -0.9, 1.0]), np.array([0.0, 0.4, -0.2, 0.75])
    ways = eye(projection).ways(x, y)
    assert np.linalg.norm(ways, axis=1) == pytest.approx(1)
    assert eye(projection).project(50 * ways) == pytest.approx(np.stack([x, y], -1))


@pytest.mark.parametrize("projection", ["fisheye", "rectilinear"])
@pytest.mark.parametrize("columns", [200])
def test_a_round_target_takes_the_share_of_its_circle(projection: str, columns: int) -> None:
    heddle = load(ROOT / "examples" / "heddle.toml").assembly
    target = Body("target", "plate", "", Frame3((50, 0, 0), (0, 1, 0), (0, 0, 1)), (Solid(Cylinder(25.0, 1.0)),), "t")
    only = replace(heddle, bodies=(target,))
    seen = seen_by(only, {"target": prisms_of_body(target)}, eye(projection), columns)
    half = math.atan(25 / 50)  # of the angle that the disc fills
    full = eye(projection).half_angle
    radius = half / full if projection == "fisheye" else math.tan(half) / math.tan(full)
    want = math.pi * radius**2 / (4 * eye(projection).aspect)
    assert seen.body == pytest.approx(want, rel=5e-3)
    assert seen.propellers == 0
    assert seen.either == seen.body


@pytest.mark.parametrize("name", ["shuttle", "heddle"])
@pytest.mark.parametrize("projection", ["fisheye", "rectilinear"])
def test_rays_and_drawn_figures_give_one_share(name: str, projection: str) -> None:
    """Two ways to one number: counted rays, and areas of projected outlines."""
    frame = load(ROOT / "examples" / f"{name}.toml").assembly
    for own in eyes_of(frame):
        chosen = own.as_seen(projection)
        seen = seen_by(frame, prisms_of(frame), chosen, 240)
        drawn = shapely.union_all([figure for _, figure in figures_in_view(frame.bodies, chosen)])
        assert seen.either == pytest.approx(drawn.area / (4 * chosen.aspect), abs=2e-3)


def test_the_coarse_grid_of_the_check_is_near_the_fine_one() -> None:
    frame = load(ROOT / "examples" / "shuttle.toml").assembly
    for own in eyes_of(frame):
        coarse, fine = (seen_by(frame, prisms_of(frame), own, n).either for n in (48, 400))
        assert coarse == pytest.approx(fine, abs=5e-3)


def test_an_eye_looks_where_its_camera_is_tilted() -> None:
    (own,) = eyes_of(load(ROOT / "examples" / "heddle.toml").assembly)
    assert math.degrees(math.asin(own.axes[2, 2])) == pytest.approx(25)
    assert own.axes[0] == pytest.approx((0, -1, 0))
    assert np.cross(own.axes[0], own.axes[1]) == pytest.approx(-own.axes[2])


def test_both_halves_of_a_mirrored_frame_are_seen_alike() -> None:
    frame = load(ROOT / "examples" / "shuttle.toml").assembly
    figures = [f for b, f in figures_in_view(frame.bodies, eyes_of(frame)[1]) if b.role == "propeller"]
    whole = shapely.union_all(figures)
    left, right = (shapely.intersection(whole, shapely.box(*box)).area for box in ((-1, -1, 0, 1), (0, -1, 1, 1)))
    assert left == pytest.approx(right, rel=1e-3)
