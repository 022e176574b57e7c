"""Notches of a part: those of its outline, its sharp inside corners, its bolted holes."""

from __future__ import annotations

from collections.abc import Iterable

from platewright.fit.webs import inside_corners
from platewright.geometry.loops import Outline
from platewright.structure.failure import SHARP
from platewright.structure.notches import Notches, notches_of

__all__ = ["part_notches"]


def part_notches(outline: Outline, bolted: Iterable[int]) -> Notches:
    """Return the notches of a part.

    Parameters
    ----------
    outline : Outline
        As cut [mm].
    bolted : iterable of int
        Numbers of its bolted holes.
    """
    sharp = [(c.x, c.y) for c in inside_corners(outline, SHARP)]
    return notches_of(outline, sharp, [outline.circles[n] for n in bolted])
