"""The vortex-ring region: rates of descent at which a rotor sinks into its own wake, and how far a flight is from it.

At no forward speed it reaches from 0.45 to 1.5 of the hover's induced speed, and it is gone above 0.95 of it forward:
Johnson, W. (2005), Model for Vortex Ring State Influence on Rotorcraft Flight Dynamics, NASA/TP-2005-213477, from
memory. Between these points its edge is not remembered; it is drawn here as an ellipse through them. Neighbouring
rotors are left out.
"""

from __future__ import annotations

import math

__all__ = ["FORWARD_END", "LOWER_END", "UPPER_END", "descent_margin", "descent_range"]

UPPER_END, LOWER_END, FORWARD_END = 0.45, 1.5, 0.95


def descent_range(forward: float, induced: float) -> tuple[float, float] | None:
    """Return the rates of descent within the region.

    Parameters
    ----------
    forward : float
        Speed along the disc [m/s].
    induced : float
        Induced speed in hover [m/s].

    Returns
    -------
    (float, float) or None
        Least and greatest rate of descent [m/s]; None where there is no such region.

    Examples
    --------
    >>> descent_range(0.0, 10.0)
    (4.5, 15.0)
    >>> descent_range(9.6, 10.0) is None
    True
    """
    share = forward / induced / FORWARD_END
    if share >= 1:
        return None
    middle, half = (UPPER_END + LOWER_END) / 2, (LOWER_END - UPPER_END) / 2 * math.sqrt(1 - share**2)
    return (middle - half) * induced, (middle + half) * induced


def descent_margin(forward: float, sink: float, induced: float) -> float:
    """Return how much faster a craft may sink before it enters the region.

    Parameters
    ----------
    forward, sink : float
        Speeds along the disc and down [m/s].
    induced : float
        Induced speed in hover [m/s].

    Returns
    -------
    float
        Negative inside [m/s]; infinite where there is no region ahead.

    Examples
    --------
    >>> descent_margin(0.0, 2.0, 10.0)
    2.5
    """
    region = descent_range(forward, induced)
    if region is None or sink > region[1]:
        return math.inf
    return region[0] - sink
