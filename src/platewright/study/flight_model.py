"""From an assembly to what flies: mass, discs, drag areas, propeller, motor and battery in the units of `rotor`.

Every unit crossing of the study of flight is here and in `flight`. A design without a propeller, a motor or a battery
cannot be flown; one whose motor class has no winding has trim, but no power.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.mass import mass_items, total_mass
from platewright.fit.discs import Disc, discs_of
from platewright.foundation.units import G_PER_T, KG_PER_G, M2_PER_MM2, M_PER_INCH, M_PER_MM
from platewright.model.catalogue import Propeller
from platewright.rotor.drag import FLAT_PLATE, bar_drag_coefficient, end_factor
from platewright.rotor.trim_records import Airframe
from platewright.study.flight_bodies import AirBody, air_bodies
from platewright.study.flight_download import Washed, washed_pieces
from platewright.study.flight_drag import DragItem, drag_items, plate_plan

__all__ = ["FlightModel", "airframe_of", "flight_model", "moved"]

Floats = NDArray[np.float64]
_STATION = 0.7  # where the blade's angle is taken, as a share of the radius


@dataclass(frozen=True)
class FlightModel:
    """A frame for the study of flight.

    Parameters
    ----------
    airframe : Airframe
        For trim, in SI units.
    bodies : tuple of AirBody
        What the air meets.
    discs : tuple of Disc
        By rotor [mm].
    drags, side_drags : tuple of DragItem
        For air from ahead and from the side.
    washed : tuple of Washed
        What stands in the propellers' air.
    centre : (3,) array
        Centre of gravity in the frame's axes [mm].
    """

    airframe: Airframe
    bodies: tuple[AirBody, ...]
    discs: tuple[Disc, ...]
    drags: tuple[DragItem, ...]
    side_drags: tuple[DragItem, ...]
    washed: tuple[Washed, ...]
    centre: Floats

    @property
    def mass_g(self) -> float:
        """Ready to fly [g]."""
        return self.airframe.mass / KG_PER_G


def flight_model(assembly: Assembly) -> FlightModel | None:
    """Return the model of a frame; None where it has no propellers.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    """
    discs, record = discs_of(assembly), _propeller(assembly)
    if not discs or record is None:
        return None
    total = total_mass(mass_items(assembly))
    bodies = air_bodies(assembly)
    angle = math.atan(sum(record.pitch_range_in) / 2 * M_PER_INCH / (math.pi * _STATION * discs[0].diameter * M_PER_MM))
    return airframe_of(bodies, discs, total.mass * G_PER_T * KG_PER_G, total.centre, angle)


def airframe_of(
    bodies: tuple[AirBody, ...], discs: tuple[Disc, ...], mass: float, centre: Floats, blade_angle: float
) -> FlightModel:
    """Return the model of things in the air.

    Parameters
    ----------
    bodies : tuple of AirBody
        What the air meets.
    discs : tuple of Disc
        By rotor.
    mass : float
        Ready to fly [kg].
    centre : (3,) array
        Centre of gravity in the frame's axes [mm].
    blade_angle : float
        As in `Airframe` [rad].
    """
    held = plate_plan(bodies)
    drags, washed = drag_items(bodies, held), washed_pieces(bodies, discs)
    front = sum(d.drag_area for d in drags)
    height = sum(d.drag_area * d.height for d in drags) / front if front else 0.0
    in_wakes = sum(w.coefficient * w.area for w in washed)
    wash = (
        math.sqrt(sum(w.coefficient * w.area * (w.speed / w.slowed) ** 2 for w in washed) / in_wakes)
        if in_wakes
        else 0.0
    )
    top, middle = _top(bodies, held, washed)
    places = np.array([[d.x, d.y, d.z] for d in discs])
    airframe = Airframe(
        mass,
        (places - centre) * M_PER_MM,
        blade_angle,
        front,
        top * M2_PER_MM2,
        in_wakes * M2_PER_MM2,
        wash,
        (height - float(centre[2])) * M_PER_MM,
        (middle - float(centre[0])) * M_PER_MM,
    )
    return FlightModel(airframe, bodies, discs, drags, drag_items(bodies, held, "side"), washed, centre)


def moved(airframe: Airframe, longer_mm: float = 0.0, rear_up_mm: float = 0.0) -> Airframe:
    """Return an airframe with its discs further apart fore and aft, or those behind higher; all else stays.

    Parameters
    ----------
    airframe : Airframe
        The frame as it is.
    longer_mm : float
        Added to the distance between the foremost and the hindmost discs, half to each side of their middle.
    rear_up_mm : float
        Added to the height of all discs behind the middle.
    """
    x = airframe.discs[:, 0]
    middle, span = (x.max() + x.min()) / 2, np.ptp(x)
    discs = airframe.discs.copy()
    if span > 0:
        discs[:, 0] = middle + (x - middle) * (1 + longer_mm * M_PER_MM / span)
        discs[:, 2] += rear_up_mm * M_PER_MM * (x < middle - span * 0.01)
    return replace(airframe, discs=discs)


def _propeller(assembly: Assembly) -> Propeller | None:
    names = (name for e in assembly.design.equipment if e.fitted for name in e.use.values())
    records = (assembly.catalogue.find(name)[0] for name in names)
    return next((r for r in records if isinstance(r, Propeller)), None)


def _top(bodies: Sequence[AirBody], held: shapely.Geometry, washed: Sequence[Washed]) -> tuple[float, float]:
    """Return drag area for air from above outside the wakes [mm^2] and where it acts [mm]."""
    wet = shapely.union_all([w.piece for w in washed])
    boxes = [b.plan for b in bodies if b.kind not in ("arm", "motor", "base", "deck", "brace", "standoff")]
    core = shapely.difference(shapely.union_all([held, *boxes]), wet)
    pieces = [(FLAT_PLATE * float(shapely.area(core)), core)]
    for arm in (b for b in bodies if b.kind == "arm"):
        dry = shapely.difference(arm.plan, shapely.union(wet, held))
        area = float(shapely.area(dry))
        if area > 1.0:
            corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(dry))
            length = max(math.dist(corners[k], corners[k + 1]) for k in range(2))
            coefficient = bar_drag_coefficient(arm.thickness, area / length) * end_factor(2 * length, area / length)
            pieces.append((coefficient * area, dry))
    total = sum(s for s, _ in pieces)
    return total, sum(s * float(shapely.get_x(shapely.centroid(g))) for s, g in pieces if s > 0) / max(total, 1e-9)
