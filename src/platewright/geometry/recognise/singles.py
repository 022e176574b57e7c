"""Straps, antennas, pairs of standoffs and lone bolts [mm, rad]."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

from platewright.geometry.loops import Outline, distance_to_edge
from platewright.geometry.recognise.holes import RoundHole, fit_of, fits
from platewright.geometry.recognise.openings import Slot, slot_of
from platewright.geometry.recognise.pattern import Pattern, weighed
from platewright.geometry.recognise.sheet import SheetPlate
from platewright.geometry.recognise.symmetry import MirrorLine
from platewright.model.catalogue import Antenna, Catalogue, Standoff, Strap

__all__ = ["antennas", "bolts", "standoff_pairs", "straps"]

_OFF = 0.15  # mirrored holes and slots lie this near to their places [mm]
_ALIKE = 0.15  # lengths and widths of two slots for one strap differ by no more [mm]
_PARALLEL = 0.02  # sine of the angle between them [-]
_SLOT_PLAY = (0.2, 3.5)  # a slot is longer than its strap is wide by these [mm]
_SLOT_WIDTHS = (2.0, 5.0)
_APART = (8.0, 90.0)  # least and most between both slots of a strap [mm]
_NECK_PLAY = 0.25  # of the hole round an antenna's neck or tube [mm]


def straps(plate: SheetPlate, mirrors: Sequence[MirrorLine], catalogue: Catalogue) -> list[Pattern]:
    """Return pairs of slots that face one another as those of a battery strap do."""
    slots = [(k, s) for k, o in enumerate(plate.openings) if o.circle is None and (s := slot_of(o)) is not None]
    slots = [(k, s) for k, s in slots if _SLOT_WIDTHS[0] <= s.width <= _SLOT_WIDTHS[1]]
    made = []
    for i, (k, one) in enumerate(slots):
        for j, other in slots[i + 1 :]:
            if _face(one, other):
                made += _strap((k, one), (j, other), mirrors, catalogue)
    return made


def antennas(holes: Sequence[RoundHole], mirrors: Sequence[MirrorLine], catalogue: Catalogue) -> list[Pattern]:
    """Return holes for the necks and tubes of antennas.

    The hole of a tube may as well be that of a screw: only on a mirror line and of no clearance hole's size is it sure.
    """
    known = fits(catalogue)
    made = []
    for hole in holes:
        screw = fit_of(hole.diameter, known)
        for antenna in catalogue.of_class(Antenna):
            neck, tube = antenna.panel_hole_d_mm, antenna.tube_outer_d_range_mm
            if neck is not None and abs(hole.diameter - neck) <= _NECK_PLAY:
                words = f"{hole.diameter:.2f} mm, for a neck of {neck:g} mm"
            elif tube is not None and tube[0] <= hole.diameter <= tube[1] + _NECK_PLAY:
                words = f"{hole.diameter:.2f} mm, for a tube of {tube[0]:g} to {tube[1]:g} mm"
            else:
                continue
            centred = any(m.distance(hole.at) < _OFF for m in mirrors)
            confidence, evidence = weighed(
                (0.3, True, words, ""),
                (0.3, screw is None, "no screw's hole", f"also {screw.thread}'s hole" if screw else ""),
                (0.15, centred, "on a mirror line of the plate", "on no mirror line of the plate"),
            )
            made.append(
                Pattern(
                    *("antenna", antenna.id, hole.x, hole.y, 0.0, (hole.opening,), "", "", hole.diameter),
                    *(confidence, evidence),
                )
            )
    return [p for p in made if p.is_sure]


def standoff_pairs(
    holes: Sequence[RoundHole], plate: SheetPlate, mirrors: Sequence[MirrorLine], catalogue: Catalogue
) -> list[Pattern]:
    """Return holes of one size that mirror one another, with room for a standoff."""
    known = fits(catalogue)
    wide = {s.thread: s.outer_d_mm for s in catalogue.of_class(Standoff)}
    edges = _without_round(plate)
    made = []
    for i, hole in enumerate(holes):
        fit = fit_of(hole.diameter, known)
        if fit is None or fit.thread not in wide:
            continue
        room = distance_to_edge(edges, hole.x, hole.y)
        for line in mirrors:
            image = line.across(hole.at)
            other = next((h for h in holes[i + 1 :] if abs(h.at - image) <= _OFF), None)
            if other is None or abs(other.diameter - hole.diameter) > 2 * _OFF / 3:
                continue
            spacing = abs(other.at - hole.at)
            if spacing < 2 * _OFF:
                continue
            middle = (hole.at + other.at) / 2
            least = wide[fit.thread] / 2
            confidence, evidence = weighed(
                (0.4, True, f"two holes for {fit.thread} that mirror one another, {spacing:.2f} mm apart", ""),
                (
                    0.25,
                    room >= least,
                    f"{room:.1f} mm from middle to edge, room for a standoff of {2 * least:g} mm",
                    f"{room:.1f} mm from middle to edge, less than a standoff of {2 * least:g} mm needs",
                ),
                (0.1, fit.hole == "fine", "fine holes", f"{fit.hole} holes"),
            )
            made.append(
                Pattern(
                    "standoff pair",
                    fit.thread,
                    middle.real,
                    middle.imag,
                    cmath.phase(other.at - hole.at) % math.pi,
                    (hole.opening, other.opening),
                    fit.thread,
                    fit.hole,
                    spacing,
                    confidence,
                    evidence,
                )
            )
    return made


def bolts(holes: Sequence[RoundHole], mirrors: Sequence[MirrorLine], catalogue: Catalogue) -> list[Pattern]:
    """Return lone holes of a screw's size; they may be anything."""
    known = fits(catalogue)
    made = []
    for hole in holes:
        fit = fit_of(hole.diameter, known)
        if fit is None:
            continue
        centred = any(m.distance(hole.at) < _OFF for m in mirrors)
        confidence, evidence = weighed(
            (0.25, True, f"{hole.diameter:.2f} mm, {fit.thread} {fit.hole}", ""),
            (0.1, centred, "on a mirror line of the plate", "nothing mirrors it"),
        )
        made.append(
            Pattern(
                *("bolt", fit.thread, hole.x, hole.y, 0.0, (hole.opening,), fit.thread, fit.hole, 0.0),
                *(confidence, evidence),
            )
        )
    return made


