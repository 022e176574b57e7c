"""The prisms of all bodies of a frame, with the boxes of the round and the straight ones found all at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from platewright.assembly.bodies import Body
from platewright.fit.solids import CHORD, Prism, boxes_of_round, prisms_of_body
from platewright.geometry.curves import Floats

__all__ = ["prisms_of_bodies"]


def prisms_of_bodies(bodies: Iterable[Body]) -> dict[str, tuple[Prism, ...]]:
    """Return the prisms of bodies by name, with the boxes of round ones and of blocks, which are most."""
    made = {body.name: prisms_of_body(body) for body in bodies}
    every = [p for prisms in made.values() for p in prisms]
    for found, boxes_of in (
        ([p for p in every if p.section.radius], boxes_of_round),
        ([p for p in every if p.section.half_sides], _boxes_of_blocks),
    ):
        for prism, box in zip(found, boxes_of(found) if found else (), strict=True):
            prism.__dict__["box"] = box  # where the cached property keeps it
    return made


def _boxes_of_blocks(prisms: Sequence[Prism]) -> Floats:
    """Return the boxes of prisms over rectangles, (n, 2, 3), with room of `CHORD` where they stand askew [mm]."""
    origin, axes = np.array([p.origin for p in prisms]), np.array([p.axes for p in prisms])
    low, high = np.array([(p.low, p.high) for p in prisms]).T[..., None]
    half = np.array([p.section.half_sides for p in prisms])[..., None]
    askew = np.abs(axes).max(axis=2).min(axis=1) < 1.0
    reach = (np.abs(axes[:, :2]) * half).sum(axis=1) + np.where(askew, CHORD, 0.0)[:, None]
    ends = np.stack([origin + low * axes[:, 2], origin + high * axes[:, 2]])
    boxes: Floats = np.stack([ends.min(axis=0) - reach, ends.max(axis=0) + reach], axis=1)
    return boxes
