"""Whether a clamped joint slips: friction against the force across it.

Reference: VDI 2230-1, Q <= mu n F / S with S = 1.2 static and 1.8 alternating; G. H. Junker 1969: a screw does not
loosen by itself as long as its joint does not slip (both from memory). Units N.
"""

from __future__ import annotations

__all__ = ["ALTERNATING", "STATIC", "slip_safety"]

STATIC, ALTERNATING = 1.2, 1.8  # wanted safety against slip, VDI 2230-1 (from memory) [-]


def slip_safety(clamp: float, friction: float, shear: float, tension: float = 0.0) -> float:
    """Return by how much friction exceeds the force across one face of a joint.

    Parameters
    ----------
    clamp : float
        Clamping force of the screw [N].
    friction : float
        Between the two faces [-].
    shear : float
        Across the face [N].
    tension : float
        That pulls the faces apart; pressure counts as none [N].

    Examples
    --------
    >>> slip_safety(1500.0, 0.15, 100.0)
    2.25
    """
    left = max(clamp - max(tension, 0.0), 0.0)
    return friction * left / shear if shear > 0 else float("inf")
