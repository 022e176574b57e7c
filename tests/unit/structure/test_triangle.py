import numpy as np
import pytest

from platewright.structure.triangle import (
    CORNERS,
    SIDES,
    SIX_POINTS,
    THREE_POINTS,
    bubble,
    bubble_slope,
    derivatives,
    gradients,
    jacobians,
    shapes,
)

NODES = (*CORNERS, *SIDES)
BENT = np.array([[[0, 0], [4, 1], [1, 3], [2.1, 0.3], [2.7, 2.2], [0.4, 1.6]]], dtype=float)


def test_each_shape_is_one_at_its_node_and_zero_at_the_others():
    assert np.array([shapes(r, s) for r, s in NODES]) == pytest.approx(np.eye(6), abs=1e-15)


def test_shapes_hold_quadratic_fields_and_their_slopes():
    def field(r, s):
        return 3 - r + 2 * s + 4 * r * r - 5 * r * s + 6 * s * s

    values = np.array([field(r, s) for r, s in NODES])
    r, s = 0.23, 0.41
    assert shapes(r, s) @ values == pytest.approx(field(r, s))
    assert derivatives(r, s) @ values == pytest.approx([-1 + 8 * r - 5 * s, 2 - 5 * r + 12 * s])


@pytest.mark.parametrize(("points", "degree"), [(THREE_POINTS, 2), (SIX_POINTS, 4)])
def test_points_integrate_polynomials_of_their_degree(points, degree):
    from math import factorial

    for i in range(degree + 1):
        for j in range(degree + 1 - i):
            exact = factorial(i) * factorial(j) / factorial(i + j + 2)
            assert sum(w * r**i * s**j for r, s, w in points) == pytest.approx(exact, rel=1e-12)


def test_bubble_is_zero_on_all_sides_and_slopes_agree():
    for t in (0.0, 0.3, 1.0):
        assert bubble(t, 0) == bubble(0, t) == 0
        assert bubble(t, 1 - t) == pytest.approx(0, abs=1e-15)
    assert bubble(1 / 3, 1 / 3) == pytest.approx(1)
    r, s, h = 0.2, 0.5, 1e-6
    numeric = [(bubble(r + h, s) - bubble(r - h, s)) / (2 * h), (bubble(r, s + h) - bubble(r, s - h)) / (2 * h)]
    assert bubble_slope(r, s) == pytest.approx(numeric, rel=1e-6)


def test_gradients_of_a_bent_triangle_are_exact_for_linear_fields():
    values = BENT[0] @ [2.0, -3.0] + 7
    gradient, det, inverse = gradients(BENT, 0.2, 0.3)
    assert gradient[0] @ values == pytest.approx([2, -3])
    j, same = jacobians(BENT, 0.2, 0.3)
    assert same == pytest.approx(det)
    assert inverse[0] @ j[0] == pytest.approx(np.eye(2), abs=1e-14)
