"""Parcels: plates laid in layers in a carton, mass billed by a carrier. Lengths in mm, masses in g and kg."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["Plate", "billed_mass", "stack_height", "volumetric_mass"]

_CM3_PER_MM3 = 1e-3


@dataclass(frozen=True)
class Plate:
    """One flat piece by the rectangle about it: `long` >= `short`, and its thickness [mm]."""

    long: float
    short: float
    thickness: float


def stack_height(plates: Sequence[Plate], length: float, width: float, clearance: float) -> float | None:
    """Return the height of plates laid flat in layers in a carton, or None if one of them does not fit.

    Parameters
    ----------
    plates : sequence of Plate
        To be laid, their long sides along the carton.
    length, width : float
        Of the carton inside, length the larger [mm].
    clearance : float
        To the walls and between plates [mm].

    Returns
    -------
    float or None
        Sum of the layers' largest thicknesses [mm].

    Notes
    -----
    Plates are taken widest first and laid in rows across the carton; a new layer begins when no row is left. A person
    packs closer, since outlines are not rectangles: the height is on the safe side.

    Examples
    --------
    >>> stack_height([Plate(100, 20, 5)] * 4, 110, 50, 2), stack_height([Plate(120, 20, 5)], 110, 50, 2)
    (10, None)
    """
    room_x, room_y = length - clearance, width - clearance
    layers: list[list[list[float]]] = []  # of each layer its rows: length left, width
    heights: list[float] = []
    for plate in sorted(plates, key=lambda p: (-p.short, -p.long)):
        long, short = plate.long + clearance, plate.short + clearance
        if long > room_x or short > room_y:
            return None
        for n, rows in enumerate(layers):
            row = next((r for r in rows if r[0] >= long and r[1] >= short), None)
            if row is None and sum(r[1] for r in rows) + short <= room_y:
                row = [room_x, short]
                rows.append(row)
            if row is not None:
                row[0] -= long
                heights[n] = max(heights[n], plate.thickness)
                break
        else:
            layers.append([[room_x - long, short]])
            heights.append(plate.thickness)
    return sum(heights)


def volumetric_mass(outer: tuple[float, float, float], divisor: float) -> float:
    """Return the mass that a carrier takes a parcel's volume for [kg].

    Parameters
    ----------
    outer : (float, float, float)
        Sides of the parcel [mm].
    divisor : float
        Cubic centimetres that count as a kilogram.

    Examples
    --------
    >>> volumetric_mass((400, 300, 200), 5000)
    4.8
    """
    return math.prod(outer) * _CM3_PER_MM3 / divisor


def billed_mass(mass: float, volumetric: float | None, step: float) -> float:
    """Return the larger of a parcel's two masses, rounded up to a step [kg].

    Examples
    --------
    >>> billed_mass(0.42, 0.61, 0.5), billed_mass(0.5, None, 0.1)
    (1.0, 0.5)
    """
    return round(math.ceil(max(mass, volumetric or 0.0) / step - 1e-9) * step, 6)
