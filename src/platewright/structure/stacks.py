"""From a thickness to plies: how many there are and how they are laid.

Rules: the number of plies is the thickness divided by the thickness of one, rounded, at least one (two where
directions alternate); their thickness is then scaled so that they fill the plate. Stacks are symmetric.
"""

from __future__ import annotations

import math

from platewright.foundation.errors import StructureError
from platewright.structure.laminate import Laminate, Ply
from platewright.structure.ply import PlyMaterial

__all__ = ["core_stack", "count_plies", "fabric_stack", "single_stack"]

_QUARTER = math.pi / 4


def count_plies(thickness: float, ply_thickness: float) -> int:
    """Return how many plies fill a plate.

    Parameters
    ----------
    thickness : float
        Of the plate [mm].
    ply_thickness : float
        Nominal, of one ply [mm].

    Raises
    ------
    StructureError
        If a thickness is not positive.

    Examples
    --------
    >>> count_plies(2.0, 0.225), count_plies(5.0, 0.225), count_plies(0.1, 0.225)
    (9, 22, 1)
    """
    for name, value in (("plate", thickness), ("ply", ply_thickness)):
        if not (value > 0 and math.isfinite(value)):
            msg = f"the thickness of a {name} must be greater than 0 mm (got {value:g})."
            raise StructureError(msg)
    return max(1, round(thickness / ply_thickness))


def fabric_stack(
    fabric: PlyMaterial, thickness: float, ply_thickness: float, density: float, quasi_isotropic: bool
) -> Laminate:
    """Return a plate of fabric plies: all at 0, or (0/90) and (+-45) in turn from the faces inwards.

    Parameters
    ----------
    fabric : PlyMaterial
        One balanced ply.
    thickness, ply_thickness : float
        Of the plate, and nominal of one ply [mm].
    density : float
        Of the plate [t/mm^3].
    quasi_isotropic : bool
        Whether every other ply lies at 45 degrees.

    Examples
    --------
    >>> ply = PlyMaterial(60_000, 60_000, 4_000, 0.05, 3_000, 3_000)
    >>> [round(math.degrees(p.angle)) for p in fabric_stack(ply, 2.0, 0.225, 1.55e-9, True).plies]
    [0, 45, 0, 45, 0, 45, 0, 45, 0]
    """
    count = count_plies(thickness, ply_thickness)
    angles = [_QUARTER if quasi_isotropic and min(n, count - 1 - n) % 2 else 0.0 for n in range(count)]
    return Laminate(tuple(Ply(fabric, thickness / count, angle) for angle in angles), density)


def core_stack(
    tape: PlyMaterial,
    fabric: PlyMaterial,
    thickness: float,
    tape_thickness: float,
    fabric_thickness: float,
    density: float,
) -> Laminate:
    """Return a plate with a cross-ply core of tape and one ply of fabric on each face.

    Parameters
    ----------
    tape, fabric : PlyMaterial
        Unidirectional ply of the core, fabric of the faces.
    thickness : float
        Of the plate [mm].
    tape_thickness, fabric_thickness : float
        Nominal, of one ply [mm].
    density : float
        Of the plate [t/mm^3].

    Notes
    -----
    The core's plies lie at 0 and 90 degrees in turn from the faces inwards, 0 next to the faces; a plate thinner than
    its two faces and one tape ply is refused.

    Raises
    ------
    StructureError
        If the plate is too thin for a core.
    """
    least = 2 * fabric_thickness + tape_thickness
    if not thickness > least - tape_thickness / 2:
        msg = f"a plate with a core must be about {least:.2f} mm thick or more (got {thickness:g}); choose fabric."
        raise StructureError(msg)
    count = count_plies(thickness - 2 * fabric_thickness, tape_thickness)
    scale = thickness / (2 * fabric_thickness + count * tape_thickness)
    core = [Ply(tape, tape_thickness * scale, math.pi / 2 if min(n, count - 1 - n) % 2 else 0.0) for n in range(count)]
    face = Ply(fabric, fabric_thickness * scale)
    return Laminate((face, *core, face), density)


def single_stack(material: PlyMaterial, thickness: float, density: float) -> Laminate:
    """Return a plate taken as one homogeneous layer.

    Parameters
    ----------
    material : PlyMaterial
        Engineering constants of the plate.
    thickness : float
        Of the plate [mm].
    density : float
        Of the plate [t/mm^3].
    """
    return Laminate((Ply(material, thickness),), density)
