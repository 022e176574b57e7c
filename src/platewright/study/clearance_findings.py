"""Findings and rows about clearances: discs, overlaps, the ground, motor leads."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body
from platewright.fit.disc_field import DiscField
from platewright.fit.discs import (
    BodyGap,
    Disc,
    DiscGap,
    Limit,
    body_gaps,
    disc_gaps,
    discs_of,
    largest_propellers,
    propeller_sizes,
)
from platewright.fit.ground import Stand, Support, first_strike, stand_on
from platewright.fit.interference import Overlap, is_soft, near_plates, overlaps
from platewright.fit.interior import Interior
from platewright.fit.solids import Prism
from platewright.foundation.findings import Finding, Severity
from platewright.study.clearance_results import ClearanceReport, ClearanceRow, GroundRow, LeadRow, PropellerRoom

__all__ = ["clearances"]

_TIP_RULE = "propeller_clearance.tip_to_tip_min_mm"
_BODY_RULE = "propeller_clearance.tip_to_plate_or_standoff_min_mm"
_SOFT_RULES = {
    "strap": "propeller_clearance.tip_to_strap_min_mm",
    "lead": "propeller_clearance.tip_to_lead_min_mm",
}
_FLAP_RULE = "propeller_clearance.blade_droop_allowance_mm_per_in"
_SLACK_RULE = "wire.slack_mm"
_PROFILE_RULE = "tolerance.routed_profile_mm"
_DEEP = 0.1  # an overlap up to this is within what parts are made to [mm] (common practice, no source)
_TILTS = {0.0: Severity.WARN, 15.0: Severity.WARN, 30.0: Severity.NOTE}  # [deg] (common practice, no source)
_SIDES = ("nose", "front left", "left", "rear left", "tail", "rear right", "right", "front right")
_KINDS = {"standoff": "hardware", "spacer": "hardware", "screw": "hardware", "nut": "hardware", "washer": "hardware"}


def clearances(
    assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], interior: Interior
) -> tuple[ClearanceReport, list[Finding]]:
    """Return the clearances of a frame and what is found about them.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    interior : Interior
        With straps and leads.
    """
    discs, soft = discs_of(assembly), interior.soft
    field = DiscField(assembly, prisms, discs, soft)
    between, beside = disc_gaps(discs), body_gaps(assembly, prisms, discs, soft=soft, known=field)
    tip, body = assembly.catalogue.rule(_TIP_RULE).value, assembly.catalogue.rule(_BODY_RULE).value
    to_soft = {role: assembly.catalogue.rule(name).value for role, name in _SOFT_RULES.items()}
    limits = largest_propellers(assembly, prisms, discs, tip, body, soft, to_soft, field)
    support = Support(assembly, prisms)
    stands = [stand_on(support, discs, math.radians(tilt)) for tilt in _TILTS] if assembly.bodies else []
    strike = first_strike(support, discs)
    profile = 2 * assembly.catalogue.rule(_PROFILE_RULE).value
    found = [
        *_disc_findings(assembly, between, tip),
        *_body_findings(assembly, beside),
        *_overlap_findings(overlaps(assembly, prisms)),
        *_ground_findings(stands),
    ]
    for near in near_plates(assembly, prisms, profile):
        source = assembly.catalogue.rule(_PROFILE_RULE).source
        text = (
            f"stands {near.gap:.2f} mm from {near.other.name} on one level; both edges may be off, so leave "
            f"{profile:g} mm."
        )
        why = f"twice the routed profile's tolerance ({source})"
        found.append(Finding("body.near", Severity.WARN, near.one.name, text, near.gap, profile, "mm", why))
    slack = assembly.catalogue.rule(_SLACK_RULE).value
    report = ClearanceReport(
        tuple(_pairs(assembly, between, beside)),
        tuple(_room(assembly, limit) for limit in limits),
        tuple(_ground_row(stand) for stand in stands),
        None if strike is None else math.degrees(strike.tilt),
        tuple(LeadRow(w.motor, w.board, w.length, slack, w.awg) for w in interior.leads),
    )
    return report, found


def _disc_findings(assembly: Assembly, gaps: Iterable[DiscGap], least: float) -> Iterator[Finding]:
    for gap in gaps:
        if gap.gap >= least:
            continue
        one, other = gap.one.rotor, gap.other.rotor
        fails = gap.gap <= 0
        text = (
            f"its disc and that of rotor {other} {'overlap' if fails else 'come near'}: {gap.in_plan:.1f} mm between "
            f"the tips in plan, {gap.in_height:.1f} mm in height with flap; {least:g} mm is wanted one way or the "
            "other: take smaller propellers, or move the rotors apart."
        )
        severity = Severity.FAIL if fails else Severity.WARN
        yield Finding("disc.disc", severity, f"rotor {one}", text, gap.gap, least, "mm", _why(assembly, _TIP_RULE))


def _body_findings(assembly: Assembly, gaps: Iterable[BodyGap]) -> Iterator[Finding]:
    """Warn below the trade's least, fail where a blade can hit; say once what is alike."""
    alike: dict[tuple[str, float], list[BodyGap]] = {}
    for gap in gaps:
        if gap.gap < assembly.catalogue.rule(_rule_for(gap.body.role)).value - 1e-9:
            alike.setdefault((gap.body.key, round(gap.gap, 2)), []).append(gap)
    for same in alike.values():
        gap = same[0]
        rule = _rule_for(gap.body.role)
        least = assembly.catalogue.rule(rule).value
        names = ", ".join(dict.fromkeys(g.body.name for g in same))
        rotors = _rotors(g.disc.rotor for g in same)
        how = "can be hit by a blade" if gap.gap <= 0 else f"is {gap.gap:.2f} mm from the blades"
        text = (
            f"{how} of {rotors}; {least:g} mm is wanted beside flap and seat tolerance: move it, or take smaller "
            "propellers."
        )
        severity = Severity.FAIL if gap.gap <= 0 else Severity.WARN
        yield Finding("disc.body", severity, names, text, gap.gap, least, "mm", _why(assembly, rule))


