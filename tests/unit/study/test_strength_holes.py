"""Holes between plates: a plate in the middle takes both faces' forces, shear-out runs to the edge ahead."""

from __future__ import annotations

import numpy as np
import pytest

from frames import PARTS, assembled, column, plate
from platewright.study.strength_holes import hole_uses
from platewright.study.strength_joints import TYPICAL
from platewright.study.strength_model import frame_model

SCREW = "screw M3 socket 12.9"


def uses(first: float, second: float, aside: float = 0.0) -> dict[str, float]:
    """Return what holes of three plates on one line use, with a force across each of the two faces, one also aside."""
    assembly = assembled(
        plate("base", 2, (30, 30)),
        plate("middle", 4, (30, 30)),
        plate("top", 2, (30, 30)),
        column("pin", SCREW, "base", "middle", "top", "nut M3 hex", at=[[9, 0], [-9, 0]], mirror=""),
    )
    model = frame_model(assembly, TYPICAL, PARTS)
    two = [joint for joint in model.bolted if joint.line.name == "pin.1"]
    assert len(two) == 2
    six = [np.array([[force, y, 50.0, 0.0, 0.0, 0.0]]) for force, y in ((first, aside), (second, 0.0))]
    found = hole_uses(assembly, model, list(zip(two, six, strict=True)), "typical")
    return {what: float(share[0]) for what, _, share in found}


def test_a_plate_in_the_middle_takes_what_both_faces_put_on_it() -> None:
    even = uses(100.0, -100.0)
    assert even["bearing of pin.1 in middle"] == pytest.approx(even["bearing of pin.1 in base"])  # 200 N by 4 mm
    through = uses(100.0, 100.0)
    assert through["bearing of pin.1 in middle"] == pytest.approx(0, abs=1e-12)
    assert through["bearing of pin.1 in top"] == pytest.approx(through["bearing of pin.1 in base"])


def test_shear_out_runs_to_the_edge_ahead() -> None:
    """6 mm from the hole's centre to the edge at x = 15, 15 mm to those beside: F / (2 (e - d/4) t) by the strength."""
    ahead = uses(100.0, 0.0)["shear-out of pin.1 in base"]
    assert ahead == pytest.approx(2 * uses(-100.0, 0.0)["shear-out of pin.1 in middle"])
    stress = 100.0 / (2 * (6.0 - 3.2 / 4) * 2.0)
    assert 40.0 < stress / ahead < 400.0  # in-plane shear strengths of carbon plate, MPa
    # the other way the next opening is the far hole's rim, 18 mm off less its radius
    back = uses(-100.0, 0.0)["shear-out of pin.1 in base"]
    assert ahead / back == pytest.approx((18.0 - 1.6 - 0.8) / (6.0 - 0.8))
    beside = uses(0.0, 0.0, aside=100.0)["shear-out of pin.1 in base"]
    assert ahead / beside == pytest.approx((15.0 - 0.8) / (6.0 - 0.8))


def test_pull_along_the_screw_bears_on_no_hole() -> None:
    assert max(uses(0.0, 0.0).values()) == pytest.approx(0, abs=1e-12)
