"""Fitted equipment with its records and its bodies, by the class of the record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body
from platewright.geometry.curves import Floats
from platewright.model.catalogue.base import Record
from platewright.model.catalogue.power import PowerConnector
from platewright.model.design import Equipment

__all__ = ["Fitted", "connector_point", "fitted"]

R = TypeVar("R", bound=Record)


@dataclass(frozen=True)
class Fitted(Generic[R]):
    """One role of a piece of equipment: its record and its bodies, none for soft things.

    Parameters
    ----------
    equipment : Equipment
        As the design places it.
    role : str
        Its role there.
    record : Record
        What the catalogue says of it.
    bodies : tuple of Body
        One for each copy.
    """

    equipment: Equipment
    role: str
    record: R
    bodies: tuple[Body, ...]

    @property
    def name(self) -> str:
        """As stacks call it."""
        return f"{self.equipment.id}.{self.role}"


def fitted(assembly: Assembly, kind: type[R]) -> Iterator[Fitted[R]]:
    """Yield everything fitted whose record is of a class, in the order of the design.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    kind : type
        Class of the records.
    """
    for equipment in assembly.design.equipment:
        for role, record_id in equipment.use.items() if equipment.fitted else ():
            record = assembly.catalogue.find(record_id)[0]
            if isinstance(record, kind):
                bodies = assembly.bodies_by_key.get((f"{equipment.id}.{role}", equipment.id), ())
                yield Fitted(equipment, role, record, bodies)


def connector_point(assembly: Assembly) -> Floats | None:
    """Return the middle of the first battery connector that a design places [mm]; None without one."""
    bodies = [body for thing in fitted(assembly, PowerConnector) for body in thing.bodies]
    if not bodies:
        return None
    return np.array(bodies[0].frame.point(0.0, 0.0, bodies[0].solids[0].shape.height / 2))
