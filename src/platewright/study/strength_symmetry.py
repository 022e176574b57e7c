"""Which rotors of a frame are mirror images of one another, so that a blow need only strike one of them."""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from platewright.study.strength_model import FrameModel

__all__ = ["like_rotors"]

Floats = NDArray[np.float64]

_SAME_PLACE = 0.2  # between a mirrored bolt line or seat and the real one [mm]
_SAME_CENTRE = 2.0  # between the mirrored centre of gravity and the real one (no source) [mm]
_SAME_INERTIA = 0.05  # between mirrored and real moments and products of inertia (no source) [-]
_SAME_STIFFNESS = 0.01  # between a mirrored joint and the real one [-]


def like_rotors(model: FrameModel) -> tuple[tuple[int, ...], ...]:
    """Return groups of rotors that are images of one another, each in rising order.

    Parameters
    ----------
    model : FrameModel
        Of the frame.

    Notes
    -----
    The frame is turned over in y, in x and in both. It counts as its own image where every link between plates falls on
    one of the same stiffness within 0.2 mm, the centre of gravity on itself within 2 mm, and moments of inertia agree
    within 5 %.
    """
    seats = {r: p.position for r, p in model.rotor_points.items()}
    group = {r: r for r in seats}
    for sx, sy in ((1, -1), (-1, 1), (-1, -1)):
        flip = np.array([sx, sy, 1.0])
        if not _is_image(model, flip):
            continue
        for a, b in itertools.combinations(seats, 2):
            if np.linalg.norm(seats[a] * flip - seats[b]) < _SAME_PLACE:
                first, second = sorted((group[a], group[b]))
                group = {r: first if g == second else g for r, g in group.items()}
    return tuple(tuple(r for r in group if group[r] == g) for g in sorted(set(group.values())))


def _is_image(model: FrameModel, flip: Floats) -> bool:
    frame = model.frame
    modal = frame.rigid_mass
    centre = np.array([modal[1, 5], -modal[0, 5], modal[0, 4]]) / modal[0, 0]
    if np.linalg.norm(centre * flip - centre) > _SAME_CENTRE:
        return False
    # a mirror turns moments as an axial vector
    turns = flip * np.prod(flip)
    moments = modal[3:, 3:]
    if np.abs(moments * np.outer(turns, turns) - moments).max() > _SAME_INERTIA * float(np.diag(moments).min()):
        return False
    # between its two plates: a mirror may swap them
    places = np.array([(b.spring.near.position + b.spring.far.position) / 2 for b in model.bolted]).reshape(-1, 3)
    if not len(places):
        return True
    away, other = cKDTree(places).query(places * flip)
    if away.max() > _SAME_PLACE:
        return False
    stiffness = np.array([np.trace(b.spring.stiffness[:3, :3]) for b in model.bolted])
    return bool(np.allclose(stiffness, stiffness[other], rtol=_SAME_STIFFNESS))
