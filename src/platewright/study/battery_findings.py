"""Findings and rows about batteries: straps, what bears on a pack, and what can hurt it or be hurt by it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from platewright.assembly.assemble import Assembly
from platewright.assembly.mass import MassItem
from platewright.fit.battery import Hazard, Pack, hazards, inertia_shares
from platewright.fit.discs import Disc, discs_of
from platewright.fit.pack_leads import LeadReach, balance_reach, power_reach
from platewright.fit.solids import Prism
from platewright.fit.straps import StrapPath, strap_paths
from platewright.foundation.findings import Finding, Severity
from platewright.study.battery_results import BatteryRow, LeadToDiscRow, StrapRow

__all__ = ["batteries"]

_RULES = "battery_to_frame."
_HARD_RULE = f"{_RULES}screw_tip_or_nut_to_pack_min_mm"
_LEAD_RULE = f"{_RULES}balance_lead_to_disc_min_mm"
_OVERLAP_RULE = f"{_RULES}strap_overlap_min_mm"
_KINDS = {"tip": "the tip of a screw", "nut": "a nut", "edge": "the edge of a plate"}


def batteries(
    assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], packs: Sequence[Pack], items: Sequence[MassItem]
) -> tuple[tuple[BatteryRow, ...], list[Finding]]:
    """Return the place of every battery, and what is found about it.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    packs : sequence of Pack
        Its batteries.
    items : sequence of MassItem
        Everything that weighs.
    """
    discs = discs_of(assembly) if packs else ()
    rows: list[BatteryRow] = []
    found: list[Finding] = []
    for pack in packs:
        straps = strap_paths(assembly, pack)
        leads = _leads(assembly, pack, discs)
        rows.append(_row(pack, straps, leads, inertia_shares(items, pack)))
        found += _straps(assembly, pack, straps)
        found += _hazards(assembly, hazards(assembly, prisms, pack, assembly.catalogue.rule(_HARD_RULE).value))
        found += [f for lead in leads for f in _lead(assembly, lead)]
    return tuple(rows), found


def _leads(assembly: Assembly, pack: Pack, discs: Sequence[Disc]) -> list[LeadReach]:
    value = {
        name: assembly.catalogue.rule(_RULES + name).value
        for name in (
            "balance_lead_length_mm",
            "balance_lead_loose_when_tied_mm",
            "power_lead_length_mm",
            "power_lead_slack_when_tied_mm",
        )
    }
    one, other = (
        balance_reach(assembly, pack, discs, value["balance_lead_length_mm"], value["balance_lead_loose_when_tied_mm"]),
        power_reach(assembly, pack, discs, value["power_lead_length_mm"], value["power_lead_slack_when_tied_mm"]),
    )
    return [lead for lead in (one, other) if lead is not None]


def _straps(assembly: Assembly, pack: Pack, straps: Sequence[StrapPath]) -> Iterator[Finding]:
    """Warn of a pack without a strap and of one that closes badly; fail where no strap is long enough."""
    rule = assembly.catalogue.rule(_OVERLAP_RULE)
    if not straps:
        text = (
            "no strap of the design has its slots beside it, so nothing holds it; add one with spacing_mm and through."
        )
        yield Finding("battery.strap", Severity.WARN, pack.body.name, text, why="common practice, no source")
    for strap in straps:
        if strap.spare >= rule.value:
            continue
        fails = strap.spare < 0
        text = (
            f"{strap.strap.name} goes {strap.length:.0f} mm round it and is sold up to {strap.longest:g} mm: "
            f"{'it is too short' if fails else f'{strap.spare:.0f} mm are left to close it'}; take a wider strap, "
            "which is sold longer, or a smaller pack."
        )
        severity = Severity.FAIL if fails else Severity.WARN
        why = f"{_OVERLAP_RULE} ({rule.source})"
        yield Finding("battery.strap", severity, pack.body.name, text, strap.spare, rule.value, "mm", why)


def _hazards(assembly: Assembly, found: Iterable[Hazard]) -> Iterator[Finding]:
    """Fail for whatever hard can reach a pack: a cell that is pierced burns."""
    rule = assembly.catalogue.rule(_HARD_RULE)
    alike: dict[tuple[str, str, float], list[Hazard]] = {}
    for hazard in found:
        alike.setdefault((hazard.kind, hazard.body.key, round(hazard.gap, 2)), []).append(hazard)
    for same in alike.values():
        h = same[0]
        names = ", ".join(s.body.name for s in same[:4]) + (" ..." if len(same) > 4 else "")
        text = (
            f"{_KINDS[h.kind]} is {h.gap:.2f} mm from it ({names}); a pierced cell burns: turn the screw round, "
            "shorten it, or lay the pack on a thicker pad."
        )
        why = f"{_HARD_RULE} ({rule.source})"
        yield Finding("battery.hard", Severity.FAIL, h.pack.body.name, text, h.gap, rule.value, "mm", why)


def _lead(assembly: Assembly, lead: LeadReach) -> Iterator[Finding]:
    """Fail where even a tied lead reaches a disc, warn where it lies too near, note that it must be tied."""
    rule = assembly.catalogue.rule(_LEAD_RULE)
    where, rotor = lead.pack.body.name, lead.disc.rotor
    why = f"{_LEAD_RULE} ({rule.source}); lengths of leads: rules {_RULES}{lead.lead.replace(' ', '_')}_*"
    if lead.gap <= 0:
        text = (
            f"its {lead.lead}, tied, can reach {-lead.gap:.1f} mm into the disc of rotor {rotor}: turn the pack round, "
            "move it away from the disc, or bring the connector nearer."
        )
        yield Finding("battery.lead", Severity.FAIL, where, text, lead.gap, 0.0, "mm", why)
    elif lead.rest < rule.value:
        text = f"its {lead.lead} lies {lead.rest:.1f} mm from the disc of rotor {rotor}; {rule.value:g} mm is wanted."
        yield Finding("battery.lead", Severity.WARN, where, text, lead.rest, rule.value, "mm", why)
    elif lead.loose <= 0:
        text = f"its {lead.lead} must be tied: loose, it reaches {-lead.loose:.0f} mm into the disc of rotor {rotor}."
        yield Finding("battery.lead", Severity.NOTE, where, text, lead.loose, 0.0, "mm", why)
    if lead.lacks > 0:
        text = f"its {lead.lead} lacks {lead.lacks:.0f} mm to the frame's connector; bring the connector nearer."
        yield Finding("battery.lead", Severity.WARN, where, text, lead.lacks, 0.0, "mm", why, at_least=False)


def _row(
    pack: Pack, straps: Sequence[StrapPath], leads: Sequence[LeadReach], shares: tuple[float, float, float]
) -> BatteryRow:
    x, y, z = (100 * s for s in shares)
    low, high = pack.span
    return BatteryRow(
        pack.body.name,
        pack.battery.record.id,
        pack.underneath,
        low,
        high,
        pack.pad,
        pack.bearing,
        100 * pack.borne,
        (x, y, z),
        tuple(StrapRow(s.strap.name, s.length, s.longest, s.spare) for s in straps),
        tuple(LeadToDiscRow(v.lead, v.disc.rotor, v.rest, v.gap, v.loose, v.lacks) for v in leads),
    )
