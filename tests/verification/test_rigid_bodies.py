"""Mass, centre of gravity and inertia of plates and bodies against closed forms.

References
----------
Roark's Formulas for Stress and Strain, 7th ed., Table A.1 (plane figures); Marks' Standard Handbook for Mechanical
Engineers, 11th ed., section 3 (moments of inertia of solids; parallel axes). Both from memory: the forms are text-book
forms that can be derived in a line, and status is "formula".

Tolerance: the figures are exact on lines and arcs, so only rounding is allowed (1e-9 relative) unless a test says more.
"""

import math

import numpy as np
import pytest

from frames import assembled, catalogue, equipment, part, place, plate
from platewright.assembly.bodies import Body, Box, Cylinder, Frame3, Solid
from platewright.assembly.hardware import Weighed
from platewright.assembly.mass import MassItem, _body_item, mass_items, total_mass

EXACT = 1e-9
DENSITY = catalogue().laminate("plate_woven_qi").density_g_cm3.typical * 1e-9  # t/mm^3


def solid(*solids, frame=None):
    """One tonne spread over solids."""
    body = Body("x", "other", "x", frame or Frame3((0.0, 0.0, 0.0)), solids, "x")
    return _body_item(body, "equipment", False, Weighed(1.0, 1.0, 1.0))


def test_a_rectangular_plate():
    """m (b^2 + t^2) / 12, m (a^2 + t^2) / 12, m (a^2 + b^2) / 12."""
    a, b, t = 80.0, 50.0, 3.0
    (item,) = mass_items(assembled(plate("p", t, (a, b))))
    m = a * b * t * DENSITY
    assert item.mass == pytest.approx(m, rel=EXACT)
    assert np.diag(item.inertia) == pytest.approx(
        [m * (b**2 + t**2) / 12, m * (a**2 + t**2) / 12, m * (a**2 + b**2) / 12], rel=EXACT
    )


def test_a_round_plate():
    """m r^2 / 4 + m t^2 / 12 about a diameter, m r^2 / 2 about the axis."""
    r, t = 20.0, 4.0
    disc = part("d", t, polygons=None, nodes=[{"id": "a", "at_mm": [0, 0], "radius_mm": r}])
    (item,) = mass_items(assembled(disc + place("d", "d")))
    m = math.pi * r**2 * t * DENSITY
    assert item.mass == pytest.approx(m, rel=1e-6)  # the disc is built of arcs whose ends are rounded
    assert np.diag(item.inertia) == pytest.approx(
        [m * r**2 / 4 + m * t**2 / 12, m * r**2 / 4 + m * t**2 / 12, m * r**2 / 2], rel=1e-6
    )


def test_a_triangular_plate_has_a_product_of_inertia():
    """Right triangle of legs b and h at the origin: centroid (b/3, h/3), Ixy = -b^2 h^2 / 72 about it."""
    b, h, t = 30.0, 18.0, 2.0
    tri = part("t", t, polygons=[{"points_mm": [[0, 0], [b, 0], [0, h]]}])
    (item,) = mass_items(assembled(tri + place("t", "t")))
    rho_t = t * DENSITY
    assert item.centre == pytest.approx([b / 3, h / 3, t / 2], rel=EXACT)
    # the inertia tensor holds minus the integral of x y
    assert item.inertia[0, 1] == pytest.approx(rho_t * b**2 * h**2 / 72, rel=1e-6)
    assert item.inertia[2, 2] == pytest.approx(rho_t * (b * h**3 + h * b**3) / 36, rel=1e-6)


def test_a_plate_turned_by_an_angle_turns_its_tensor():
    a, b, t, angle = 80.0, 20.0, 2.0, 30.0
    (level,) = mass_items(assembled(plate("p", t, (a, b))))
    (turned,) = mass_items(assembled(part("p", t, (a, b)) + place("p", "p", turn_deg=angle)))
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    spin = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    assert turned.inertia == pytest.approx(spin @ level.inertia @ spin.T, rel=EXACT, abs=1e-15)


def test_a_plate_on_edge():
    """Standing in x and z, its thickness lies along y: m (a^2 + b^2) / 12 about y."""
    a, b, t = 40.0, 20.0, 2.0
    pieces = plate("base") + part("c", t, (a, b)) + place("c", "c", stands="xz", foot="base", offset_mm=7)
    item = next(i for i in mass_items(assembled(pieces)) if i.name == "c")
    m = a * b * t * DENSITY
    assert item.centre == pytest.approx([0, 7, 2], abs=1e-9)
    assert np.diag(item.inertia) == pytest.approx(
        [m * (b**2 + t**2) / 12, m * (a**2 + b**2) / 12, m * (a**2 + t**2) / 12], rel=EXACT
    )


def test_a_cylinder_and_a_tube():
    """m (3 r^2 + h^2) / 12 and m r^2 / 2; a tube with r^2 replaced by r^2 + bore^2."""
    r, h, bore = 5.0, 12.0, 3.0
    assert np.diag(solid(Solid(Cylinder(r, h))).inertia) == pytest.approx(
        [(3 * r**2 + h**2) / 12, (3 * r**2 + h**2) / 12, r**2 / 2], rel=EXACT
    )
    square = r**2 + bore**2
    assert np.diag(solid(Solid(Cylinder(r, h, bore))).inertia) == pytest.approx(
        [(3 * square + h**2) / 12, (3 * square + h**2) / 12, square / 2], rel=EXACT
    )


def test_a_box():
    a, b, h = 30.0, 20.0, 10.0
    found = solid(Solid(Box(a, b, h)))
    assert found.centre == pytest.approx([0, 0, h / 2])
    assert np.diag(found.inertia) == pytest.approx([(b**2 + h**2) / 12, (a**2 + h**2) / 12, (a**2 + b**2) / 12])


def test_two_halves_are_the_whole():
    """A cylinder cut across is the same cylinder: the parallel-axis theorem within one body."""
    whole = solid(Solid(Cylinder(5.0, 12.0)))
    halves = solid(Solid(Cylinder(5.0, 6.0)), Solid(Cylinder(5.0, 6.0), 6.0))
    assert halves.centre == pytest.approx(whole.centre)
    assert halves.inertia == pytest.approx(whole.inertia, rel=EXACT)


def test_parallel_axes():
    """Two equal masses 2 d apart on x: I + 0 about x, I + 2 m d^2 about y and z."""
    d, own = 7.0, np.diag([1.0, 2.0, 3.0])
    pair = [
        MassItem(n, "plates", True, 0.5, 0.5, 0.5, 0.0, 0.0, np.array([x, 3.0, 0.0]), own)
        for n, x in (("a", d), ("b", -d))
    ]
    total = total_mass(pair)
    assert total.centre == pytest.approx([0, 3, 0])
    assert total.inertia == pytest.approx(np.diag([2.0, 4.0 + d**2, 6.0 + d**2]))


def test_four_motors_on_a_square():
    """Yaw of point masses: 4 m r^2; the motors' own inertia adds that of their cylinders."""
    arm = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
    motor = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=["screw M3 socket 12.9", "arm", "motor.m"])
    items = [i for i in mass_items(assembled(arm, motor)) if i.group == "equipment"]
    total = total_mass(items)
    record = catalogue().find("motor_2207")[0]
    points = 4 * record.mass_g * 1e-6 * (100.0**2 + 100.0**2)
    r = record.bell_d_mm / 2
    most = 4 * record.mass_g * 1e-6 * r**2 / 2  # the shaft, thinner, takes a small share of it
    assert points < total.inertia[2, 2] < points + most
    assert total.inertia[2, 2] - points == pytest.approx(most, rel=0.05)
