"""Ties eliminated from the equations of a plate: all freedoms from those that are kept.

Units mm, rad.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array

from platewright.foundation.errors import StructureError
from platewright.structure.supports import Tie, rigid_motion

__all__ = ["MOTIONS_OF", "check_ties", "nodal_rows", "tie_transform"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]
Sparse = Any

# Which of the six motions each set of freedoms follows.
MOTIONS_OF = {(0, 1): (0, 1, 5), (2, 3, 4): (2, 3, 4), (0, 1, 2, 3, 4): (0, 1, 2, 3, 4, 5)}


def check_ties(fixed: Bools, ties: Sequence[Tie]) -> None:
    """Refuse ties that share a node, or whose nodes are fixed.

    Raises
    ------
    StructureError
        With what is wrong.
    """
    seen = np.zeros(len(fixed), dtype=np.intp)
    for tie in ties:
        if tie.rigid:
            seen[tie.nodes] += 1
        if fixed[tie.nodes].any() and tie.rigid:
            msg = "a hole is held and loaded at once; load other holes than those that hold the part."
            raise StructureError(msg)
    if (seen > 1).any():
        msg = "a hole belongs to two groups; name each hole in one group only."
        raise StructureError(msg)


def tie_transform(nodes: Floats, fixed: Bools, ties: Sequence[Tie], freedoms: tuple[int, ...]) -> Sparse:
    """Return the matrix from kept freedoms, then motions of rigid ties, to all freedoms of a system."""
    k, own, motions = len(freedoms), list(freedoms), list(MOTIONS_OF[freedoms])
    free = ~fixed[:, own]
    for tie in ties:
        free[tie.nodes] = False
    kept = np.flatnonzero(free)
    rows, columns, values = [kept], [np.arange(len(kept))], [np.ones(len(kept))]
    at = len(kept)
    for tie in ties:
        follow = rigid_motion(nodes[tie.nodes], tie.centre)[:, own][:, :, motions]
        n, _, m = follow.shape
        rows.append(np.broadcast_to((tie.nodes[:, None] * k + np.arange(k))[:, :, None], (n, k, m)).ravel())
        columns.append(np.broadcast_to(at + np.arange(m), (n, k, m)).ravel())
        values.append(follow.ravel())
        at += m
    shape = (len(nodes) * k, at)
    return coo_array((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=shape).tocsc()


def nodal_rows(share: Floats, nodes: Ints, freedoms: tuple[int, ...], n_nodes: int) -> Sparse:
    """Return the rows of a flexible tie in all freedoms of a system."""
    k = len(freedoms)
    rows, columns, values = [], [], []
    for place, freedom in enumerate(freedoms):
        if freedom < 3:
            for m in range(len(share)):
                rows.append(np.full(len(nodes), m))
                columns.append(nodes * k + place)
                values.append(share[m, :, freedom])
    shape = (len(share), n_nodes * k)
    return coo_array((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=shape).tocsc()
