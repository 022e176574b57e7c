"""Plates that do not fit: links whose two sides are drawn together by more or less than they stand apart.

Before tightening a link stands open by a misfit e; tightened it holds K (stretch - e). Nothing from outside acts, so
the forces of all links are in balance. Units mm, N.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.structure.frame import Frame
from platewright.structure.points import Spring

__all__ = ["Misfit", "drawn_together", "force_of"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Misfit:
    """A link and how far its far side must come to meet the near one.

    Parameters
    ----------
    spring : Spring
        The link.
    offset : (3,) float
        Of the far side against the near one, from as drawn to without force [mm].
    """

    spring: Spring
    offset: Floats


def drawn_together(frame: Frame, misfits: Sequence[Misfit], sliding: Sequence[tuple[Spring, Floats]] = ()) -> Floats:
    """Return the freedoms of a frame whose misfits are drawn together, (n,).

    Parameters
    ----------
    frame : Frame
        With its links.
    misfits : sequence of Misfit
        Of some of them.
    sliding : sequence of (Spring, (3,) float)
        Links that let their sides slide along a direction, as a tab does in its slot.
    """
    free = frame.twin()
    for spring, way in sliding:
        near, far = spring.near.at(spring.position), spring.far.at(spring.position)
        columns = np.concatenate([near.columns, far.columns])
        apart = way @ np.concatenate([-near.matrix[:3], far.matrix[:3]], axis=1)
        stiff = float(way @ spring.stiffness[:3, :3] @ way)
        np.add.at(free.stiffness, np.ix_(columns, columns), -stiff * np.outer(apart, apart))
    load = np.zeros(len(frame.stiffness))
    for misfit in misfits:
        spring = misfit.spring
        six = spring.stiffness @ np.concatenate([misfit.offset, np.zeros(3)])
        load += frame.load(spring.far, six, spring.position) - frame.load(spring.near, six, spring.position)
    found: Floats = free.solve(load[None]).freedoms[0]
    return found


def force_of(spring: Spring, freedoms: Floats, misfits: Sequence[Misfit]) -> Floats:
    """Return force and moment that a link puts on its near side once drawn together, (6,) [N], [N mm].

    Parameters
    ----------
    spring : Spring
        The link.
    freedoms : (n,) float
        From `drawn_together`.
    misfits : sequence of Misfit
        As given there.
    """
    offset = sum((m.offset for m in misfits if m.spring is spring), np.zeros(3))
    found: Floats = (spring.stretch(freedoms) - np.concatenate([offset, np.zeros(3)])) @ spring.stiffness
    return found