def _without_round(plate: SheetPlate) -> Outline:
    """Return a plate with only those openings that are not round: holes beside one another share their plate."""
    return Outline(plate.outline.outer, tuple(o.loop for o in plate.openings if o.circle is None))


def _face(one: Slot, other: Slot) -> bool:
    """Whether two slots are of one size, parallel, and beside one another."""
    if abs(one.length - other.length) > _ALIKE or abs(one.width - other.width) > _ALIKE:
        return False
    between = complex(other.x - one.x, other.y - one.y) * cmath.exp(-1j * one.turn)
    parallel = abs(math.sin(one.turn - other.turn)) <= _PARALLEL
    return parallel and abs(between.real) <= 0.5 and _APART[0] <= abs(between.imag) <= _APART[1]


def _strap(
    one: tuple[int, Slot], other: tuple[int, Slot], mirrors: Sequence[MirrorLine], catalogue: Catalogue
) -> list[Pattern]:
    (k, slot), (j, facing) = one, other
    middle = complex(slot.x + facing.x, slot.y + facing.y) / 2
    across = complex(facing.x - slot.x, facing.y - slot.y)
    centred = any(m.distance(middle) < _OFF for m in mirrors)
    made = []
    for strap in catalogue.of_class(Strap):
        low, high = strap.slot_length_range_mm
        if not _SLOT_PLAY[0] <= slot.length - strap.width_mm <= _SLOT_PLAY[1]:
            continue
        thin, thick = strap.slot_width_range_mm
        confidence, evidence = weighed(
            (0.45, True, f"two facing slots {slot.length:.2f} x {slot.width:.2f} mm, {abs(across):.2f} mm apart", ""),
            (0.2, low - 0.05 <= slot.length <= high + 0.05, "of the usual length", "of an unusual length"),
            (0.15, thin - 0.05 <= slot.width <= thick + 0.05, "of the usual width", "of an unusual width"),
            (0.15, centred, "on a mirror line of the plate", "on no mirror line of the plate"),
        )
        made.append(
            Pattern(
                "strap",
                strap.id,
                middle.real,
                middle.imag,
                cmath.phase(across) % math.pi,
                (k, j),
                "",
                "",
                abs(across),
                confidence,
                evidence,
            )
        )
    return made
