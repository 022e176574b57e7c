"""Deflection, moments and vibration of plates and strips.

References:

- S. Timoshenko, S. Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed., tables 5, 8, 35 and chapter 3 (remembered).
- A. W. Leissa, Vibration of Plates, NASA SP-160, 1969: simply supported and clamped square (remembered). Its cantilever
  row is 0.2-0.7 % too high; the row used here is a converged Ritz solution (polynomials up to 13 x 13, upper bounds).
- W. C. Young, R. G. Budynas, Roark's Formulas for Stress and Strain, 7th ed.: beams and circular plates.
- E. Reissner, M. Stein, NACA TN 2369, 1951 (remembered): torsion of a strip whose root cannot warp.

The references leave out shear, so plates are thin, t / a = 1/200, where shear adds about 1e-4.
"""

import math

import numpy as np
import pytest

from plates import DENSITY, NU, E, bending_stiffness, disc, isotropic, near, on_line, rectangle
from platewright.structure.locate import locate, point_load
from platewright.structure.plate import plate_systems, pressure_load
from platewright.structure.solve import PlateModel
from platewright.structure.strains import resultants, strains_at_nodes
from platewright.structure.supports import Tie, fixed_freedoms, resultant_of

SIDE, THIN = 100.0, 0.5
D = bending_stiffness(THIN)
SHEAR = 2e-3  # mesh of 16 sides and the shear that the references leave out [-]


def square(how, size=SIDE / 14):
    """Return mesh and model of a square held along all sides, `clamped` or `simple`."""
    mesh = rectangle(SIDE, SIDE, size)
    held = fixed_freedoms(len(mesh.nodes), [(mesh.loops[0], "fixed" if how == "clamped" else "pinned")])
    if how == "simple":  # the edge does not turn along itself
        for axis in (0, 1):
            for value in (-SIDE / 2, SIDE / 2):
                held[on_line(mesh, axis, value), 4 - axis] = True
    return mesh, PlateModel(mesh.nodes, plate_systems(mesh, isotropic(THIN)), held)


def at_middle(mesh, values):
    nodes, share = locate(mesh, 0.0, 0.0)
    return float(share @ values[nodes])


@pytest.mark.parametrize(("how", "uniform", "central"), [("simple", 0.004062, 0.01160), ("clamped", 0.001265, 0.00560)])
def test_timoshenko_square_plate(how, uniform, central):
    """w = alpha q a^4 / D and alpha P a^2 / D in the middle; under a force to 0.6 %, as remembered."""
    mesh, model = square(how)
    loads = np.array([pressure_load(mesh, 1e-4), point_load(mesh, 0, 0, (0, 0, 1, 0, 0))])
    got = model.solve(loads)
    w = [at_middle(mesh, case[:, 2]) for case in got.displacements]
    assert w[0] * D / (1e-4 * SIDE**4) == pytest.approx(uniform, rel=SHEAR)
    assert w[1] * D / SIDE**2 == pytest.approx(central, rel=6e-3)
    total = got.reactions[:, :, 2].sum(axis=1)
    assert total == pytest.approx([-1e-4 * SIDE**2, -1.0], rel=1e-9)


def test_timoshenko_simply_supported_square_moment():
    """Mx = 0.0479 q a^2 in the middle."""
    mesh, model = square("simple")
    got = model.solve(pressure_load(mesh, 1e-4)[None])
    section = isotropic(THIN)
    _, moment, _ = resultants(section, strains_at_nodes(mesh, section, got.displacements))
    for k in (0, 1):
        assert abs(at_middle(mesh, moment[0, :, k])) / (1e-4 * SIDE**2) == pytest.approx(0.0479, rel=4e-3)


@pytest.mark.parametrize(("how", "expected"), [("clamped", 1 / 64), ("simple", (5 + NU) / (64 * (1 + NU)))])
def test_circular_plate(how, expected):
    """w = q a^4 / (64 D), and (5 + nu) / (1 + nu) times that on a simple support."""
    mesh = disc(50.0, 8.0)
    thickness = 0.5
    if how == "clamped":
        held = fixed_freedoms(len(mesh.nodes), [(mesh.loops[0], "fixed")])
    else:
        held = fixed_freedoms(len(mesh.nodes), [(mesh.loops[0], "pinned")])
    model = PlateModel(mesh.nodes, plate_systems(mesh, isotropic(thickness)), held)
    got = model.solve(pressure_load(mesh, 1e-4)[None])
    w = at_middle(mesh, got.displacements[0, :, 2])
    assert w * bending_stiffness(thickness) / (1e-4 * 50.0**4) == pytest.approx(expected, rel=SHEAR)


@pytest.mark.parametrize(
    ("how", "expected"),
    [("simple", math.pi**2 * np.array([2, 5, 5, 8, 10, 10])), ("clamped", (35.985, 73.39, 73.39))],
)
def test_leissa_square_plate(how, expected):
    """omega a^2 sqrt(rho h / D): pi^2 (m^2 + n^2); 35.985 and 73.39 where clamped."""
    _, model = square(how)
    omega = 2 * math.pi * model.modes(len(expected)).frequencies * SIDE**2 * math.sqrt(DENSITY * THIN / D)
    assert omega == pytest.approx(expected, rel=3e-3)


def test_cantilever_square_plate():
    """3.471 8.507 21.285 27.199 30.957 54.188."""
    mesh = rectangle(SIDE, SIDE, SIDE / 16)
    held = fixed_freedoms(len(mesh.nodes), [(on_line(mesh, 0, -SIDE / 2), "fixed")])
    model = PlateModel(mesh.nodes, plate_systems(mesh, isotropic(THIN)), held)
    omega = 2 * math.pi * model.modes(6).frequencies * SIDE**2 * math.sqrt(DENSITY * THIN / D)
    assert omega == pytest.approx([3.471, 8.507, 21.285, 27.199, 30.957, 54.188], rel=1.5e-3)


