"""Area, centroid and second moments of plane figures.

References (both from memory; page numbers not known):

- W. C. Young, R. G. Budynas, Roark's Formulas for Stress and Strain, 7th ed., Table A.1, Properties of Sections.
- E. Oberg et al., Machinery's Handbook, sections "Areas and Volumes" and "Moment of Inertia, Section Modulus".

Tolerance: 1e-11 relative or better for closed forms, as the integrals are exact to rounding; printed coefficients to
half their last place.
"""

import math

import pytest

from platewright.geometry.loops import Circle, Isometry, Loop, Outline, circle_loop, cut_length, outline_properties
from platewright.geometry.loops import transform_outline as moved
from platewright.geometry.shapes import rectangle_loop, rounded_polygon, slot_loop

EXACT = {"rel": 1e-12, "abs": 1e-10}


def quarter_bulge():
    return math.tan(math.pi / 8)


def test_roark_table_a1_solid_circle():
    r = 7.3
    got = outline_properties(Outline(circle_loop(Circle(0, 0, r))))
    assert got.area == pytest.approx(math.pi * r**2, **EXACT)
    assert got.ixx == pytest.approx(math.pi * r**4 / 4, **EXACT)
    assert got.iyy == pytest.approx(math.pi * r**4 / 4, **EXACT)


def test_roark_table_a1_hollow_circle():
    outer, inner = 9.0, 4.0
    got = outline_properties(Outline(circle_loop(Circle(50, -20, outer)), (), (Circle(50, -20, inner),)))
    assert got.area == pytest.approx(math.pi * (outer**2 - inner**2), **EXACT)
    assert got.ixx == pytest.approx(math.pi / 4 * (outer**4 - inner**4), **EXACT)
    assert (got.cx, got.cy) == pytest.approx((50, -20), rel=1e-12)


def test_roark_table_a1_rectangle():
    b, d = 16.0, 5.0
    got = outline_properties(Outline(rectangle_loop(3, 4, b, d)))
    assert got.ixx == pytest.approx(b * d**3 / 12, **EXACT)
    assert got.iyy == pytest.approx(d * b**3 / 12, **EXACT)
    assert got.ixy == pytest.approx(0, abs=1e-9)


def test_roark_table_a1_turned_rectangle():
    b, d, a = 16.0, 5.0, 0.4
    got = outline_properties(moved(Outline(rectangle_loop(0, 0, b, d)), Isometry.from_turn(a)))
    # "Rectangle, turned": I = b d (d^2 cos^2 + b^2 sin^2) / 12
    assert got.ixx == pytest.approx(b * d * (d**2 * math.cos(a) ** 2 + b**2 * math.sin(a) ** 2) / 12, **EXACT)


@pytest.mark.parametrize("half_angle", [0.05, 0.6, 1.2, 2.0, 3.0])
def test_roark_table_a1_sector_of_solid_circle(half_angle):
    r, a = 12.0, half_angle
    x, y = r * math.cos(a), r * math.sin(a)
    got = outline_properties(Outline(Loop(((0, 0, 0), (x, -y, math.tan(a / 2)), (x, y, 0)))))
    area, centroid = a * r**2, 2 * r * math.sin(a) / (3 * a)
    across = r**4 / 4 * (a + math.sin(a) * math.cos(a)) - area * centroid**2
    assert got.area == pytest.approx(area, **EXACT)
    assert (got.cx, got.cy) == pytest.approx((centroid, 0), **EXACT)
    assert got.ixx == pytest.approx(r**4 / 4 * (a - math.sin(a) * math.cos(a)), rel=1e-11)
    assert got.iyy == pytest.approx(across, rel=1e-11, abs=1e-9)


@pytest.mark.parametrize("half_angle", [0.3, 1.0, 2.0, 3.0])
def test_roark_table_a1_segment_of_solid_circle(half_angle):
    r, a = 12.0, half_angle
    x, y = r * math.cos(a), r * math.sin(a)
    got = outline_properties(Outline(Loop(((x, -y, math.tan(a / 2)), (x, y, 0)))))
    area = r**2 * (a - math.sin(a) * math.cos(a))
    centroid = 2 * r * math.sin(a) ** 3 / (3 * (a - math.sin(a) * math.cos(a)))
    along = r**4 / 12 * (3 * a - 3 * math.sin(a) * math.cos(a) - 2 * math.sin(a) ** 3 * math.cos(a))
    assert got.area == pytest.approx(area, rel=1e-11)
    assert got.cx == pytest.approx(centroid, rel=1e-11)
    assert got.ixx == pytest.approx(along, rel=1e-11)


