"""Drag of plates, bars, boxes and cylinders across and along the air, and of a craft made of them.

A coefficient is drag over dynamic pressure and the area across the air. Air that meets a body aslant is split into its
parts along the body's axes, each of which gives a force by its own square (the cross-flow principle).
Source: Hoerner, Fluid-Dynamic Drag (1965), ch. 3: all values and curves from memory, for Reynolds numbers of 1e3 to
2e5. Where things stand close together they shield or disturb one another by a quarter either way: `DRAG_BAND`.
"""

from __future__ import annotations

import numpy as np

__all__ = [
    "BOX",
    "CUBE",
    "CYLINDER_SIDE",
    "DRAG_BAND",
    "FLAT_PLATE",
    "aslant_bar",
    "bar_drag_coefficient",
    "end_factor",
    "rounding_factor",
    "skin_friction",
]

FLAT_PLATE = 1.17  # square plate across the air
CUBE = 1.05
BOX = 0.85  # box twice as long along the air as it is wide, or longer
CYLINDER_SIDE = 0.7  # upright cylinder about as high as wide
DRAG_BAND = (0.75, 1.25)

_DEPTH = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 10.0)
_BAR = (1.98, 2.1, 2.4, 2.8, 2.3, 2.05, 1.75, 1.5, 1.3, 1.15, 0.95, 0.9)
_ROUND = (0.0, 0.05, 0.1, 0.2, 0.3, 0.5)
_ROUNDED = (1.0, 0.9, 0.8, 0.65, 0.59, 0.58)
_LENGTH = (1.0, 2.0, 5.0, 10.0, 20.0, 40.0, 1000.0)
_ENDS = (0.59, 0.6, 0.62, 0.68, 0.76, 0.82, 1.0)
_LAMINAR = 1.328
_LEAST_REYNOLDS = 1e3


def bar_drag_coefficient(depth: float, height: float, corner: float = 0.0) -> float:
    """Return the drag coefficient of a long bar of rectangular section across the air.

    Parameters
    ----------
    depth, height : float
        Of the section along and across the air, in one unit.
    corner : float
        Radius or chamfer of its edges, in the same unit; a chamfer counts as a radius of its size.

    Returns
    -------
    float
        On length times height [-].

    Examples
    --------
    >>> bar_drag_coefficient(1.0, 1.0)
    2.05
    >>> round(bar_drag_coefficient(5.0, 12.0, 1.0), 2)
    2.03
    """
    return float(np.interp(depth / height, _DEPTH, _BAR)) * rounding_factor(corner, height)


def rounding_factor(corner: float, height: float) -> float:
    """Return what is left of a bar's drag when its edges are round, from sharp, 1, to a circle's, 0.58.

    Parameters
    ----------
    corner, height : float
        Radius of the edges and the section's height across the air, in one unit.
    """
    return float(np.interp(corner / height, _ROUND, _ROUNDED))


def end_factor(length: float, height: float) -> float:
    """Return what is left of a long bar's drag when air goes round both its ends.

    Parameters
    ----------
    length, height : float
        Of the bar, in one unit; count twice the length of a bar that one end of joins a body.
    """
    return float(np.interp(length / height, _LENGTH, _ENDS))


def aslant_bar(coefficient: float, thickness: float, length: float, sine: float) -> float:
    """Return drag area of a bar that lies aslant to the air.

    Parameters
    ----------
    coefficient : float
        Across the air [-].
    thickness, length : float
        Height of the section and length of the bar [m].
    sine : float
        Of the angle between bar and air [-].

    Returns
    -------
    float
        Area times drag coefficient along the air [m^2].

    Notes
    -----
    Only air across the bar acts, by its square; of the force across the bar the part along the air is drag: sin^3.

    Examples
    --------
    >>> aslant_bar(2.0, 0.005, 0.1, 1.0)
    0.001
    """
    return coefficient * thickness * length * abs(sine) ** 3


def skin_friction(length: float, speed: float, kinematic_viscosity: float) -> float:
    """Return the laminar friction coefficient of one face along the air, Blasius' 1.328 / sqrt(Re).

    Parameters
    ----------
    length : float
        Of the face along the air [m].
    speed : float
        Of the air [m/s].
    kinematic_viscosity : float
        Of the air [m^2/s].

    Examples
    --------
    >>> round(skin_friction(0.1, 20.0, 1.46e-5), 4)
    0.0036
    """
    return float(_LAMINAR / np.sqrt(max(speed * length / kinematic_viscosity, _LEAST_REYNOLDS)))