def _overlap_findings(found: Iterable[Overlap]) -> Iterator[Finding]:
    alike: dict[tuple[str, str, float], list[Overlap]] = {}
    for overlap in found:
        alike.setdefault((overlap.one.key, overlap.other.key, round(overlap.depth, 2)), []).append(overlap)
    for same in alike.values():
        o = same[0]
        x, y, z = o.point
        more = f" ({len(same) - 1} more like it)" if len(same) > 1 else ""
        text = (
            f"is {o.depth:.2f} mm deep in {o.other.name} at ({x:.1f}, {y:.1f}, {z:.1f}){more}; move one of them, "
            "or make room for it."
        )
        soft = is_soft(o.one) and is_soft(o.other)
        severity = Severity.FAIL if o.depth > _DEEP and not soft else Severity.WARN
        why = "two things cannot be in one place" + ("; both give way" if soft else "")
        yield Finding("body.overlap", severity, o.one.name, text, o.depth, _DEEP, "mm", why, at_least=False)


def _ground_findings(stands: Iterable[Stand]) -> Iterator[Finding]:
    """Say once, at the least tilt, that a disc touches first."""
    for stand in stands:
        if stand.disc is None or stand.clearance >= 0:
            continue
        tilt = round(math.degrees(stand.tilt))
        how = "standing level" if tilt == 0 else f"tilted {tilt} deg towards its {_side(stand.azimuth)}"
        text = (
            f"touches the ground first, {how}: {-stand.clearance:.1f} mm lower than {_some(stand.touching)}; land on "
            "something lower, or expect to replace propellers."
        )
        yield Finding(
            "ground.disc",
            _TILTS[float(tilt)],
            f"disc of rotor {stand.disc.rotor}",
            text,
            stand.clearance,
            0.0,
            "mm",
            "a propeller must not carry the craft (common practice, no source)",
        )
        return


def _pairs(assembly: Assembly, between: Sequence[DiscGap], beside: Sequence[BodyGap]) -> Iterator[ClearanceRow]:
    if between:
        worst, tip = min(between, key=lambda g: g.gap), assembly.catalogue.rule(_TIP_RULE).value
        yield ClearanceRow("disc to disc", _disc(worst.one), _disc(worst.other), worst.gap, tip, _TIP_RULE)
    kinds: dict[str, BodyGap] = {}
    for gap in beside:
        kind = _kind(gap.body)
        if kind not in kinds or gap.gap < kinds[kind].gap - 1e-9:
            kinds[kind] = gap
    for kind, gap in sorted(kinds.items(), key=lambda row: row[1].gap):
        rule = _rule_for(gap.body.role)
        wanted = assembly.catalogue.rule(rule).value
        yield ClearanceRow(f"disc to {kind}", _disc(gap.disc), gap.body.name, gap.gap, wanted, rule)


def _room(assembly: Assembly, limit: Limit) -> PropellerRoom:
    sizes = propeller_sizes(assembly)
    fitting = [p for p in sizes if p.diameter_mm <= limit.diameter]
    larger = next((p for p in sizes if p.diameter_mm > limit.diameter), None)
    return PropellerRoom(
        limit.disc.rotor,
        limit.disc.diameter,
        limit.diameter,
        limit.by,
        _TIP_RULE if limit.role == "propeller" else _rule_for(limit.role),
        fitting[-1].id if fitting else "",
        larger.id if larger else "",
        larger.diameter_mm - limit.diameter if larger else None,
    )


def _ground_row(stand: Stand) -> GroundRow:
    return GroundRow(
        math.degrees(stand.tilt),
        math.degrees(stand.azimuth),
        stand.touching,
        stand.point,
        stand.disc.rotor if stand.disc else None,
        stand.clearance if stand.disc else None,
    )


def _why(assembly: Assembly, rule: str) -> str:
    flap = assembly.catalogue.rule(_FLAP_RULE)
    return f"{rule} ({assembly.catalogue.rule(rule).source}); flap {flap.value:g} mm per inch ({flap.source})"


def _rule_for(role: str) -> str:
    return _SOFT_RULES.get(role, _BODY_RULE)


def _kind(body: Body) -> str:
    return _KINDS.get(body.role, body.role)


def _disc(disc: Disc) -> str:
    return f"rotor {disc.rotor}"


def _rotors(numbers: Iterable[int]) -> str:
    *first, last = (str(n) for n in dict.fromkeys(numbers))
    return f"rotors {', '.join(first)} and {last}" if first else f"rotor {last}"


def _some(names: Sequence[str]) -> str:
    """Return what touches, by owner, at most three."""
    owners = list(dict.fromkeys(name.partition("#")[0].partition(".")[0] for name in names))
    return ", ".join(owners[:3]) + (" ..." if len(owners) > 3 else "")


def _side(azimuth: float) -> str:
    """Return the lowered side in words."""
    return _SIDES[round(azimuth / (math.pi / 4)) % 8]
