"""Findings about cutting: holes, passages, corners, depth, bridges, countersinks, tabs in their slots, the fabric.

Sharp inside corners and webs are in `web_findings`, thicknesses that are not sold and countersinks on both faces in
`hole_findings`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.fabrication.bit import Bit
from platewright.fabrication.plan import bridges
from platewright.fabrication.rules import countersink_depth, narrow_passages, small_holes, stopping_corners
from platewright.foundation.findings import Finding, Severity
from platewright.study.cutters import chosen_bit
from platewright.study.fabric import fabric_angle, weak_share

__all__ = ["SINK_RULE", "SLOT_OVER", "cut_findings"]

_CUTTER_SOURCE = "record cutter, {:g} mm (common practice, no source)"
_SLOT_RULE = "cutter.slot_width_min_mm"
SINK_RULE = "edge_distance.countersink_depth_over_thickness_max"
_BRIDGE_RULE = "yield.tab_width_mm"
_PROFILE_RULE = "tolerance.routed_profile_mm"
SLOT_OVER = (0.1, 0.2)  # slot over bit: less warns, less than usual is noted; the rule's own note [mm]
_SLIGHT = 0.01  # what polygons of chords and halving leave [mm]
_OFF_FABRIC = math.radians(10)  # an arm may lie so far off the fabric [rad]
_WEAK = 0.85  # stiffness along an arm over the best of its sheet, below which it is said [-]


def cut_findings(assembly: Assembly) -> Iterator[Finding]:
    """Yield what is found about cutting all parts with the bit of `checks.cutter_mm`."""
    bit = chosen_bit(assembly.catalogue, assembly.design.checks.cutter_mm)
    for finished in assembly.parts.values():
        yield from _bit_and_plate(finished, bit)
        yield from _passages(assembly, finished, bit)
        yield from _bridges(assembly, finished, bit)
        yield from _sinks(assembly, finished)
        yield from _fabric(assembly, finished)
    yield from _tabs(assembly)


def _bit_and_plate(finished: FinishedPart, bit: Bit) -> Iterator[Finding]:
    where, source = f"part {finished.part.id}", _CUTTER_SOURCE.format(bit.diameter)
    thickness = finished.part.thickness_mm
    if thickness > bit.deepest_plate + 1e-9:
        text = (
            f"is {thickness:g} mm thick, and the flutes of a {bit.diameter:g} mm bit clear {bit.deepest_plate:g} mm; "
            "take a thicker bit, or cut it from both faces."
        )
        yield Finding("cut.deep", Severity.WARN, where, text, thickness, bit.deepest_plate, "mm", source, False)
    small = small_holes(finished.outline, bit)
    if small:
        least = min(small, key=lambda c: c.radius)
        many = f"{len(small)} holes are" if len(small) > 1 else "a hole is"
        text = (
            f"{many} too small for a {bit.diameter:g} mm bit to enter: {2 * least.radius:.2f} mm at "
            f"({least.x:.1f}, {least.y:.1f}); drill them, or take a thinner bit."
        )
        yield Finding("cut.hole", Severity.NOTE, where, text, 2 * least.radius, bit.smallest_hole, "mm", source)
    stops = stopping_corners(finished.outline, bit)
    if stops:
        x, y, radius = min(stops, key=lambda corner: corner[2])
        many = f"{len(stops)} inside corners have" if len(stops) > 1 else "an inside corner has"
        text = (
            f"{many} the radius of the {bit.diameter:g} mm bit itself, which stops there and burns: {radius:.2f} mm at "
            f"({x:.1f}, {y:.1f}); {bit.inner_radius:.2f} mm keeps it moving."
        )
        yield Finding("cut.corner", Severity.NOTE, where, text, radius, bit.inner_radius, "mm", source)


def _passages(assembly: Assembly, finished: FinishedPart, bit: Bit) -> Iterator[Finding]:
    rule = assembly.catalogue.rule(_SLOT_RULE)
    least, usual = (bit.diameter + over for over in SLOT_OVER)
    found = [p for p in narrow_passages(finished.outline, usual) if p.width < usual - _SLIGHT]
    if not found:
        return
    p = found[0]
    tight = p.width < least - _SLIGHT
    one = "an opening is" if p.in_opening else "a notch is"
    many = f"{len(found)} openings or notches are" if len(found) > 1 else one
    text = (
        f"{many} {'too narrow' if tight else 'narrow'} for a {bit.diameter:g} mm bit: {p.width:.2f} mm at "
        f"({p.x:.1f}, {p.y:.1f}); make it {usual:g} mm wide, or take a thinner bit."
    )
    why = f"{_SLOT_RULE} ({rule.source}), {rule.note}"
    severity, limit = (Severity.WARN, least) if tight else (Severity.NOTE, usual)
    yield Finding("cut.slot", severity, f"part {finished.part.id}", text, p.width, limit, "mm", why)


def _bridges(assembly: Assembly, finished: FinishedPart, bit: Bit) -> Iterator[Finding]:
    rule = assembly.catalogue.rule(_BRIDGE_RULE)
    count = len(bridges(finished.outline, rule.value, bit.diameter))
    if count < 2:
        text = (
            f"has room for {count} holding bridge{'s' if count != 1 else ''} of {rule.value:g} mm on its straight and "
            "gentle edges; hold it by vacuum or tape."
        )
        why = f"{_BRIDGE_RULE} ({rule.source}), two hold a part"
        yield Finding("cut.bridge", Severity.NOTE, f"part {finished.part.id}", text, float(count), None, "", why)


def _sinks(assembly: Assembly, finished: FinishedPart) -> Iterator[Finding]:
    rule = assembly.catalogue.rule(SINK_RULE)
    limit = rule.value * finished.part.thickness_mm
    deep = [
        (countersink_depth(s.diameter, hole.diameter, math.radians(s.angle_deg)), hole)
        for hole in finished.holes.holes
        for s in hole.countersinks
    ]
    deep = [(depth, hole) for depth, hole in deep if depth > limit + 1e-9]
    if deep:
        depth, hole = max(deep, key=lambda pair: pair[0])
        many = f"{len(deep)} countersinks go" if len(deep) > 1 else "a countersink goes"
        text = (
            f"{many} through more than {rule.value:g} of the {finished.part.thickness_mm:g} mm plate: {depth:.2f} mm "
            f"at ({hole.x:.1f}, {hole.y:.1f}); take a thicker plate or another head."
        )
        yield Finding(
            "cut.sink", Severity.WARN, f"part {finished.part.id}", text, depth, limit, "mm", rule.source, False
        )


def _tabs(assembly: Assembly) -> Iterator[Finding]:
    """Whether the thickest sheet still enters a slot that is cut too narrow, once for each tab."""
    rule = assembly.catalogue.rule(_PROFILE_RULE)
    slotted: dict[str, dict[str, None]] = {}
    for joint in assembly.tabs:
        slotted.setdefault(joint.tab.id, {})[joint.plate.part.id] = None
    for joint in {j.tab.id: j for j in assembly.tabs}.values():
        part, clearance = joint.standing.part, joint.tab.clearance_mm
        sheet = assembly.catalogue.thickness_tolerance_mm(part.thickness_mm)
        need = sheet + rule.value
        if clearance < need - 1e-9:
            text = (
                f"{part.id} of {part.thickness_mm:g} mm may be {sheet:.2f} mm thicker, and its slots in "
                f"{' and '.join(slotted[joint.tab.id])} {rule.value:.2f} mm narrower than drawn; the clearance is "
                f"{clearance:g} mm: measure the sheet before slots are cut."
            )
            why = f"worst case of sheet tolerance and {_PROFILE_RULE} ({rule.source})"
            yield Finding("cut.tab", Severity.NOTE, f"tab {joint.tab.id}", text, clearance, need, "mm", why)


def _fabric(assembly: Assembly, finished: FinishedPart) -> Iterator[Finding]:
    """Note an arm that does not lie along the fibres of a sheet that is much weaker between them."""
    part = finished.part
    if part.kind != "arm":
        return
    off = fabric_angle(finished.outline, math.radians(part.grain_deg))
    share = weak_share(assembly.catalogue.laminate(part.material), off)
    if abs(off) > _OFF_FABRIC and share < _WEAK:
        text = (
            f"lies {abs(math.degrees(off)):.0f} deg off the fibres of its sheet, where {part.material} has "
            f"{100 * share:.0f} % of its stiffness along them; turn grain_deg."
        )
        why = "off-axis modulus of an orthotropic ply (laminate theory) from the record of the laminate"
        yield Finding("cut.fabric", Severity.NOTE, f"part {part.id}", text, 100 * share, 100 * _WEAK, "%", why)
