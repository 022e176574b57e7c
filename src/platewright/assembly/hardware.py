"""What hardware and equipment weigh, from their catalogue records. Masses in t."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.assembly.hub_screws import HubScrews, hub_screws
from platewright.assembly.lines import Item
from platewright.assembly.screws import ScrewFit
from platewright.foundation.units import T_PER_G
from platewright.model.catalogue import Catalogue
from platewright.model.catalogue.base import Record, middle
from platewright.model.catalogue.electronics import ActionCamera, Antenna, Board, Camera
from platewright.model.catalogue.fasteners import Nut, Screw, ScrewClass, Washer
from platewright.model.catalogue.hardware import Spacer, Standoff, Strap
from platewright.model.catalogue.power import Battery, Capacitor, Motor, PowerConnector, Propeller, PropellerNut
from platewright.model.design import Equipment

__all__ = ["Weighed", "equipment_mass", "hardware_mass", "hub_screw_mass", "screw_mass"]

_STEEL_G_CM3 = 7.85  # density behind the catalogue's screw masses
_HARDWARE_BAND = 0.05  # plus or minus, for estimated masses of screws and nuts (common practice, no source)


@dataclass(frozen=True)
class Weighed:
    """Nominal mass and its band [t]."""

    mass: float
    low: float
    high: float


def screw_mass(screw: ScrewFit, material: ScrewClass | None = None) -> float:
    """Mass of a screw in its own or another material [t].

    Notes
    -----
    Head plus a shank of the mean thread section over the length.
    """
    density = (material or screw.material).density_g_cm3 / _STEEL_G_CM3
    return (screw.screw.head_mass_g + screw.thread.mass_g_per_mm * screw.length) * density * T_PER_G


def hub_screw_mass(fit: HubScrews, catalogue: Catalogue) -> float:
    """Mass of one of the screws that hold a propeller on its bell [t]."""
    return (fit.screw.head_mass_g + catalogue.thread(fit.screw.thread).mass_g_per_mm * fit.length) * T_PER_G


def hardware_mass(item: Item, screw: ScrewFit | None) -> Weighed | None:
    """Mass of one item of a bolt line; None for places, equipment and air."""
    record, length = item.record, item.word.length_mm or 0.0
    if screw is not None:
        mass = screw_mass(screw)
    elif isinstance(record, Nut | Washer):
        mass = record.mass_g * T_PER_G
    elif isinstance(record, Standoff | Spacer):
        mass = record.mass_g(length) * T_PER_G
    else:
        return None
    return Weighed(mass, mass * (1 - _HARDWARE_BAND), mass * (1 + _HARDWARE_BAND))


def equipment_mass(equipment: Equipment, role: str, record: Record, catalogue: Catalogue) -> Weighed | None:
    """Mass of one copy of one record of a piece of equipment; `mass_g` of the design is shared by all its records."""
    if equipment.mass_g is not None:
        given = equipment.mass_g * T_PER_G * _share(equipment, record, catalogue)
        return Weighed(given, given, given) if given > 0 else None
    fit = hub_screws(equipment, catalogue) if isinstance(record, Screw) else None
    if fit is not None:
        mass = hub_screw_mass(fit, catalogue)
        return Weighed(mass, mass * (1 - _HARDWARE_BAND), mass * (1 + _HARDWARE_BAND))
    low, high = _range(record)
    nominal = _nominal(record, low, high)
    if nominal <= 0:
        return None
    if isinstance(record, Board) and any(i.in_grommet and i.role == role for i in equipment.items):
        size = next(i.size for i in equipment.items if i.size)
        rubber = 4 * catalogue.grommet(size).mass_g
        nominal, low, high = nominal + rubber, low + rubber, high + rubber
    return Weighed(nominal * T_PER_G, low * T_PER_G, high * T_PER_G)


def _share(equipment: Equipment, record: Record, catalogue: Catalogue) -> float:
    """Share of one record in the mass given for all of a piece of equipment, as their catalogue masses are [-]."""
    masses = [_nominal(r, *_range(r)) for r in (catalogue.find(i)[0] for i in equipment.use.values())]
    return _nominal(record, *_range(record)) / sum(masses) if sum(masses) > 0 else 1 / len(masses)


def _range(record: Record) -> tuple[float, float]:
    if isinstance(record, Motor | Propeller | Board | Camera | ActionCamera | Battery | Antenna | Capacitor):
        return record.mass_range_g
    mass = 0.0
    if isinstance(record, PropellerNut):
        mass = record.mass_g
    elif isinstance(record, PowerConnector):
        mass = record.pair_mass_g / 2  # the other half is the battery's
    elif isinstance(record, Strap):
        mass = record.mass_g_per_mm * record.lengths_mm[0]
    return mass * (1 - _HARDWARE_BAND), mass * (1 + _HARDWARE_BAND)


def _nominal(record: Record, low: float, high: float) -> float:
    if isinstance(record, Motor | Propeller | Board | Battery):
        return record.mass_g
    return middle((low, high))
