"""By what the loads on a part may grow until one of its bolted holes fails, and in which way.

Forces are those between a hole's rim and what holds or loads it. Across the plate they pull the head through; in the
plane they bear on the hole, tear the section beside it and shear out what lies before it.

Strengths: bearing and interlaminar shear of the catalogue (or of the file); net tension and shear-out hold the mean
stress against the first failure of a ply in a plate pulled or sheared along the force, net tension besides against
the notch of the hole by the point-stress criterion. Of coupled laminates the plies are taken as kept flat.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from platewright.geometry.loops import Circle, Outline
from platewright.geometry.reach import reach
from platewright.model.catalogue import Catalogue
from platewright.model.part_file import PartFile
from platewright.structure.failure import max_strain_ratio, point_stress_factor
from platewright.structure.holes import hole_stresses, pull_through_stress
from platewright.structure.laminate import Laminate, section_of
from platewright.structure.ply_states import ply_states
from platewright.study.part_margins import PlyStrengths
from platewright.study.part_results import HoleMargin, HoleReaction, Triple

__all__ = ["Band", "HoleStrengths", "first_ply_stress", "hole_margins", "hole_strengths", "interlaminar_strength"]

_HEAD = 1.7  # of a socket head by its hole [-]
_NOTHING = 1e-3  # a force below this share of the case's largest is left out [-]
_SHEET = "plate_woven_0_90"  # has the interlaminar strength of plates that state none

Band = tuple[float, float, float]
"""Typical, low and high."""


class HoleStrengths(NamedTuple):
    """Strengths that a laminate has as a whole, typical, low and high; None where they are not known [MPa]."""

    bearing: Band | None
    interlaminar: Band | None


def hole_strengths(file: PartFile, catalogue: Catalogue) -> HoleStrengths:
    """Return the strengths of a part's plate round a bolt.

    Parameters
    ----------
    file : PartFile
        The part.
    catalogue : Catalogue
        Where its laminate is looked up.
    """
    if file.ply:
        return HoleStrengths(_alone(file.bearing_mpa), _alone(file.interlaminar_mpa))
    record = catalogue.laminate(file.part.material)
    bearing = next(
        (record.properties[k] for k in ("bearing_mpa", "bearing_double_shear_mpa") if k in record.properties), None
    )
    return HoleStrengths(
        None if bearing is None else (bearing.typical, *bearing.band),
        interlaminar_strength(catalogue, file.part.material),
    )


def interlaminar_strength(catalogue: Catalogue, material: str) -> Band:
    """Return the shear strength between a plate's plies, typical, low and high [MPa].

    Parameters
    ----------
    catalogue : Catalogue
        Where it is looked up; a plate that states none has that of `plate_woven_0_90`.
    material : str
        The laminate.
    """
    between = catalogue.laminate(material).properties.get("ilss_mpa", catalogue.laminate(_SHEET).properties["ilss_mpa"])
    return between.typical, *between.band


def hole_margins(
    outline: Outline,
    holes: Mapping[str, int],
    heads: Mapping[str, float | None],
    forces: Sequence[HoleReaction],
    laminate: Laminate,
    turn: float,
    strengths: Sequence[PlyStrengths],
    whole: HoleStrengths,
) -> list[HoleMargin]:
    """Return the margins of every hole that something holds or loads; those that bear next to nothing are left out.

    Parameters
    ----------
    outline : Outline
        With its holes [mm].
    holes : mapping of str to int
        Number of each named hole.
    heads : mapping of str to float or None
        Diameter of the head on each hole [mm].
    forces : sequence of HoleReaction
        On the plate at each hole.
    laminate : Laminate
        Its plies.
    turn : float
        From the part's +x to the sheet's direction 1 [rad].
    strengths : sequence of tuple of PlyStrength
        Typical, and low and high where they are known.
    whole : HoleStrengths
        Of the laminate.
    """
    largest = max((math.hypot(*f.force_n) for f in forces), default=0.0)
    found = []
    for at in forces:
        circle = outline.circles[holes[at.hole]]
        x, y, z = at.force_n
        if math.hypot(x, y) > _NOTHING * largest:
            found += _in_plane(outline, circle, at, laminate, turn, strengths, whole)
        if abs(z) > _NOTHING * largest and whole.interlaminar is not None:
            head = heads[at.hole] or _HEAD * 2 * circle.radius
            stress = pull_through_stress(abs(z), head, laminate.thickness)
            found.append(_margin(at.hole, "pull-through", stress, whole.interlaminar))
    return found


def first_ply_stress(laminate: Laminate, strengths: PlyStrengths, turn: float, load: Triple) -> float:
    """Return the mean stress at which a plate's first ply fails, its axes turned to the load [MPa].

    Parameters
    ----------
    laminate : Laminate
        Its plies.
    strengths : tuple of PlyStrength
        Of each.
    turn : float
        From the load's first axis to the sheet's direction 1 [rad].
    load : (float, float, float)
        Shape of the membrane forces: along, across, shear.
    """
    strain = np.linalg.solve(section_of(laminate, turn).a, np.array(load, dtype=float))[None]
    states = ply_states(laminate, strain, np.zeros((1, 3)), turn)
    ratios = [
        float(max_strain_ratio(states.strains[:, k], ply.material, own).min())
        for k, (ply, own) in enumerate(zip(laminate.plies, strengths, strict=True))
    ]
    return min(ratios) / laminate.thickness


def _in_plane(
    outline: Outline,
    circle: Circle,
    at: HoleReaction,
    laminate: Laminate,
    turn: float,
    strengths: Sequence[PlyStrengths],
    whole: HoleStrengths,
) -> list[HoleMargin]:
    x, y, _ = at.force_n
    along = math.atan2(y, x)
    width = reach(outline, circle, along + math.pi / 2) + reach(outline, circle, along - math.pi / 2)
    edge = reach(outline, circle, along)
    stress = hole_stresses(math.hypot(x, y), 2 * circle.radius, laminate.thickness, width, edge)
    found = [] if whole.bearing is None else [_margin(at.hole, "bearing", stress.bearing, whole.bearing)]
    if strengths:
        notched = _band([first_ply_stress(laminate, own, turn - along, (1, 0, 0)) for own in strengths])
        notch = point_stress_factor(circle.radius)
        sheared = _band([first_ply_stress(laminate, own, turn - along, (0, 0, 1)) for own in strengths])
        n, low, high = notched
        found.append(_margin(at.hole, "net tension", stress.net_tension, (notch * n, notch * low, notch * high)))
        found.append(_margin(at.hole, "shear-out", stress.shear_out, sheared))
    return found


def _margin(hole: str, mode: str, stress: float, strength: Band) -> HoleMargin:
    typical, low, high = strength
    band = None if low == high else (low / stress, high / stress)
    return HoleMargin(hole, mode, stress, typical, typical / stress, band)


def _band(values: Sequence[float]) -> Band:
    return (values[0], values[1], values[2]) if len(values) == 3 else (values[0],) * 3


def _alone(value: float | None) -> Band | None:
    return None if value is None else (value, value, value)
