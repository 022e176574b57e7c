"""Tightening torque: the least of what the screw, the weakest thread and the plate under the head allow.

Preload by VDI 2230-1 (90 % of yield under tension and torsion together), thread stripping by the shear areas of
FED-STD-H28 (from memory), pressure under the head against a limit. Lengths in mm, forces in N, stresses in MPa, torque
in N mm; friction coefficients without unit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = [
    "Tightening",
    "bearing_area",
    "permitted_preload",
    "stripping_force",
    "tighten",
    "tightening_torque",
]

YIELD_SHARE = 0.9  # nu of VDI 2230-1: share of yield used in tightening
THREAD_SHARE = 0.8  # of the stripping force that a tightening may use (common practice, no source)


@dataclass(frozen=True)
class Tightening:
    """How hard a screw may be tightened.

    Parameters
    ----------
    preload : float
        Clamping force [N].
    clamping_torque : float
        Torque that gives it, without prevailing torque [N mm].
    prevailing_torque : float
        What a nylon insert adds, first assembly at most [N mm].
    governs : str
        "screw", "thread", "plate" or "grommet".
    allowed : dict of str to float
        Preload each of them would allow [N].
    """

    preload: float
    clamping_torque: float
    prevailing_torque: float
    governs: str
    allowed: dict[str, float]

    @property
    def torque(self) -> float:
        """Torque to set on the driver [N mm]."""
        return self.clamping_torque + self.prevailing_torque


def permitted_preload(
    yield_stress: float, pitch: float, pitch_diameter: float, stress_diameter: float, friction: float
) -> float:
    """Preload at 90 % of yield under tension and torsion [N].

    Parameters
    ----------
    yield_stress : float
        Least Rp0.2 of the screw [MPa].
    pitch, pitch_diameter : float
        Of the thread [mm].
    stress_diameter : float
        Diameter of the stress area [mm].
    friction : float
        In the thread [-].

    Notes
    -----
    F = nu Rp0.2 A0 / sqrt(1 + 3 (3 d2 / (2 d0) (P / (pi d2) + 1.155 mu))^2), with nu = 0.9.

    References
    ----------
    .. [1] VDI 2230 Part 1, maximum permitted assembly preload.

    Examples
    --------
    M3 12.9, friction 0.12:

    >>> round(permitted_preload(1100, 0.5, 2.6752, 2.5309, 0.12))
    4375
    """
    torsion = 1.5 * pitch_diameter / stress_diameter * (pitch / (math.pi * pitch_diameter) + 1.155 * friction)
    area = math.pi / 4 * stress_diameter**2
    return YIELD_SHARE * yield_stress * area / math.sqrt(1 + 3 * torsion**2)


def tightening_torque(
    preload: float, pitch: float, pitch_diameter: float, head_friction_diameter: float, friction: float
) -> float:
    """Torque that gives a preload [N mm].

    Parameters
    ----------
    preload : float
        Clamping force [N].
    pitch, pitch_diameter : float
        Of the thread [mm].
    head_friction_diameter : float
        Mean diameter of the face under the head [mm].
    friction : float
        In thread and under the head [-].

    Notes
    -----
    M = F (0.159 P + 0.577 d2 mu + DKm / 2 mu).

    References
    ----------
    .. [1] VDI 2230 Part 1, assembly torque.

    Examples
    --------
    >>> round(tightening_torque(4375, 0.5, 2.6752, (5.07 + 3.4) / 2, 0.12))
    2270
    """
    return preload * (0.159 * pitch + 0.577 * pitch_diameter * friction + head_friction_diameter / 2 * friction)


def stripping_force(
    diameter: float, pitch: float, pitch_diameter: float, engagement: float, shear_strength: float
) -> float:
    """Force that strips the internal thread over its engagement [N].

    Parameters
    ----------
    diameter, pitch, pitch_diameter : float
        Of the thread [mm].
    engagement : float
        Engaged length [mm].
    shear_strength : float
        Of the tapped material [MPa].

    Notes
    -----
    Shear area pi n L D (1 / (2 n) + 0.57735 (D - E)) with n threads per mm, D major and E pitch diameter, nominal
    sizes in place of the limits.

    References
    ----------
    .. [1] FED-STD-H28/2, thread shear areas (from memory).

    Examples
    --------
    >>> round(stripping_force(3.0, 0.5, 2.6752, 3.0, 207))
    5121
    """
    threads = 1 / pitch
    area = math.pi * threads * max(engagement, 0.0) * diameter * (0.5 / threads + 0.57735 * (diameter - pitch_diameter))
    return area * shear_strength


def bearing_area(outer: float, hole: float) -> float:
    """Ring that presses on a plate [mm^2].

    Examples
    --------
    >>> round(bearing_area(5.07, 3.2), 2)
    12.15
    """
    return math.pi / 4 * (outer**2 - hole**2)


def tighten(
    screw_preload: float,
    thread_force: float,
    plate_area: float,
    pressure_limit: float,
    pitch: float,
    pitch_diameter: float,
    head_friction_diameter: float,
    friction: float,
    prevailing: float = 0.0,
    rubber_force: float = math.inf,
) -> Tightening:
    """Return the tightening that none of screw, thread and plate forbids.

    Parameters
    ----------
    screw_preload : float
        From `permitted_preload` [N].
    thread_force : float
        Stripping force of the weakest thread [N].
    plate_area : float
        Smallest ring that presses on a plate; 0 where none does [mm^2].
    pressure_limit : float
        Of the plate [MPa].
    pitch, pitch_diameter, head_friction_diameter, friction
        As in `tightening_torque`.
    prevailing : float
        Torque of a nylon insert [N mm].
    rubber_force : float
        Force that squeezes the grommets on the way to their height [N].

    Examples
    --------
    An M3 12.9 socket screw on carbon plate with a 3.2 mm hole:

    >>> t = tighten(4375, 9000, bearing_area(5.07, 3.2), 140, 0.5, 2.6752, (5.07 + 3.2) / 2, 0.12)
    >>> t.governs, round(t.clamping_torque)
    ('plate', 872)
    """
    allowed = {"screw": screw_preload, "thread": THREAD_SHARE * thread_force}
    if math.isfinite(rubber_force):
        allowed["grommet"] = rubber_force
    if plate_area > 0:
        allowed["plate"] = pressure_limit * plate_area
    governs = min(allowed, key=lambda k: allowed[k])
    preload = allowed[governs]
    torque = tightening_torque(preload, pitch, pitch_diameter, head_friction_diameter, friction)
    return Tightening(preload, torque, prevailing, governs, allowed)
