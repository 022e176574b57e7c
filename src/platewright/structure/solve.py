"""Displacements, reactions and vibration of a held plate.

Ties are eliminated (T^t K T) and fixed freedoms struck out before the equations are factorised.
Units mm, N, MPa, t, s, rad.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array, csc_array

from platewright.structure.factor import Factor, lowest_modes
from platewright.structure.plate import PlateSystem
from platewright.structure.supports import Tie, check_held, tie_weights
from platewright.structure.ties import MOTIONS_OF, check_ties, nodal_rows, tie_transform

__all__ = ["Modes", "PlateModel", "Solution"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]
Sparse = Any


@dataclass(frozen=True)
class Solution:
    """What loads do to a plate.

    Parameters
    ----------
    displacements : (n_cases, n_nodes, 5) float
        u, v, w [mm], beta_x, beta_y [rad].
    ties : (n_cases, n_ties, 6) float
        Motions of the tied points [mm], [rad].
    reactions : (n_cases, n_nodes, 5) float
        Forces of the supports on fixed freedoms, zero elsewhere [N], [N mm].
    tie_forces : (n_cases, n_nodes, 5) float
        Forces of ties on their nodes, zero elsewhere [N], [N mm].
    residual, condition : float
        Largest backward error; estimated condition of the scaled equations [-].
    """

    displacements: Floats
    ties: Floats
    reactions: Floats
    tie_forces: Floats
    residual: float
    condition: float


@dataclass(frozen=True)
class Modes:
    """Free vibration, lowest first.

    Parameters
    ----------
    frequencies : (n_modes,) float
        Per second [Hz].
    shapes : (n_modes, n_nodes, 5) float
        Scaled to a modal mass of 1 t.
    ties : (n_modes, n_ties, 6) float
        Motions of the tied points.
    """

    frequencies: Floats
    shapes: Floats
    ties: Floats


@dataclass(frozen=True)
class _Held:
    """One system with its ties eliminated and its fixed freedoms struck out."""

    system: PlateSystem
    transform: Sparse
    factor: Factor
    mass: Sparse


class PlateModel:
    """A plate with its supports and ties, factorised once for any number of loads.

    Parameters
    ----------
    nodes : (n_nodes, 2) float
        Of the mesh [mm].
    systems : tuple of PlateSystem
        Equations of the free plate.
    fixed : (n_nodes, 5) bool
        Freedoms that are fixed.
    ties : sequence of Tie
        Points that carry loads or masses.

    Raises
    ------
    StructureError
        If the plate is free to move, two ties share a node, or a tie's node is fixed.
    """

    def __init__(self, nodes: Floats, systems: tuple[PlateSystem, ...], fixed: Bools, ties: Sequence[Tie] = ()) -> None:
        check_held(nodes, fixed)
        check_ties(fixed, ties)
        self.nodes, self.fixed, self.ties = nodes, fixed, tuple(ties)
        self._shares = [None if t.rigid else tie_weights(nodes[t.nodes], t.centre) for t in self.ties]
        self._held = [self._reduce(s) for s in systems]

    @property
    def condition(self) -> float:
        """Worst estimated condition of the scaled equations [-]."""
        return max(h.factor.condition for h in self._held)

    def solve(self, loads: Floats | None = None, tie_loads: Floats | None = None) -> Solution:
        """Return displacements and reactions.

        Parameters
        ----------
        loads : (n_cases, n_nodes, 5) float or None
            On the nodes [N], [N mm].
        tie_loads : (n_cases, n_ties, 6) float or None
            On the tied points [N], [N mm].

        Raises
        ------
        ValueError
            If no loads are given.
        StructureError
            If the equations cannot be solved well.
        """
        if loads is None and tie_loads is None:
            msg = "give loads on nodes or on ties."
            raise ValueError(msg)
        n_cases = len(loads if loads is not None else tie_loads if tie_loads is not None else ())
        nodal = np.zeros((n_cases, len(self.nodes), 5))
        if loads is not None:
            nodal += loads
        on_ties = np.zeros((n_cases, len(self.ties), 6)) if tie_loads is None else np.asarray(tie_loads, dtype=float)
        reactions, tie_forces, displacements = (np.zeros_like(nodal) for _ in range(3))
        rigid = np.zeros(len(self.nodes), dtype=np.bool_)
        for n, (tie, share) in enumerate(zip(self.ties, self._shares, strict=True)):
            if share is None:
                rigid[tie.nodes] = True
            else:
                tie_forces[:, tie.nodes, :3] += np.einsum("ci,ink->cnk", on_ties[:, n], share)
        nodal += tie_forces
        motions = np.zeros((n_cases, len(self.ties), 6))
        for held in self._held:
            own = held.system.freedoms
            right = nodal[:, :, own].reshape(n_cases, -1).T
            reduced = held.transform.T @ right
            reduced[self._tie_rows(held)] += self._rigid_loads(on_ties, own)
            found = held.factor.solve(reduced)
            whole = held.transform @ found
            displacements[:, :, own] = whole.T.reshape(n_cases, len(self.nodes), len(own))
            left = (held.system.stiffness @ whole - right).T.reshape(n_cases, len(self.nodes), len(own))
            reactions[:, :, own] = np.where(self.fixed[:, own], left, 0.0)
            tie_forces[:, :, own] += np.where(rigid[:, None], left, 0.0)
            self._put_motions(motions, held, found)
        self._follow(motions, displacements)
        residual = max(h.factor.worst_residual for h in self._held)
        return Solution(displacements, motions, reactions, tie_forces, residual, self.condition)

    def modes(self, count: int) -> Modes:
        """Return the lowest modes of free vibration.

        Parameters
        ----------
        count : int
            How many.

        Raises
        ------
        StructureError
            If fewer than `count` can be found.
        """
        n = len(self.nodes)
        frequencies, shapes, motions = [], [], []
        for held in self._held:
            squares, vectors = lowest_modes(held.factor, held.mass, count)
            whole = (held.transform @ vectors).T.reshape(count, n, len(held.system.freedoms))
            shape, motion = np.zeros((count, n, 5)), np.zeros((count, len(self.ties), 6))
            shape[:, :, held.system.freedoms] = whole
            self._put_motions(motion, held, vectors)
            self._follow(motion, shape)
            frequencies.append(np.sqrt(squares) / (2 * math.pi))
            shapes.append(shape)
            motions.append(motion)
        every = np.concatenate(frequencies)
        order = np.argsort(every, kind="stable")[:count]
        return Modes(every[order], np.concatenate(shapes)[order], np.concatenate(motions)[order])

    def _reduce(self, system: PlateSystem) -> _Held:
        transform = tie_transform(self.nodes, self.fixed, [t for t in self.ties if t.rigid], system.freedoms)
        stiffness = (transform.T @ system.stiffness @ transform).tocsc()
        mass = (transform.T @ system.mass @ transform).tocsc()
        name = {2: "plate in its plane", 3: "plate in bending", 5: "plate"}[len(system.freedoms)]
        return _Held(system, transform, Factor(stiffness, name), mass + self._masses(system.freedoms, transform))

    def _masses(self, freedoms: tuple[int, ...], transform: Sparse) -> Sparse:
        """Return the masses on ties, in the reduced freedoms."""
        motions = MOTIONS_OF[freedoms]
        n_rigid = sum(t.rigid for t in self.ties)
        n = transform.shape[1]
        at = n - n_rigid * len(motions)
        total = csc_array((n, n))
        for tie, share in zip(self.ties, self._shares, strict=True):
            own = tie.mass_matrix[np.ix_(motions, motions)]
            if share is None:
                rows = at + np.arange(len(motions))
                at += len(motions)
                index = np.meshgrid(rows, rows, indexing="ij")
                total = total + coo_array((own.ravel(), (index[0].ravel(), index[1].ravel())), shape=(n, n)).tocsc()
            elif tie.mass > 0:
                picked = nodal_rows(share[motions, :, :], tie.nodes, freedoms, len(self.nodes)) @ transform
                total = total + picked.T @ csc_array(own) @ picked
        return total

    def _tie_rows(self, held: _Held) -> slice:
        n = held.transform.shape[1]
        return slice(n - sum(t.rigid for t in self.ties) * len(MOTIONS_OF[held.system.freedoms]), n)

    def _rigid_loads(self, on_ties: Floats, freedoms: tuple[int, ...]) -> Floats:
        rigid = [n for n, t in enumerate(self.ties) if t.rigid]
        chosen = on_ties[:, rigid][:, :, list(MOTIONS_OF[freedoms])]
        return chosen.reshape(len(on_ties), -1).T

    def _put_motions(self, motions: Floats, held: _Held, found: Floats) -> None:
        own = MOTIONS_OF[held.system.freedoms]
        rigid = [n for n, t in enumerate(self.ties) if t.rigid]
        if rigid:
            values = found[self._tie_rows(held)].T.reshape(len(motions), len(rigid), len(own))
            for place, tie in enumerate(rigid):
                motions[:, tie, own] = values[:, place]

    def _follow(self, motions: Floats, displacements: Floats) -> None:
        for n, (tie, share) in enumerate(zip(self.ties, self._shares, strict=True)):
            if share is not None:
                motions[:, n] = np.einsum("ink,cnk->ci", share, displacements[:, tie.nodes, :3])
