"""The six-node triangle: shape functions, points of integration, derivatives.

Natural coordinates r, s in the triangle (0, 0), (1, 0), (0, 1). Nodes: corners 0, 1, 2, then the middles of 01, 12, 20.
Reference: K. J. Bathe, Finite Element Procedures, 1996, section 5.3.2.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "CORNERS",
    "SIDES",
    "SIX_POINTS",
    "THREE_POINTS",
    "bubble",
    "bubble_slope",
    "derivatives",
    "gradients",
    "jacobians",
    "shapes",
]

Floats = NDArray[np.float64]

CORNERS = ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))
SIDES = ((0.5, 0.0), (0.5, 0.5), (0.0, 0.5))
# Points (r, s, weight) exact for polynomials of degree 2 and 4 (G. R. Cowper 1973); weights sum to the area 1/2.
THREE_POINTS = ((1 / 6, 1 / 6, 1 / 6), (2 / 3, 1 / 6, 1 / 6), (1 / 6, 2 / 3, 1 / 6))
_A, _B = 0.445948490915965, 0.091576213509771
_WA, _WB = 0.111690794839005, 0.054975871827661
SIX_POINTS = (
    (_A, _A, _WA),
    (1 - 2 * _A, _A, _WA),
    (_A, 1 - 2 * _A, _WA),
    (_B, _B, _WB),
    (1 - 2 * _B, _B, _WB),
    (_B, 1 - 2 * _B, _WB),
)


def shapes(r: float | Floats, s: float | Floats) -> Floats:
    """Return the six shape functions at a point, (6,), or at many, (6, ...).

    Examples
    --------
    >>> (shapes(0.5, 0.0) + 0.0).tolist()
    [0.0, 0.0, 0.0, 1.0, 0.0, 0.0]
    """
    q = 1 - r - s
    return np.array([q * (2 * q - 1), r * (2 * r - 1), s * (2 * s - 1), 4 * r * q, 4 * r * s, 4 * s * q])


def derivatives(r: float | Floats, s: float | Floats) -> Floats:
    """Return the derivatives of the shape functions by r and s at a point, (2, 6), or at many, (2, 6, ...)."""
    q = 1 - r - s
    none = 0 * q
    return np.array(
        [
            [1 - 4 * q, 4 * r - 1, none, 4 * (q - r), 4 * s, -4 * s],
            [1 - 4 * q, none, 4 * s - 1, -4 * r, 4 * r, 4 * (q - s)],
        ]
    )


def bubble(r: float, s: float) -> float:
    """Return the cubic that is 0 on all sides and 1 in the middle."""
    return 27 * r * s * (1 - r - s)


def bubble_slope(r: float, s: float) -> Floats:
    """Return the derivatives of the bubble by r and s, (2,)."""
    return np.array([27 * s * (1 - 2 * r - s), 27 * r * (1 - r - 2 * s)])


def jacobians(xy: Floats, r: float, s: float) -> tuple[Floats, Floats]:
    """Return d(x, y)/d(r, s) and its determinant in every triangle.

    Parameters
    ----------
    xy : (n_triangles, 6, 2) float
        Nodes [mm].
    r, s : float
        The point [-].

    Returns
    -------
    (n_triangles, 2, 2) float, (n_triangles,) float
        Rows by r and s [mm]; determinant, twice an area [mm^2].
    """
    j = np.einsum("an,enk->eak", derivatives(r, s), xy)
    return j, j[:, 0, 0] * j[:, 1, 1] - j[:, 0, 1] * j[:, 1, 0]


def gradients(xy: Floats, r: float, s: float) -> tuple[Floats, Floats, Floats]:
    """Return the derivatives of the shape functions by x and y, the determinant and the inverse Jacobian.

    Parameters
    ----------
    xy : (n_triangles, 6, 2) float
        Nodes [mm].
    r, s : float
        The point [-].

    Returns
    -------
    (n_triangles, 2, 6) float, (n_triangles,) float, (n_triangles, 2, 2) float
        Gradients [1/mm], determinant [mm^2], inverse, which takes natural to plane derivatives [1/mm].
    """
    j, det = jacobians(xy, r, s)
    inverse = np.empty_like(j)
    inverse[:, 0, 0], inverse[:, 1, 1] = j[:, 1, 1], j[:, 0, 0]
    inverse[:, 0, 1], inverse[:, 1, 0] = -j[:, 0, 1], -j[:, 1, 0]
    inverse /= det[:, None, None]
    return np.einsum("eab,bn->ean", inverse, derivatives(r, s)), det, inverse
