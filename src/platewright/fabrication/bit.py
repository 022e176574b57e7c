"""A router bit as numbers: reach, feed and life. Lengths in mm, times in s."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, fields

__all__ = ["Bit", "bit_of_diameter"]


@dataclass(frozen=True)
class Bit:
    """A router bit in carbon plate.

    Parameters
    ----------
    diameter : float
        Of the bit [mm].
    inner_radius : float
        Smallest inside corner in which it keeps moving [mm].
    smallest_hole : float
        Diameter of the smallest hole that it enters on a helix [mm].
    deepest_plate : float
        Thickest plate that its flutes clear [mm].
    feed : float
        Speed along the cut [mm/s].
    depth_per_pass : float
        How deep one pass goes [mm].
    life : float
        Length that it cuts times the thickness of the plate [mm^2].
    """

    diameter: float
    inner_radius: float
    smallest_hole: float
    deepest_plate: float
    feed: float
    depth_per_pass: float
    life: float


def bit_of_diameter(bits: Sequence[Bit], diameter: float) -> Bit:
    """Return the bit of a diameter; between two known bits, each number by a straight line.

    Outside the known bits the nearest one's numbers are scaled with the diameter, its life with the square.

    Parameters
    ----------
    bits : sequence of Bit
        Known bits, thinnest first.
    diameter : float
        The one wanted [mm].

    Examples
    --------
    >>> thin, thick = Bit(1, 0.5, 1.2, 3, 5, 0.4, 8e3), Bit(2, 1.0, 2.4, 7, 9, 0.8, 24e3)
    >>> bit_of_diameter([thin, thick], 1.5).deepest_plate
    5.0
    """
    if diameter <= bits[0].diameter:
        return _scaled(bits[0], diameter)
    for low, high in itertools.pairwise(bits):
        if diameter <= high.diameter:
            share = (diameter - low.diameter) / (high.diameter - low.diameter)
            pairs = ((getattr(low, f.name), getattr(high, f.name)) for f in fields(Bit))
            return Bit(*(a + share * (b - a) for a, b in pairs))
    return _scaled(bits[-1], diameter)


def _scaled(bit: Bit, diameter: float) -> Bit:
    k = diameter / bit.diameter
    scaled = {f.name: getattr(bit, f.name) * k for f in fields(Bit)}
    return Bit(**{**scaled, "life": bit.life * k * k})