def test_roark_table_a1_semicircle():
    r = 5.0
    got = outline_properties(Outline(Loop(((r, 0, 1.0), (-r, 0, 0.0)))))
    assert got.cy == pytest.approx(4 * r / (3 * math.pi), **EXACT)
    assert got.ixx == pytest.approx(0.1098 * r**4, abs=0.5e-4 * r**4)
    assert got.iyy == pytest.approx(math.pi * r**4 / 8, **EXACT)


def test_machinerys_handbook_quarter_circle():
    r = 5.0
    got = outline_properties(Outline(Loop(((0, 0, 0), (r, 0, quarter_bulge()), (0, r, 0)))))
    assert got.cx == pytest.approx(4 * r / (3 * math.pi), **EXACT)
    assert got.ixx == pytest.approx(0.0549 * r**4, abs=0.5e-4 * r**4)


def test_machinerys_handbook_fillet_spandrel():
    r = 4.0
    got = outline_properties(Outline(Loop(((0, 0, 0), (r, 0, -quarter_bulge()), (0, r, 0)))))
    assert got.area == pytest.approx((1 - math.pi / 4) * r**2, **EXACT)
    assert got.area == pytest.approx(0.215 * r**2, abs=0.5e-3 * r**2)
    assert got.cx == pytest.approx(0.2234 * r, abs=0.5e-4 * r)
    # Handbooks print 0.00755 r^4 about the centroid.
    assert got.ixx == pytest.approx(0.00755 * r**4, abs=0.5e-5 * r**4)


def test_machinerys_handbook_hexagon():
    flats = 5.5
    side = flats / math.sqrt(3)
    corners = [(side * math.cos(k * math.pi / 3), side * math.sin(k * math.pi / 3)) for k in range(6)]
    got = outline_properties(Outline(rounded_polygon(corners, [0] * 6)))
    assert got.area == pytest.approx(0.866 * flats**2, abs=0.5e-3 * flats**2)
    assert got.ixx == pytest.approx(0.060 * flats**4, abs=0.5e-3 * flats**4)
    assert got.iyy == pytest.approx(got.ixx, rel=1e-12)


def test_stadium_as_rectangle_and_two_half_circles():
    length, width = 20.0, 6.0
    r, half = width / 2, math.pi * (width / 2) ** 2 / 2
    outline = Outline(slot_loop(-length / 2, 0, length / 2, 0, width))
    got = outline_properties(outline)
    offset = length / 2 + 4 * r / (3 * math.pi)
    own = (math.pi / 8 - 8 / (9 * math.pi)) * r**4
    assert got.area == pytest.approx(length * width + 2 * half, **EXACT)
    assert got.ixx == pytest.approx(length * width**3 / 12 + math.pi * r**4 / 4, **EXACT)
    assert got.iyy == pytest.approx(width * length**3 / 12 + 2 * (own + half * offset**2), **EXACT)
    assert cut_length(outline) == pytest.approx(2 * length + math.pi * width, **EXACT)


def test_rounded_rectangle_is_a_rectangle_less_four_spandrels():
    b, d, r = 30.0, 20.0, 4.0
    got = outline_properties(Outline(rectangle_loop(0, 0, b, d, corner=r)))
    spandrel = (1 - math.pi / 4) * r**2
    centroid = r * (10 - 3 * math.pi) / (12 - 3 * math.pi)  # of the spandrel, from its square corner
    second = b * d**3 / 12 - 4 * (_spandrel_own(r) + spandrel * (d / 2 - centroid) ** 2)
    assert got.area == pytest.approx(b * d - 4 * spandrel, **EXACT)
    assert got.ixx == pytest.approx(second, rel=1e-12)


def _spandrel_own(r):
    # Square of side r less a quarter circle about the far corner, by the parallel axis theorem.
    quarter, area = math.pi * r**2 / 4, (1 - math.pi / 4) * r**2
    about_far_side = r**4 / 3 - math.pi * r**4 / 16
    centroid = (r**3 / 2 - quarter * 4 * r / (3 * math.pi)) / area
    return about_far_side - area * centroid**2
