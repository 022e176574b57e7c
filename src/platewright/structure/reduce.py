"""A plate reduced to the points where it is bolted, with a few modes of its inside.

Every point is a hole or a group of holes whose rims are rigid; it has six motions at the mid-plane, U, V, W [mm] and
turns about x, y, z [rad], in this order, points one after another. After them come the amplitudes of the lowest modes
with all points held, scaled to a modal mass of 1 t. Units mm, N, MPa, t, s, rad.

Reference: R. R. Craig, M. C. C. Bampton, Coupling of substructures for dynamic analyses, AIAA Journal 6 (1968)
1313-1319.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.errors import StructureError
from platewright.geometry.loops import Outline
from platewright.structure.factor import Factor, lowest_modes
from platewright.structure.laminate import Laminate, Section, section_of
from platewright.structure.mesh import Mesh, mesh_outline
from platewright.structure.mesh_boundary import GROWTH
from platewright.structure.plate import PlateSystem, plate_systems
from platewright.structure.supports import Tie, rigid_motion, tie_group
from platewright.structure.ties import MOTIONS_OF, check_ties, tie_transform

__all__ = ["USUAL_MODES", "ReducedPlate", "Reductions", "reduce_plate"]

Floats = NDArray[np.float64]
Sparse = Any

USUAL_MODES = 6  # of bending and of membrane: keeps six frequencies of an arm within 0.3 % [-]
Groups = tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class ReducedPlate:
    """A plate as its points see it.

    Parameters
    ----------
    mesh : Mesh
        The triangles it was made from.
    section : Section
        Of the plate, in the mesh's axes.
    points : (n_points, 2) float
        Centres of the groups of holes [mm].
    stiffness, mass : (n, n) float
        n = 6 n_points + n_modes [N/mm], [t] and what turns make of them.
    basis : (n_nodes, 5, n) float
        Displacements of the nodes per freedom.
    n_modes : int
        Amplitudes after the motions of the points.
    """

    mesh: Mesh
    section: Section
    points: Floats
    stiffness: Floats
    mass: Floats
    basis: Floats
    n_modes: int

    @property
    def n_points(self) -> int:
        """How many points."""
        return len(self.points)

    def displacements(self, amplitudes: Floats) -> Floats:
        """Return u, v, w [mm], beta_x, beta_y [rad] of all nodes, (n_cases, n_nodes, 5).

        Parameters
        ----------
        amplitudes : (n_cases, n) float
            Motions of the points, then amplitudes of the modes.
        """
        found: Floats = np.einsum("nkf,cf->cnk", self.basis, amplitudes)
        return found

    def loads(self, nodal: Floats) -> Floats:
        """Return what nodal forces do to the freedoms, (n_cases, n).

        Parameters
        ----------
        nodal : (n_cases, n_nodes, 5) float
            Forces [N], moments [N mm].
        """
        found: Floats = np.einsum("nkf,cnk->cf", self.basis, nodal)
        return found

    def rigid(self, centre: tuple[float, float] = (0.0, 0.0)) -> Floats:
        """Return the freedoms of the six rigid motions about a point, (n, 6).

        Parameters
        ----------
        centre : (float, float)
            The point, in the part's axes [mm].
        """
        follow = rigid_motion(self.points, centre)
        turn_z = np.zeros((self.n_points, 1, 6))
        turn_z[:, 0, 5] = 1.0
        # beta_x turns about y, beta_y against the turn about x.
        six = np.concatenate([follow[:, :3], -follow[:, 4:5], follow[:, 3:4], turn_z], axis=1)
        return np.concatenate([six.reshape(-1, 6), np.zeros((self.n_modes, 6))])


class Reductions:
    """Reduces each plate once, whatever its name.

    Examples
    --------
    >>> from platewright.geometry.loops import Circle
    >>> from platewright.geometry.shapes import rectangle_loop
    >>> from platewright.structure.ply import isotropic_ply
    >>> from platewright.structure.stacks import single_stack
    >>> bar = Outline(rectangle_loop(0, 0, 40, 12), (), (Circle(-14, 0, 1.6), Circle(14, 0, 1.6)))
    >>> plate, kept = single_stack(isotropic_ply(70_000, 0.3), 2.0, 2.7e-9), Reductions()
    >>> first = kept.get(bar, plate, 0.0, ((0,), (1,)), 4.0)
    >>> first.stiffness.shape, kept.get(bar, plate, 0.0, ((0,), (1,)), 4.0) is first
    ((24, 24), True)
    """

    def __init__(self) -> None:
        self._kept: dict[tuple[Outline, Laminate, float, Groups, float, int, float], ReducedPlate] = {}

    def get(
        self,
        outline: Outline,
        laminate: Laminate,
        turn: float,
        groups: Groups,
        size: float,
        modes: int = USUAL_MODES,
        growth: float = GROWTH,
    ) -> ReducedPlate:
        """Return a reduced plate.

        Parameters
        ----------
        outline : Outline
            The plate, in its own axes [mm].
        laminate : Laminate
            Its plies.
        turn : float
            From the part's +x to the sheet's direction 1 [rad].
        groups : tuple of tuple of int
            Numbers of the round holes that move together, one tuple for each point.
        size : float
            Of the mesh [mm].
        modes : int
            Of bending, and as many of membrane.
        growth : float
            Of the mesh, as in `mesh_outline` [-].

        Raises
        ------
        StructureError
            If no mesh can be made, or a group names a hole twice or one that is not there.
        """
        key = (outline, laminate, turn, groups, size, modes, growth)
        found = self._kept.get(key)
        if found is None:
            mesh = mesh_outline(outline, size, growth=growth)
            centres = [(c.x, c.y) for c in outline.circles]
            found = reduce_plate(mesh, section_of(laminate, turn), group_ties(mesh, centres, groups), modes)
            self._kept[key] = found
        return found


def group_ties(mesh: Mesh, centres: Sequence[tuple[float, float]], groups: Groups) -> tuple[Tie, ...]:
    """Return a rigid tie for each group of holes.

    Parameters
    ----------
    mesh : Mesh
        The triangles.
    centres : sequence of (float, float)
        Of all round holes [mm].
    groups : tuple of tuple of int
        Numbers of holes.

    Raises
    ------
    StructureError
        If a hole is not there, or a group is empty.
    """
    for number in (n for group in groups for n in group):
        if not 0 <= number < len(centres):
            msg = f"a group names hole {number}, but the part's round holes are 0 to {len(centres) - 1}."
            raise StructureError(msg)
    if not groups or not all(groups):
        msg = "a reduced plate needs at least one group of at least one hole."
        raise StructureError(msg)
    return tuple(tie_group([mesh.rims[n] for n in group], [centres[n] for n in group]) for group in groups)


def reduce_plate(mesh: Mesh, section: Section, ties: Sequence[Tie], modes: int = USUAL_MODES) -> ReducedPlate:
    """Reduce a plate to its tied points.

    Parameters
    ----------
    mesh : Mesh
        The triangles.
    section : Section
        Of the plate.
    ties : sequence of Tie
        Rigid ones; masses at them are left to the frame.
    modes : int
        Kept of bending, and as many of membrane; where they are coupled, twice as many of both together.

    Raises
    ------
    StructureError
        If ties share nodes, or the equations cannot be solved.
    """
    none = np.zeros((len(mesh.nodes), 5), dtype=np.bool_)
    check_ties(none, ties)
    n_points = len(ties)
    systems = plate_systems(mesh, section)
    count = 2 * modes // len(systems)
    total = 6 * n_points + 2 * modes
    stiffness, mass = np.zeros((total, total)), np.zeros((total, total))
    basis = np.zeros((len(mesh.nodes), 5, total))
    for n, system in enumerate(systems):
        motions = MOTIONS_OF[system.freedoms]
        own = (6 * np.arange(n_points)[:, None] + np.array(motions)).ravel()
        own = np.append(own, 6 * n_points + count * n + np.arange(count))
        transform = tie_transform(mesh.nodes, none, ties, system.freedoms)
        k, m, shapes = _reduced(system, transform, n_points * len(motions), count)
        stiffness[np.ix_(own, own)], mass[np.ix_(own, own)] = k, m
        whole = (transform @ shapes).reshape(len(mesh.nodes), len(system.freedoms), len(own))
        for place, freedom in enumerate(system.freedoms):
            basis[:, freedom, own] = whole[:, place]
    points = np.array([tie.centre for tie in ties])
    return ReducedPlate(mesh, section, points, stiffness, mass, basis, 2 * modes)


def _reduced(system: PlateSystem, transform: Sparse, n_tied: int, modes: int) -> tuple[Floats, Floats, Floats]:
    """Return stiffness, mass and basis of one system: static shapes of the points, then modes with all points held."""
    t = transform
    k = (t.T @ system.stiffness @ t).tocsc()
    m = (t.T @ system.mass @ t).tocsc()
    n = k.shape[0] - n_tied
    factor = Factor(k[:n, :n], "plate with all its points held")
    static = -factor.solve(k[:n, n:].toarray())
    squares, vectors = lowest_modes(factor, m[:n, :n], modes)
    shapes = np.block([[static, vectors], [np.eye(n_tied), np.zeros((n_tied, modes))]])
    boundary = k[n:, n:].toarray() + k[n:, :n] @ static
    stiffness = np.zeros((n_tied + modes, n_tied + modes))
    stiffness[:n_tied, :n_tied] = (boundary + boundary.T) / 2
    stiffness[np.arange(n_tied, len(stiffness)), np.arange(n_tied, len(stiffness))] = squares
    mass = shapes.T @ (m @ shapes)
    return stiffness, (mass + mass.T) / 2, shapes
