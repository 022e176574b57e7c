"""What a craft is trimmed with, what is not known well about it, and what trimmed flight is; see `trim`.

Axes: x forward, y left, z up, origin at the centre of gravity. Tilt is positive nose down, moments nose up.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from platewright.rotor.air import STANDARD_GRAVITY
from platewright.rotor.working import Working

__all__ = ["Airframe", "Doubt", "Propelled", "Trim"]

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]


class Propelled(Protocol):
    """A propeller at work; `WorkingPropeller` is one."""

    @property
    def diameter(self) -> float:
        """Diameter [m]."""

    def at(
        self, speed: ArrayLike, axial: ArrayLike = 0.0, edgewise: ArrayLike = 0.0, density: float = 1.225
    ) -> Working:
        """Return thrust [N] and torque [N m] at speed of rotation [rad/s] and inflow [m/s]."""


@dataclass(frozen=True)
class Airframe:
    """What is trimmed.

    Parameters
    ----------
    mass : float
        With the battery [kg].
    discs : (n, 3) array
        Middle of each disc from the centre of gravity [m].
    blade_angle : float
        Angle of the blade from the disc at 0.7 of its radius [rad].
    front_drag, top_drag : float
        Area times drag coefficient for air from ahead, and from above where no wake passes [m^2].
    washed_drag : float
        The same for air from above, of what stands in the wakes [m^2].
    wash : float
        Speed of the wake there in hover, over that at the disc [-].
    front_height, top_reach : float
        Where these forces act: above, and ahead of, the centre of gravity [m].
    """

    mass: float
    discs: Array
    blade_angle: float
    front_drag: float
    top_drag: float
    washed_drag: float
    wash: float
    front_height: float
    top_reach: float

    @property
    def weight(self) -> float:
        """Weight [N]."""
        return self.mass * STANDARD_GRAVITY


@dataclass(frozen=True)
class Doubt:
    """What is not known well, as factors; all 1 is the best estimate.

    Parameters
    ----------
    drag : float
        On the drag of frame and equipment [-].
    disc_drag : float
        On the forces along the discs [-].
    wake : float
        On the inflow from other rotors' wakes [-].
    sinking : float
        On the induced speed that the wake's skew is reckoned with: 1 at the disc, 2 far below [-].
    """

    drag: float = 1.0
    disc_drag: float = 1.0
    wake: float = 1.0
    sinking: float = 1.0


@dataclass(frozen=True)
class Trim:
    """Trimmed flight; leading axes are cases and speeds, the last one rotors.

    Parameters
    ----------
    tilt : (c, s) array
        Nose down [rad].
    share : (c, s) array
        delta, by which discs furthest behind turn faster than the mean [-].
    moment : (c, s) array
        Nose-up moment that the wakes and everything else would give if all rotors turned alike [N m].
    wake_moment, disc_moment, drag_moment, centre_moment : (c, s) array
        Its parts: from other rotors' wakes; from the discs' own slope of inflow and forces along them; from drag of the
        frame; from a centre of gravity that is not amid the rotors [N m].
    speed, thrust, torque, lost : (c, s, n) array
        Of each rotor: speed of rotation [rad/s], thrust [N], torque at the shaft, without what the force along the disc
        takes from the craft's motion, which drives the rotor [N m], and the share of the thrust it would have at
        that speed without the others' wakes that is lost to them [-].
    axial, edgewise, outer_inflow, skew : (c, s, n) array
        Air into each disc, wakes included, along it, from the others' wakes alone [m/s], angle of its own wake [rad].
    disc_force : (c, s, n) array
        Force along the disc, aft [N].
    induced : (c, s, n) array
        Each disc's own induced speed [m/s].
    applies : (c, s) bool array
        Whether a balance was found and the propeller's tables reach, with air going down through every disc.
    """

    tilt: Array
    share: Array
    moment: Array
    wake_moment: Array
    disc_moment: Array
    drag_moment: Array
    centre_moment: Array
    speed: Array
    thrust: Array
    torque: Array
    lost: Array
    axial: Array
    edgewise: Array
    outer_inflow: Array
    skew: Array
    disc_force: Array
    induced: Array
    applies: Bools
