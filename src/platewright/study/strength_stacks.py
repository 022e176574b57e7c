"""What stands in a bolt line, as tubes and moduli: screws, the ring under a head, standoffs, spacers, nuts."""

from __future__ import annotations

from platewright.assembly.assemble import Assembly
from platewright.assembly.lines import Item, Line
from platewright.assembly.screws import ScrewFit
from platewright.model.catalogue.fasteners import Nut, Screw
from platewright.model.catalogue.hardware import Spacer, Standoff
from platewright.model.design import Part
from platewright.structure.laminate import sheet_constants
from platewright.structure.links import Tube
from platewright.study.strength_laminates import plate_laminate

__all__ = ["STEEL", "THROUGH", "Stacks", "screw_size"]

THROUGH = 9_000.0
"""Modulus of carbon plate through its thickness, 8 to 10 GPa (from memory) [MPa]."""
STEEL = 205_000.0
"""Modulus of steel [MPa]."""


class Stacks:
    """Looks up what stands in the lines of an assembly.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    """

    def __init__(self, assembly: Assembly) -> None:
        self.assembly = assembly
        self._moduli: dict[str, float] = {}
        self._fits: dict[str, list[ScrewFit]] = {}
        for fit in assembly.screws:
            self._fits.setdefault(fit.line.name, []).append(fit)

    def modulus(self, part: Part) -> float:
        """Return the mean modulus of a part's plate along and across its sheet [MPa]."""
        material, thickness = part.material, part.thickness_mm
        key = f"{material} {thickness:g}"
        if key not in self._moduli:
            constants = sheet_constants(plate_laminate(self.assembly.catalogue, material, thickness))
            self._moduli[key] = (constants.e_x + constants.e_y) / 2
        return self._moduli[key]

    def screw(self, line: Line, near: int) -> Tube:
        """Return the shank of the screw nearest to an item of a line."""
        fits = self._fits.get(line.name, [])
        if not fits:
            return Tube(3.0, 0.0, STEEL)
        fit = next((s for s in fits if near in s.path), min(fits, key=lambda s: abs(s.index - near)))
        return Tube(fit.thread.d_mm, 0.0, fit.material.elastic_modulus_mpa)

    def ring(self, line: Line, near: int) -> Tube:
        """Return what is pressed under the head of a line's screw."""
        screw = self.screw(line, near)
        fits = self._fits.get(line.name, [])
        head = next((s.screw.bearing_d_min_mm for s in fits if s.screw.bearing_d_min_mm), None)
        return Tube(head or 1.7 * screw.outer, screw.outer, THROUGH)

    def tubes(self, item: Item, screw: Tube, line: Line, a: int, b: int) -> list[Tube]:
        """Return what stands side by side in one piece of a column."""
        record = item.record
        through = any(a in s.path and b in s.path for s in self._fits.get(line.name, []))
        if isinstance(record, Standoff):
            return [Tube(record.outer_d_mm, screw.outer * 0.8, self._material(record.material))]
        if isinstance(record, Spacer):
            own = [Tube(record.outer_d_mm, record.bore_d_mm, self._material(record.material))]
            return [*own, screw] if through or record.bore_d_mm >= screw.outer * 0.8 else own
        if isinstance(record, Nut):
            return [Tube(record.across_flats_max_mm or record.outer_d_mm, 0.0, STEEL)]
        outer = getattr(record, "outer_d_max_mm", None)
        return [Tube(float(outer), screw.outer, STEEL), screw] if outer else [screw]

    def _material(self, name: str) -> float:
        return self.assembly.catalogue.material(name).value("e_mpa").typical


def screw_size(line: Line) -> str:
    """Return the thread size of a line's first screw, such as M3."""
    return next(i.word.size for i in line.items if isinstance(i.record, Screw))
