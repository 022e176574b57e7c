"""Records of plate laminates, other materials and sheets.

A laminate or material is a dictionary of properties, each an `Estimate` with its own provenance, keyed by name and unit
(``density_g_cm3``, ``e1_mpa``). Direction 1 is the length of the sheet, 2 its width; t tension, c compression.
"""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field

from platewright.foundation.errors import CatalogueError, nearest_names
from platewright.model.catalogue.base import Estimate, Positive, Properties, Record

__all__ = ["Laminate", "Material", "Sheet", "SheetSize"]


class Material(Record):
    """A material that hardware, prints or single plies are made of."""

    kind: ClassVar[str] = "material"
    name: str = Field(min_length=1)
    properties: Properties

    def value(self, key: str) -> Estimate:
        """Return one property.

        Parameters
        ----------
        key : str
            Name with unit, such as ``density_g_cm3``.

        Raises
        ------
        CatalogueError
            If it is not known for this material.
        """
        found = self.properties.get(key)
        if found is None:
            near = nearest_names(key, self.properties) or sorted(self.properties)
            message = f"{self.kind} {self.id} has no property {key!r}; it has {', '.join(near)}."
            raise CatalogueError(message)
        return found

    @property
    def density_g_cm3(self) -> Estimate:
        """Density with its band."""
        return self.value("density_g_cm3")

    @property
    def title(self) -> str:
        """Its name."""
        return self.name


class Laminate(Material):
    """A plate material as sheets of it are sold."""

    kind: ClassVar[str] = "laminate"


class Sheet(Record):
    """How far the thickness of a sheet may be off, plus or minus."""

    kind: ClassVar[str] = "sheet"
    thickness_mm: Positive
    tolerance_mm: Positive
    tolerance_low_mm: Positive
    tolerance_high_mm: Positive

    @property
    def title(self) -> str:
        """Its thickness."""
        return f"sheet {self.thickness_mm:g} mm thick"


class SheetSize(Record):
    """A size in which sheets are offered."""

    kind: ClassVar[str] = "sheet_size"
    width_mm: Positive
    length_mm: Positive

    @property
    def title(self) -> str:
        """Width by length."""
        return f"sheet {self.width_mm:g} x {self.length_mm:g} mm"
