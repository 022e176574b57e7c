"""Cameras between plates, and fields of view.

References:

- Plane geometry: plates of thickness t inside standoffs of diameter d at spacing S leave S - d - 2 t.
- Pinhole camera, from memory (any textbook of optics or photogrammetry): an image of width w at distance f sees
  2 atan(w / (2 f)) across. R. Hartley, A. Zisserman, Multiple View Geometry in Computer Vision, 2nd ed., 2003,
  chapter 6, gives the projection x = f X / Z it follows from.
- Equidistant fisheye, from memory: r = f theta, e.g. J. Kannala, S. Brandt, IEEE Transactions on Pattern Analysis and
  Machine Intelligence 28(8), 2006, equation (4).

Tolerance: rounding, as all are closed forms.
"""

import math

import numpy as np
import pytest

from platewright.fit.view import Eye
from platewright.model.catalogue import load_catalogue
from platewright.model.catalogue.electronics import Camera

LENS_MM = 2.1
SENSOR_MM = 4.8, 3.6  # a third of an inch, 4:3


def eye(projection, half_angle):
    return Eye("", "", np.zeros(3), np.eye(3), half_angle, 0.0, 0.75, projection)


def test_plates_inside_standoffs_fit_the_19_mm_class_and_refuse_the_next():
    gap = 30 - 5 - 2 * 2  # S - d - 2 t
    needs = {c.id: c.side_plate_gap_mm for c in load_catalogue().of_class(Camera)}
    assert needs["camera_micro"] == 19.3 <= gap
    assert needs["camera_mini"] == 22.0 > gap


def test_a_pinhole_sees_two_arc_tangents_of_half_its_image():
    w, h = SENSOR_MM
    half = math.atan(w / (2 * LENS_MM))
    assert eye("rectilinear", half).half_height_angle == pytest.approx(math.atan(h / (2 * LENS_MM)), rel=1e-12)


def test_a_pinhole_projects_as_f_times_x_over_z():
    w, _ = SENSOR_MM
    half = math.atan(w / (2 * LENS_MM))
    point = np.array([[13.0, -7.0, 20.0]])
    on_sensor = LENS_MM * point[0, :2] / point[0, 2]
    assert eye("rectilinear", half).project(point)[0] * w / 2 == pytest.approx(on_sensor, rel=1e-12)


def test_a_fisheye_projects_as_f_times_the_angle():
    half = math.radians(62.5)
    focal = 1 / half  # in half widths of the image per radian
    for angle in (0.1, 0.7, 1.0):
        point = np.array([[math.sin(angle), 0.0, math.cos(angle)]])
        assert eye("fisheye", half).project(point)[0, 0] == pytest.approx(focal * angle, rel=1e-12)
