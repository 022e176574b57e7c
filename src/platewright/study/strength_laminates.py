"""From a catalogue laminate and a thickness to plies: `low`, `typical` and `high` stiffness.

Stacks, from the faces inwards:

- `plate_woven_qi`: fabric plies (0/90) and (+-45) in turn.
- `plate_woven_0_90`: all fabric plies along the sheet.
- `plate_ud_core`: one fabric ply on each face, between them tape at 0 and 90 in turn. The tape's E1 is what makes the
  plate's modulus in the plane the catalogue's, for the tape's own data hold for a higher fibre content.
- Any other laminate that has e1, e2, g12 and nu12 (such as `plate_g10`) is one homogeneous layer.

`low` takes the low ends of all moduli, `high` the high ones; Poisson's ratio and density stay typical.
"""

from __future__ import annotations

from typing import Literal

from platewright.foundation.errors import CatalogueError
from platewright.foundation.units import G_PER_CM3_TO_T_PER_MM3
from platewright.model.catalogue import Catalogue
from platewright.model.catalogue.base import Estimate
from platewright.model.catalogue.materials import Material
from platewright.structure.failure import PlyStrength
from platewright.structure.laminate import Laminate, sheet_constants
from platewright.structure.ply import PlyMaterial
from platewright.structure.stacks import core_stack, fabric_stack, single_stack

__all__ = ["SHEAR_THROUGH", "Level", "plate_laminate", "ply_strengths"]

Level = Literal["low", "typical", "high"]

SHEAR_THROUGH = Estimate(
    typical=3000.0,
    low=2000.0,
    high=4000.0,
    provenance="memory",
    source="G13 and G23 of woven carbon and epoxy where none are measured, remembered [MPa]",
)
_TAPE = "carbon_ud_standard"
_FACE = "plate_woven_0_90"
_FABRIC_THICKNESS = "ply_thickness_mm_200gsm_2x2_twill"
_TAPE_THICKNESS = "ply_thickness_mm_150gsm"


def plate_laminate(catalogue: Catalogue, laminate_id: str, thickness_mm: float, level: Level = "typical") -> Laminate:
    """Return the plies of a plate.

    Parameters
    ----------
    catalogue : Catalogue
        Where the laminate is described.
    laminate_id : str
        Its id.
    thickness_mm : float
        Of the plate.
    level : str
        `low`, `typical` or `high` stiffness.

    Raises
    ------
    CatalogueError
        If the laminate is not known, or has no elastic constants.
    StructureError
        If its constants are not positive definite.
    """
    record = catalogue.laminate(laminate_id)
    density = record.density_g_cm3.typical * G_PER_CM3_TO_T_PER_MM3
    if "ply_e_mpa" in record.properties:
        e = _at(record, "ply_e_mpa", level)
        fabric = _ply(record, e, e, "ply_g12_mpa", "ply_nu12", level)
        return fabric_stack(fabric, thickness_mm, record.value("ply_thickness_mm").typical, density, True)
    if _FABRIC_THICKNESS in record.properties:
        e = (_at(record, "e1_mpa", level) + _at(record, "e2_mpa", level)) / 2
        fabric = _ply(record, e, e, "g12_mpa", "nu12", level)
        return fabric_stack(fabric, thickness_mm, record.value(_FABRIC_THICKNESS).typical, density, False)
    if "nu12" in record.properties:
        layer = _ply(record, _at(record, "e1_mpa", level), _at(record, "e2_mpa", level), "g12_mpa", "nu12", level)
        return single_stack(layer, thickness_mm, density)
    if "e1_mpa" in record.properties:
        return _core(catalogue, record, thickness_mm, density, level)
    message = f"laminate {laminate_id} has no elastic constants; give e1_mpa, e2_mpa, g12_mpa and nu12."
    raise CatalogueError(message)


def ply_strengths(
    catalogue: Catalogue, laminate_id: str, n_plies: int, level: Level = "typical"
) -> tuple[PlyStrength, ...]:
    """Return the strengths of each ply of a catalogue plate, in its own axes.

    Parameters
    ----------
    catalogue : Catalogue
        Where the laminate is described.
    laminate_id : str
        Its id.
    n_plies : int
        As many as `plate_laminate` gives.
    level : str
        `low`, `typical` or `high` strength.

    Raises
    ------
    CatalogueError
        If a strength is not known.

    Notes
    -----
    Fabric plies of every plate have the strengths of `plate_woven_0_90`, tape those of the unidirectional record; a
    homogeneous plate has its own, the same across as along.
    """
    record = catalogue.laminate(laminate_id)
    fabric = _balanced(catalogue.laminate(_FACE), level)
    if "ply_e_mpa" in record.properties or _FABRIC_THICKNESS in record.properties:
        return (fabric,) * n_plies
    if "nu12" in record.properties:
        return (_balanced(record, level),) * n_plies
    tape = catalogue.material(_TAPE)
    inner = PlyStrength(*(_at(tape, key, level) for key in ("xt_mpa", "xc_mpa", "yt_mpa", "yc_mpa", "s12_mpa")))
    return (fabric, *(inner,) * (n_plies - 2), fabric)


def _balanced(record: Material, level: Level) -> PlyStrength:
    tension, pressure = _at(record, "xt_mpa", level), _at(record, "xc_mpa", level)
    return PlyStrength(tension, pressure, tension, pressure, _at(record, "s12_mpa", level))


def _core(catalogue: Catalogue, record: Material, thickness: float, density: float, level: Level) -> Laminate:
    """Return a cross-ply core with fabric faces, its tape so stiff that the plate's modulus is the catalogue's."""
    face_record, tape_record = catalogue.laminate(_FACE), catalogue.material(_TAPE)
    e = _at(face_record, "e1_mpa", level)
    face = _ply(face_record, e, e, "g12_mpa", "nu12", level)
    tape_e2 = _at(tape_record, "e2_mpa", level)
    wanted = _at(record, "e1_mpa", level)

    def stack(tape_e1: float) -> Laminate:
        tape = _ply(tape_record, tape_e1, tape_e2, "g12_mpa", "nu12", level)
        return core_stack(
            tape,
            face,
            thickness,
            tape_record.value(_TAPE_THICKNESS).typical,
            face_record.value(_FABRIC_THICKNESS).typical,
            density,
        )

    # The plate's modulus is nearly a straight line of the tape's: three steps of the secant give it to rounding.
    x0, x1 = 0.5 * _at(tape_record, "e1_mpa", level), _at(tape_record, "e1_mpa", level)
    y0, y1 = (sheet_constants(stack(x)).e_x - wanted for x in (x0, x1))
    for _ in range(4):
        if y1 == y0:
            break
        x0, x1, y0 = x1, x1 - y1 * (x1 - x0) / (y1 - y0), y1
        y1 = sheet_constants(stack(x1)).e_x - wanted
    return stack(x1)


def _ply(record: Material, e1: float, e2: float, g12: str, nu12: str, level: Level) -> PlyMaterial:
    through = [_level(record.properties.get(key, SHEAR_THROUGH), level) for key in ("g13_mpa", "g23_mpa")]
    return PlyMaterial(e1, e2, _at(record, g12, level), record.value(nu12).typical, *through)


def _at(record: Material, key: str, level: Level) -> float:
    return _level(record.value(key), level)


def _level(estimate: Estimate, level: Level) -> float:
    low, high = estimate.band
    return {"low": low, "typical": estimate.typical, "high": high}[level]
