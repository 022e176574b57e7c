"""Tightening of each screw of a frame: the forces of `assembly.torque` with the records' numbers.

Where the first thread is followed by rubber grommets alone, the rubber sets the force.
"""

from __future__ import annotations

import math

from platewright.assembly.assemble import Assembly
from platewright.assembly.lines import Item
from platewright.assembly.screws import End, ScrewFit
from platewright.assembly.torque import Tightening, bearing_area, permitted_preload, stripping_force, tighten
from platewright.foundation.errors import CatalogueError
from platewright.foundation.units import MM_PER_M
from platewright.model.catalogue.electronics import Camera
from platewright.model.catalogue.fasteners import Nut, Screw, Washer
from platewright.model.catalogue.hardware import Spacer, Standoff
from platewright.model.catalogue.power import Motor
from platewright.model.stack import ItemKind

__all__ = ["contact_diameter", "thread_force", "tightening_of"]

_NUT_BEARING_SHARE = 0.95  # of the width across flats: the chamfer of a plain nut (from memory, ISO 4032)
_MOTOR_BASE = "al_6061_t6"  # what motor bases are taken to be (common practice, no source)
_CAMERA_BODY = "nylon-66"  # the weakest a camera's side is taken to be (common practice, no source)


def tightening_of(screw: ScrewFit, assembly: Assembly) -> Tightening:
    """Tightening of one screw.

    Parameters
    ----------
    screw : ScrewFit
        The screw.
    assembly : Assembly
        Its frame.

    Notes
    -----
    A material without a yield strength in its record (nylon) is judged by the record's allowed stress.
    """
    checks, thread = assembly.design.checks, screw.thread
    stress_diameter = math.sqrt(4 * thread.stress_area_mm2 / math.pi)
    yield_stress = screw.material.yield_min_mpa or screw.material.allowed_stress_mpa
    preload = permitted_preload(yield_stress, thread.pitch_mm, thread.pitch_d_mm, stress_diameter, checks.friction)
    head = _head_diameter(screw.screw)
    hole = assembly.catalogue.clearance_hole(thread.id, screw.line.hole).d_mm
    return tighten(
        preload,
        thread_force(screw, assembly),
        _smallest_ring(screw, assembly),
        checks.bearing_pressure_mpa,
        thread.pitch_mm,
        thread.pitch_d_mm,
        (head + hole) / 2,
        checks.friction,
        _prevailing(screw, assembly),
        _rubber_force(screw, assembly),
    )


def thread_force(screw: ScrewFit, assembly: Assembly) -> float:
    """Return the force that strips the weakest thread that carries a screw [N]; 0 where there is none.

    Parameters
    ----------
    screw : ScrewFit
        The screw: its first nut or passed standoff, else what it ends in.
    assembly : Assembly
        Its frame.
    """
    items = _clamped(screw)
    last = items[-1] if items else None
    thread = screw.thread
    if last is None or screw.end is End.NOTHING:
        return 0.0
    if isinstance(last.record, Nut):
        return assembly.catalogue.nut_class("nut-8").proof_stress_mpa * thread.stress_area_mm2
    if isinstance(last.record, Camera):
        shear = assembly.catalogue.screw_class(_CAMERA_BODY).shear_strength_mpa
    else:
        material = last.record.material if isinstance(last.record, Standoff) else _MOTOR_BASE
        shear = assembly.catalogue.material(material).value("shear_mpa").typical
    engaged = screw.engagement.nominal if screw.end in (End.STANDOFF, End.BODY) else thread.d_mm
    if isinstance(last.record, Motor):
        engaged = min(engaged, last.thickness.nominal)
    return stripping_force(thread.d_mm, thread.pitch_mm, thread.pitch_d_mm, engaged, shear)


def contact_diameter(item: Item) -> float | None:
    """Return the diameter with which an item bears on its neighbour [mm]; None for plates and boards, which are wide.

    Parameters
    ----------
    item : Item
        Of a line.
    """
    record = item.record
    if isinstance(record, Screw):
        return _head_diameter(record)
    if isinstance(record, Nut):
        flats = record.across_flats_min_mm or record.across_flats_max_mm or 0.0
        return record.bearing_d_min_mm or record.flange_d_max_mm or flats * _NUT_BEARING_SHARE
    if isinstance(record, Washer):
        return record.outer_d_min_mm or record.outer_d_max_mm
    return record.outer_d_mm if isinstance(record, Standoff | Spacer) else None


def _head_diameter(screw: Screw) -> float:
    return screw.bearing_d_min_mm or screw.head_d_min_mm or screw.head_d_max_mm


def _clamped(screw: ScrewFit) -> list[Item]:
    """Return the items between head and first thread, and that thread's item."""
    items = []
    for k in screw.path:
        items.append(screw.line.items[k])
        if screw.line.items[k].word.kind is ItemKind.NUT or screw.line.items[k].word.passed:
            return items
    if screw.end_index is not None:
        items.append(screw.line.items[screw.end_index])
    return items


def _smallest_ring(screw: ScrewFit, assembly: Assembly) -> float:
    """Smallest ring that presses on a carbon plate between head and first thread [mm^2]; 0 where none does."""
    hole = assembly.catalogue.clearance_hole(screw.thread.id, screw.line.hole).d_mm
    outer: list[float | None] = [_head_diameter(screw.screw), *(contact_diameter(i) for i in _clamped(screw))]
    plates = [None, *_clamped(screw)]
    rings = []
    for k, item in enumerate(plates):
        if item is not None and item.instance is not None:
            rings += [d for d in (outer[k - 1], outer[k + 1] if k + 1 < len(outer) else None) if d is not None]
    return min((bearing_area(d, hole) for d in rings if d > hole), default=0.0)


def _rubber_force(screw: ScrewFit, assembly: Assembly) -> float:
    """Force that squeezes the softest grommet to its height [N]; no limit where there is none."""
    if not any(i.word.in_grommet for i in _clamped(screw)):
        return math.inf
    grommet = assembly.catalogue.grommet(screw.thread.id)
    return grommet.stiffness_n_per_mm * (grommet.free_height_mm - grommet.compressed_height_mm)


def _prevailing(screw: ScrewFit, assembly: Assembly) -> float:
    """Torque of a nylon insert on the way [N mm]; 0 without one, or where no value is known for the size."""
    ends = [] if screw.end_index is None else [screw.end_index]
    nuts = [screw.line.items[k].record for k in (*screw.path, *ends)]
    if not any(isinstance(n, Nut) and n.has_insert for n in nuts):
        return 0.0
    try:
        return assembly.catalogue.prevailing_torque(screw.thread.id).first_assembly_max_nm * MM_PER_M
    except CatalogueError:
        return 0.0
