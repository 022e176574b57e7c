"""What joins two plates of a frame at a screw, as six springs at one point.

A flexibility is the motion, shifts along x, y, z [mm] and turns about them [rad], of the far side against the near one
under forces [N] and moments [N mm] at the same point, the link's own z along the screw. Units mm, N, MPa, rad.

References: H. Huth 1986, Influence of fastener flexibility on the prediction of load transfer and fatigue life for
multiple-row joints, ASTM STP 927 (from memory); S. Timoshenko's beam, shear factor of a tube by G. R. Cowper 1966 (from
memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.errors import StructureError

__all__ = [
    "BOLTED_CARBON",
    "BOLTED_METAL",
    "Tube",
    "beam_flexibility",
    "clamped_flexibility",
    "huth_flexibility",
    "moved_flexibility",
    "rigid_arm",
    "series_stiffness",
    "transfer",
]

Floats = NDArray[np.float64]

BOLTED_CARBON, BOLTED_METAL = 4.2, 3.0  # Huth's constant b for bolted joints [-]
_EXPONENT = 2 / 3


@dataclass(frozen=True)
class Tube:
    """A round bar or tube of one material: a standoff, a spacer, a nut, or a screw.

    Parameters
    ----------
    outer, bore : float
        Diameters; a bore of 0 is a bar [mm].
    elastic_modulus : float
        Young's modulus [MPa].
    poisson_ratio : float
        0.3 unless given [-].
    """

    outer: float
    bore: float
    elastic_modulus: float
    poisson_ratio: float = 0.3

    def __post_init__(self) -> None:
        if not (0 <= self.bore < self.outer and self.elastic_modulus > 0):
            msg = (
                f"a tube needs a bore smaller than its outer diameter and a modulus above 0 MPa (got {self.bore:g} mm "
                f"in {self.outer:g} mm, {self.elastic_modulus:g} MPa)."
            )
            raise StructureError(msg)

    @property
    def area(self) -> float:
        """Of the section [mm^2]."""
        return math.pi / 4 * (self.outer**2 - self.bore**2)

    @property
    def second_moment_of_area(self) -> float:
        """About a diameter [mm^4]."""
        return math.pi / 64 * (self.outer**4 - self.bore**4)


def beam_flexibility(length: float, parts: Sequence[Tube]) -> Floats:
    """Return the flexibility of a beam at its far end, its near end held, (6, 6).

    Parameters
    ----------
    length : float
        Along z [mm].
    parts : sequence of Tube
        Side by side in one section, as a screw in its spacer; they bend together.

    Notes
    -----
    Shift per force L^3 / (3 E I) + L / (k G A), turn per moment L / (E I), shift per moment L^2 / (2 E I).

    Examples
    --------
    >>> round(float(beam_flexibility(25.0, [Tube(5.0, 2.5, 68_900)])[0, 0]), 6)
    0.002731
    """
    ea = sum(t.elastic_modulus * t.area for t in parts)
    ei = sum(t.elastic_modulus * t.second_moment_of_area for t in parts)
    gj = sum(t.elastic_modulus / (1 + t.poisson_ratio) * t.second_moment_of_area for t in parts)
    ga = sum(_shear_factor(t) * t.elastic_modulus / (2 * (1 + t.poisson_ratio)) * t.area for t in parts)
    sway, slope = length**3 / (3 * ei) + length / ga, length**2 / (2 * ei)
    found = np.diag([sway, sway, length / ea, length / ei, length / ei, length / gj])
    # a force along x turns the end about +y, one along y about -x
    found[0, 4] = found[4, 0] = slope
    found[1, 3] = found[3, 1] = -slope
    return found


def huth_flexibility(
    t1: float, e1: float, t2: float, e2: float, diameter: float, e_screw: float, double: bool, b: float = BOLTED_CARBON
) -> float:
    """Return the shift of a bolted joint per force in the plane [mm/N].

    Parameters
    ----------
    t1, t2 : float
        Thickness; in double shear `t1` is the inner plate and `t2` each outer one [mm].
    e1, e2 : float
        Moduli of the plates [MPa].
    diameter : float
        Of the screw [mm].
    e_screw : float
        Young's modulus of the screw [MPa].
    double : bool
        Double shear.
    b : float
        Huth's constant [-].

    Examples
    --------
    >>> c = huth_flexibility(5.0, 50_000, 2.0, 50_000, 3.0, 205_000, True)
    >>> round(1 / c)
    42553
    """
    n = 2 if double else 1
    size = float(((t1 + t2) / (2 * diameter)) ** _EXPONENT)
    return size * b / n * (1 / (t1 * e1) + 1 / (n * t2 * e2) + 1 / (2 * t1 * e_screw) + 1 / (2 * n * t2 * e_screw))


def clamped_flexibility(shear: float, length: float, pressed: Tube, screw: Tube) -> Floats:
    """Return the flexibility of two plates that a screw clamps face to face, (6, 6).

    Parameters
    ----------
    shear : float
        Shift per force in the plane, as `huth_flexibility` gives it [mm/N].
    length : float
        Between the mid-planes [mm].
    pressed : Tube
        What is pressed together under the head: head's diameter, hole, modulus through the thickness.
    screw : Tube
        The screw's section.

    Notes
    -----
    As long as it is clamped, the ring of plate under the head works with the screw: E A / L along it, E I / L about a
    diameter, G J / L about the screw. This is a model: no test of such joints is known to us.
    """
    beam = beam_flexibility(length, [pressed, screw])
    return np.diag([shear, shear, *np.diag(beam)[2:]])


def transfer(step: Floats) -> Floats:
    """Return the matrix from the motion of a point to that of one `step` [mm] away on the same rigid body, (6, 6)."""
    x, y, z = step
    found = np.eye(6)
    # theta x r
    found[0, 4], found[0, 5] = z, -y
    found[1, 3], found[1, 5] = -z, x
    found[2, 3], found[2, 4] = y, -x
    return found


def moved_flexibility(flexibility: Floats, step: Floats) -> Floats:
    """Return a flexibility at a point `step` [mm] further on the far side."""
    move = transfer(step)
    found: Floats = move @ flexibility @ move.T
    return found


def series_stiffness(flexibilities: Sequence[Floats]) -> Floats:
    """Return the stiffness of links one after another, all given at one point, (6, 6).

    Raises
    ------
    StructureError
        If there is none.
    """
    if not flexibilities:
        msg = "a link needs at least one spring."
        raise StructureError(msg)
    total = np.sum(flexibilities, axis=0)
    found: Floats = np.linalg.inv(total)
    return (found + found.T) / 2


def rigid_arm(axes: Floats) -> Floats:
    """Return the matrix that turns six motions from own axes (columns of `axes`) to the frame's, (6, 6)."""
    found = np.zeros((6, 6))
    found[:3, :3] = found[3:, 3:] = axes
    return found


def _shear_factor(tube: Tube) -> float:
    """Cowper's factor of a round tube; 0.886 for a bar at nu 0.3."""
    m, nu = tube.bore / tube.outer, tube.poisson_ratio
    both = (1 + m**2) ** 2
    return 6 * (1 + nu) * both / ((7 + 6 * nu) * both + (20 + 12 * nu) * m**2)
