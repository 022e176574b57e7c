"""Laminated plates against an independent implementation.

Reference: the Python package `pyfe3d` 0.11 (S. G. P. Castro), four-node shell elements Quad4 with transverse shear, an
extra of the tests only. It is used where it is right: rectangular meshes of laminates without coupling. Its shear
factor is set to ours, 5/6; its linear elements are compared on two meshes and extrapolated, error of order 2.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from pyfe3d import DOF, DOUBLE, INT, Quad4, Quad4Data, Quad4Probe
from pyfe3d.shellprop_utils import laminated_plate
from scipy.sparse import coo_array
from scipy.sparse.linalg import eigsh, spsolve

from plates import near, rectangle
from platewright.structure.laminate import Laminate, Ply, section_of
from platewright.structure.plate import plate_systems, pressure_load
from platewright.structure.ply import PlyMaterial
from platewright.structure.solve import PlateModel
from platewright.structure.supports import fixed_freedoms

LENGTH, WIDTH, DENSITY, PRESSURE = 60.0, 40.0, 1.55e-9, 1e-3
STACKS = {
    "fabric 0/45 in turn": ((70_000.0, 70_000.0, 0.10, 5_000.0, 3_000.0, 3_000.0), (0, 45, 0, 45, 45, 0, 45, 0), 0.4),
    "tape 30/-30/90, thick": ((135_000.0, 9_000.0, 0.30, 5_000.0, 5_000.0, 3_000.0), (30, -30, 90, 90, -30, 30), 1.0),
}


def theirs(ply: tuple[float, ...], angles: tuple[int, ...], thickness: float, n: int) -> np.ndarray:
    """Deflection of the middle under pressure and three frequencies of the clamped plate, n elements across."""
    prop = laminated_plate(stack=list(angles), plyt=thickness, laminaprop=ply, rho=DENSITY, shear_correction="constant")
    nx, ny = n * 3 // 2 + 1, n + 1
    x, y = np.meshgrid(np.linspace(0, LENGTH, nx), np.linspace(0, WIDTH, ny), indexing="ij")
    nodes = np.column_stack([x.ravel(), y.ravel(), np.zeros(nx * ny)])
    number = np.arange(nx * ny).reshape(nx, ny)
    quads = np.stack([number[:-1, :-1], number[1:, :-1], number[1:, 1:], number[:-1, 1:]], axis=-1).reshape(-1, 4)
    data, probe = Quad4Data(), Quad4Probe()
    stiff = [np.zeros(data.KC0_SPARSE_SIZE * len(quads), dtype=t) for t in (INT, INT, DOUBLE)]
    heavy = [np.zeros(data.M_SPARSE_SIZE * len(quads), dtype=t) for t in (INT, INT, DOUBLE)]
    flat = nodes.ravel().copy()
    for k, quad in enumerate(quads.tolist()):
        element = Quad4(probe)
        element.n1, element.n2, element.n3, element.n4 = quad
        element.c1, element.c2, element.c3, element.c4 = (DOF * node for node in quad)
        element.init_k_KC0, element.init_k_M = k * data.KC0_SPARSE_SIZE, k * data.M_SPARSE_SIZE
        element.update_rotation_matrix(flat)
        element.update_probe_xe(flat)
        element.update_KC0(*stiff, prop)
        element.update_M(*heavy, prop)
    size = DOF * len(nodes)
    stiffness, mass = (coo_array((v, (r, c)), shape=(size, size)).tocsc() for r, c, v in (stiff, heavy))
    edge = (x == 0) | (x == LENGTH) | (y == 0) | (y == WIDTH)
    free = np.ones((len(nodes), DOF), dtype=bool)
    free[edge.ravel()] = False
    own = np.flatnonzero(free.ravel())
    k, m = stiffness[own][:, own], mass[own][:, own]
    area = np.full((nx, ny), LENGTH * WIDTH / (nx - 1) / (ny - 1))
    load = np.zeros((len(nodes), DOF))
    load[:, 2] = PRESSURE * area.ravel()
    moved = np.zeros(size)
    moved[own] = spsolve(k, load.ravel()[own])
    squares = eigsh(k, 3, m, sigma=0.0, return_eigenvectors=False)
    middle = number[nx // 2, ny // 2]
    return np.array([moved[DOF * middle + 2], *np.sqrt(np.sort(squares)) / (2 * math.pi)])


def ours(ply: tuple[float, ...], angles: tuple[int, ...], thickness: float) -> np.ndarray:
    e1, e2, nu12, g12, g13, g23 = ply
    material = PlyMaterial(e1, e2, g12, nu12, g13, g23)
    section = section_of(Laminate(tuple(Ply(material, thickness, math.radians(a)) for a in angles), DENSITY))
    mesh = rectangle(LENGTH, WIDTH, 3.0)
    held = fixed_freedoms(len(mesh.nodes), [(mesh.loops[0], "fixed")])
    model = PlateModel(mesh.nodes, plate_systems(mesh, section), held)
    moved = model.solve(pressure_load(mesh, PRESSURE)[None]).displacements[0, :, 2]
    middle = near(mesh, 0.0, 0.0)
    assert np.abs(mesh.nodes[middle]).max() < 1.5
    return np.array([moved.max(), *model.modes(3).frequencies])


@pytest.mark.parametrize("name", STACKS)
def test_clamped_laminates(name: str) -> None:
    coarse, fine = (theirs(*STACKS[name], n) for n in (16, 32))
    limit = fine + (fine - coarse) / 3
    assert ours(*STACKS[name]) == pytest.approx(limit, rel=5e-4)
