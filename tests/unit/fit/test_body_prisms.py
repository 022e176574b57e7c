"""Boxes of many prisms at once against those of each alone."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platewright.assembly.bodies import Body, Box, Cylinder, Frame3, Hexagon, Shape, Solid
from platewright.fit.body_prisms import prisms_of_bodies
from platewright.fit.solids import prism_of

C, S = math.cos(0.4), math.sin(0.4)
FRAMES = (Frame3((1, 2, 3)), Frame3((1, 2, 3), (C, S, 0), (-S, C, 0)), Frame3((1, 2, 3), (0, C, S), (0, -S, C)))


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("shape", [Box(8, 6, 2), Cylinder(3, 10), Cylinder(3, 10, 1), Hexagon(5, 4)])
def test_boxes_found_at_once_are_those_of_each_alone(frame: Frame3, shape: Shape) -> None:
    bodies = [Body(name, "", "", frame, (Solid(shape, offset),), "") for name, offset in (("a", 0.0), ("b", -3.0))]
    made = prisms_of_bodies(bodies)
    for name, offset in (("a", 0.0), ("b", -3.0)):
        np.testing.assert_allclose(made[name][0].box, prism_of(shape, frame, offset).box, atol=1e-12)