LENGTH, WIDTH, THICK = 100.0, 10.0, 5.0


def strip(mass=0.0, size=2.5):
    """Return a strip held at its root, its end tied to a point that may hold a mass [t]."""
    mesh = rectangle(LENGTH, WIDTH, size)
    held = fixed_freedoms(len(mesh.nodes), [(on_line(mesh, 0, -LENGTH / 2), "fixed")])
    end = Tie(on_line(mesh, 0, LENGTH / 2), (LENGTH / 2, 0.0), mass=mass)
    return PlateModel(mesh.nodes, plate_systems(mesh, isotropic(THICK)), held, [end])


def test_cantilever_under_an_end_load():
    """w = F L^3 / (3 E I) + F L / (k G A); the strip's ends cannot narrow, which stiffens it by less than 1 %."""
    load = np.zeros((3, 1, 6))
    load[0, 0, 2], load[1, 0, 1], load[2, 0, 0] = 1.0, 1.0, 1.0
    got = strip().solve(None, load).ties[:, 0]
    shear = LENGTH / (5 / 6 * E / (2 * (1 + NU)) * WIDTH * THICK)
    across = LENGTH**3 / (3 * E * WIDTH * THICK**3 / 12) + shear
    edgewise = LENGTH**3 / (3 * E * THICK * WIDTH**3 / 12) + shear
    assert got[0, 2] == pytest.approx(across, rel=1e-2)
    assert got[1, 1] == pytest.approx(edgewise, rel=1e-2)
    assert got[2, 0] == pytest.approx(LENGTH / (E * WIDTH * THICK), rel=1e-2)


def test_reactions_balance_the_load():
    load = np.zeros((1, 1, 6))
    load[0, 0] = [3.0, -2.0, 5.0, 40.0, -30.0, 20.0]
    mesh = rectangle(LENGTH, WIDTH, 2.5)
    model = strip()
    got = model.solve(None, load)
    root = on_line(mesh, 0, -LENGTH / 2)
    about_end = resultant_of(mesh.nodes, got.reactions, root, (LENGTH / 2, 0.0))[0]
    assert about_end == pytest.approx(-load[0, 0], rel=1e-7, abs=1e-7)


def test_cantilever_with_a_tip_mass():
    """f = sqrt(3 E I / (L^3 (m + 33/140 m_b))) / 2 pi with 35 g; shear lowers it by 0.2 %, stiff ends raise it."""
    beam = DENSITY * LENGTH * WIDTH * THICK
    stiffness = 3 * E * WIDTH * THICK**3 / 12 / LENGTH**3
    expected = math.sqrt(stiffness / (35e-6 + 33 / 140 * beam)) / (2 * math.pi)
    assert strip(35e-6).modes(1).frequencies[0] == pytest.approx(expected, rel=6e-3)


def test_cantilever_beam_overtones():
    """beta L = 1.8751, 4.6941, 7.8548 of a thin, narrow strip, edges free to narrow but for the root."""
    mesh = rectangle(200.0, 5.0, 2.5)
    held = fixed_freedoms(len(mesh.nodes), [(on_line(mesh, 0, -100.0), "fixed")])
    thickness = 0.5
    model = PlateModel(mesh.nodes, plate_systems(mesh, isotropic(thickness)), held)
    beta = np.array([1.8751, 4.6941, 7.8548])
    expected = (beta / 200.0) ** 2 * math.sqrt(E * thickness**2 / 12 / DENSITY) / (2 * math.pi)
    got = [f for f, s in zip(*_flapwise(model, 6), strict=True) if s]
    assert got[:3] == pytest.approx(expected, rel=6e-3)


def _flapwise(model, count):
    modes = model.modes(count)
    middle = np.abs(model.nodes[:, 1]) < 0.4
    flaps = [np.abs(shape[middle, 2]).max() > 0.2 * np.abs(shape[:, 2]).max() for shape in modes.shapes]
    return modes.frequencies, flaps


@pytest.mark.parametrize("length", [40.0, 120.0])
def test_torsion_of_a_strip_with_a_held_root(length):
    """theta = (T / GJ) (L - tanh(k L) / k), k = sqrt(24 (1 - nu)) / b, J = b t^3 / 3 of a thin strip.

    J of a strip of finite thickness is b t^3 / 3 (1 - 0.63 t / b); the mean of both ends' slopes across the width is
    read, and torque comes as shear stress spread along the end, so that this end can warp. Agreement within 1.5 %: the
    formula takes the width as stiff.
    """
    width, thickness = 20.0, 0.5
    mesh = rectangle(length, width, 2.5)
    held = fixed_freedoms(len(mesh.nodes), [(on_line(mesh, 0, -length / 2), "fixed")])
    model = PlateModel(mesh.nodes, plate_systems(mesh, isotropic(thickness)), held)
    load = sum(point_load(mesh, length / 2, s * width / 2, (0, 0, s, 0, 0)) for s in (1, -1))
    got = model.solve(load[None])
    torque = width
    w = [got.displacements[0, near(mesh, length / 2, s * width / 2), 2] for s in (1, -1)]
    k = math.sqrt(24 * (1 - NU)) / width
    j = width * thickness**3 / 3 * (1 - 0.630 * thickness / width)
    expected = torque / (E / (2 * (1 + NU)) * j) * (length - math.tanh(k * length) / k)
    assert (w[0] - w[1]) / width == pytest.approx(expected, rel=1.5e-2)
