"""What touches flat ground first, level and tilted, and how far the propeller discs stay from it.

A tilt lowers the side of one azimuth: 0 is the nose, 90 degrees the left side. Leads and straps are no bodies and do
not count. Lengths in mm, angles in rad.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Vector
from platewright.fit.discs import Disc
from platewright.fit.solids import Prism
from platewright.geometry.curves import Floats

__all__ = ["Stand", "Strike", "Support", "first_strike", "stand_on", "up_vector"]

_AZIMUTHS: Floats = np.linspace(0.0, 2 * math.pi, 24, endpoint=False)
_STEP = math.radians(5)
_STEEPEST = math.radians(85)
_UPRIGHT = 1 - 1e-12  # cosine from which a prism stands upright [-]
_NEARLY = 0.05  # what is so little higher touches as well [mm]


@dataclass(frozen=True)
class Stand:
    """The craft on flat ground at one tilt.

    Parameters
    ----------
    tilt, azimuth : float
        How far, and which side is lowered [rad].
    touching : tuple of str
        Bodies that touch, discs left out.
    point : (float, float, float)
        One point that touches, in the frame's axes [mm].
    disc : Disc or None
        The lowest disc.
    clearance : float
        Its height over the ground the bodies stand on; negative when it touches first [mm].
    """

    tilt: float
    azimuth: float
    touching: tuple[str, ...]
    point: Vector
    disc: Disc | None
    clearance: float


@dataclass(frozen=True)
class Strike:
    """The least tilt at which a disc touches the ground first, and which [rad]."""

    tilt: float
    azimuth: float
    disc: Disc


class Support:
    """The lowest points of all bodies but propellers on ground that is tilted by less than a right angle.

    Round prisms are exact; of others the corners of their chords count. What stands upright touches with its lower end.
    """

    def __init__(self, assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> None:
        solids = [(body, p) for body in assembly.bodies if body.role != "propeller" for p in prisms[body.name]]
        pins = [(b, p, end) for b, p in solids if p.section.radius for end in _ends(p)]
        others = [(b, p) for b, p in solids if not p.section.radius]
        self._bodies: list[Body] = [b for b, _, _ in pins]
        self._centre = np.array([p.origin + end * p.axes[2] for _, p, end in pins]).reshape(-1, 3)
        self._axis = np.array([p.axes[2] for _, p, _ in pins]).reshape(-1, 3)
        self._radius = np.array([p.section.radius for _, p, _ in pins])
        corners = [p.hull_at(_ends(p)) for _, p in others]
        for (body, _), points in zip(others, corners, strict=True):
            self._bodies += [body] * len(points)
        self._corner = np.concatenate(corners) if corners else np.zeros((0, 3))

    def heights(self, up: Floats) -> Floats:
        """Return the height of every candidate over the origin, (n_directions, n_candidates) [mm]."""
        tilt = 1 - (up @ self._axis.T) ** 2
        pins = up @ self._centre.T - self._radius * np.sqrt(np.maximum(tilt, 0.0))
        return np.concatenate([pins, up @ self._corner.T], axis=1)

    def lowest(self, up: Floats) -> tuple[float, tuple[str, ...], Vector]:
        """Return least height, the bodies there, and one point, for one direction."""
        heights = self.heights(up[None])[0]
        least = float(heights.min())
        names = dict.fromkeys(self._bodies[n].name for n in np.nonzero(heights < least + _NEARLY)[0].tolist())
        n = int(heights.argmin())
        point = self._corner[n - len(self._centre)] if n >= len(self._centre) else self._rim(n, up)
        x, y, z = point.tolist()
        return least, tuple(names), (x, y, z)

    def _rim(self, n: int, up: Floats) -> Floats:
        """Lowest point of the rim of a round face; its middle where the whole face touches."""
        across = up - (up @ self._axis[n]) * self._axis[n]
        size = float(np.linalg.norm(across))
        rim: Floats = self._centre[n] - (self._radius[n] * across / size if size > 1e-9 else 0.0)
        return rim


def up_vector(tilt: float, azimuth: float) -> Floats:
    """Return the ground's upward normal in the frame's axes when the side at an azimuth is lowered [rad].

    Examples
    --------
    >>> up_vector(math.pi / 6, 0.0).round(3).tolist()
    [-0.5, -0.0, 0.866]
    """
    level = math.sin(tilt)
    return np.array([-level * math.cos(azimuth), -level * math.sin(azimuth), math.cos(tilt)])


def stand_on(support: Support, discs: Sequence[Disc], tilt: float) -> Stand:
    """Return how the craft stands at a tilt, towards the side on which a disc comes nearest to the ground.

    Parameters
    ----------
    support : Support
        Of the frame.
    discs : sequence of Disc
        Its discs.
    tilt : float
        Level is 0 [rad].
    """
    sides = _AZIMUTHS if discs and tilt > 0 else _AZIMUTHS[:1]
    azimuth = float(sides[int(_clearances(support, discs, tilt, sides).argmin())]) if discs else 0.0
    up = up_vector(tilt, azimuth)
    ground, names, point = support.lowest(up)
    heights = _disc_heights(discs, up[None])[0]
    if not len(heights):
        return Stand(tilt, azimuth, names, point, None, math.inf)
    n = int(heights.argmin())
    return Stand(tilt, azimuth, names, point, discs[n], float(heights[n]) - ground)


def first_strike(support: Support, discs: Sequence[Disc]) -> Strike | None:
    """Return the least tilt, towards any of 24 sides, at which a disc touches the ground before anything else."""
    if not discs:
        return None
    tilts = np.arange(0.0, _STEEPEST, _STEP)
    for n, tilt in enumerate(tilts.tolist()):
        if _clearances(support, discs, tilt).min() < 0:
            low, high = (tilts[n - 1], tilt) if n else (0.0, 0.0)
            while high - low > math.radians(0.05):
                middle = (low + high) / 2
                low, high = (low, middle) if _clearances(support, discs, middle).min() < 0 else (middle, high)
            k = int(_clearances(support, discs, high).argmin())
            lowest = _disc_heights(discs, up_vector(high, float(_AZIMUTHS[k]))[None])[0]
            return Strike(float(high), float(_AZIMUTHS[k]), discs[int(lowest.argmin())])
    return None


def _ends(prism: Prism) -> tuple[float, ...]:
    """Return the heights along a prism's axis at which it can touch: its lower end where it stands upright [mm]."""
    upward = float(prism.axes[2, 2])
    if abs(upward) <= _UPRIGHT:
        return prism.low, prism.high
    return (prism.low if upward > 0 else prism.high,)


def _clearances(support: Support, discs: Sequence[Disc], tilt: float, sides: Floats = _AZIMUTHS) -> Floats:
    """Height of the lowest disc over the ground, for each side that may be lowered; rounded, so that sides tie."""
    level = math.sin(tilt)
    up = np.stack([-level * np.cos(sides), -level * np.sin(sides), np.full(len(sides), math.cos(tilt))], axis=1)
    least: Floats = np.round(_disc_heights(discs, up).min(axis=1) - support.heights(up).min(axis=1), 6)
    return least


def _disc_heights(discs: Sequence[Disc], up: Floats) -> Floats:
    """Height of the lowest point that the blades of each disc pass, (n_directions, n_discs)."""
    middle = np.array([(d.x, d.y, d.z) for d in discs]).reshape(-1, 3)
    reach = np.array([d.diameter / 2 for d in discs])
    half = np.array([d.half_height() for d in discs])
    level = np.hypot(up[:, 0], up[:, 1])[:, None]
    heights: Floats = up @ middle.T - level * reach - np.abs(up[:, 2:]) * half
    return heights
