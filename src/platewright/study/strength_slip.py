"""How the screws of a joint share its load, and whether clamped faces slip at full thrust."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.structure.slip import ALTERNATING, slip_safety
from platewright.study.strength_joints import Bolted
from platewright.study.strength_model import FrameModel
from platewright.study.strength_results import SlipRow
from platewright.study.tightening import tightening_of

__all__ = ["FACE_FRICTION", "slip_rows"]

Floats = NDArray[np.float64]

_STRUCK = 0.5  # a pair of plates with less than this share of the largest shear is not the struck one [-]
FACE_FRICTION = 0.15  # carbon plate on carbon plate, 0.1 to 0.3 (common practice, no source) [-]


def slip_rows(assembly: Assembly, model: FrameModel, flight: Floats, hit: Floats | None) -> tuple[SlipRow, ...]:
    """Return every joint whose plates lie face to face, least safety first.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Its model.
    flight : (n,) float
        Freedoms at full thrust.
    hit : (n,) float or None
        Freedoms under an edgewise hit on a tip, for the share of each screw.
    """
    joints = [j for j in model.bolted if np.allclose(j.near_face, j.spring.position)]
    across = {n: _across(j, hit)[0] for n, j in enumerate(joints)} if hit is not None else {}
    sums: dict[tuple[str, str], float] = {}
    for n, shear in across.items():
        sums[_pair(joints[n])] = sums.get(_pair(joints[n]), 0.0) + shear
    rows = []
    for n, joint in enumerate(joints):
        fits = [s for s in assembly.screws if s.line.name == joint.line.name]
        through = next((s for s in fits if joint.near in s.path and joint.far in s.path), None)
        if through is None:
            continue
        shear, tension = _across(joint, flight)
        clamp = tightening_of(through, assembly).preload
        total = sums.get(_pair(joint), 0.0)
        share = 100 * across[n] / total if total > _STRUCK * max(sums.values(), default=0.0) else None
        near, far = _pair(joint)
        safety = slip_safety(clamp, FACE_FRICTION, shear, tension)
        rows.append(SlipRow(joint.line.name, f"{near} on {far}", clamp, shear, safety, ALTERNATING, share))
    return tuple(sorted(rows, key=lambda r: r.safety))


def _pair(joint: Bolted) -> tuple[str, str]:
    near, far = joint.line.items[joint.near].instance, joint.line.items[joint.far].instance
    assert near is not None
    assert far is not None
    return near.name, far.name


def _across(joint: Bolted, freedoms: Floats) -> tuple[float, float]:
    """Return shear and tension of a joint [N]."""
    force = joint.spring.force(freedoms)[:3]
    tension = float(force @ joint.axis)
    return float(np.linalg.norm(force - tension * joint.axis)), tension
