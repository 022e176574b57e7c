"""What stands in the air of propellers in hover: the speed there, the width of the wake, the thrust lost.

A thing below a disc stands in its wake, a thing above it in its inflow. On the axis of the vortex cylinder the air
moves at v0 (1 + g) below and v0 (1 - g) above, g = h / sqrt(h^2 + R^2), and it is taken as even over the wake, which is
narrower by the same flow: R / sqrt(1 + g). As thrust is 2 rho A v0^2, a thing of drag area S takes S w^2 / (4 A v0^2).
Left out: swirl, the slow air under the hub, the lift that a plate near the disc gives back (ground effect).
Source: Leishman, Principles of Helicopter Aerodynamics, ch. 2 and 6, from memory.
"""

from __future__ import annotations

import math

__all__ = ["FUSELAGE_BAND", "WING_BAND", "thrust_lost", "wake_radius", "wake_speed"]

WING_BAND = (0.07, 0.15)
"""Share of thrust that wings under tilting rotors take; published range, from memory."""
FUSELAGE_BAND = (0.02, 0.06)
"""Share of thrust that helicopter fuselages take; published range, from memory."""


def wake_speed(depth: float, radius: float) -> float:
    """Return the speed of the air over that at the disc.

    Parameters
    ----------
    depth : float
        Below the disc, negative above it [m].
    radius : float
        Of the disc [m].

    Returns
    -------
    float
        1 at the disc, towards 2 below, 0 above [-].

    Examples
    --------
    >>> wake_speed(0.0, 0.06), round(wake_speed(0.06, 0.06), 3)
    (1.0, 1.707)
    """
    return 1 + depth / math.hypot(depth, radius)


def wake_radius(depth: float, radius: float) -> float:
    """Return the radius of the air that goes through the disc.

    Parameters
    ----------
    depth : float
        Below the disc, negative above it [m].
    radius : float
        Of the disc [m].

    Returns
    -------
    float
        Towards R / sqrt(2) far below [m].

    Examples
    --------
    >>> round(wake_radius(10.0, 1.0), 3)
    0.708
    """
    return radius / math.sqrt(wake_speed(depth, radius))


def thrust_lost(drag_area: float, disc_area: float, speed: float) -> float:
    """Return the share of one disc's thrust that a thing in its air takes.

    Parameters
    ----------
    drag_area : float
        Area across the air times drag coefficient [m^2].
    disc_area : float
        Of the disc [m^2].
    speed : float
        Of the air there over that at the disc [-].

    Examples
    --------
    >>> round(thrust_lost(2.0 * 0.011 * 0.04, 0.01267, 1.3), 3)  # an arm 11 mm wide under 40 mm of a blade
    0.029
    """
    return drag_area * speed**2 / (4 * disc_area)
