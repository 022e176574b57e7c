"""Findings and rows about what radiates and what must see the sky: antennas, position receivers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from platewright.assembly.assemble import Assembly
from platewright.fit.antennas import AntennaPlace, Shadow, antenna_places, skies
from platewright.fit.interior import Interior
from platewright.fit.loose import PowerNear, nearest_power
from platewright.fit.solids import Prism
from platewright.fit.things import fitted
from platewright.foundation.findings import Finding, Severity
from platewright.model.catalogue.electronics import Board
from platewright.study.signal_results import AntennaRow, SatelliteRow

__all__ = ["antennas", "satellites"]

_SKY_RULE = "antenna.sky_min_pct"
_WANTED_RULE = "antenna.wanted_wavelengths"
_LEAST_RULE = "antenna.least_wavelengths"

Prisms = Mapping[str, Sequence[Prism]]


def antennas(assembly: Assembly, prisms: Prisms) -> tuple[tuple[AntennaRow, ...], list[Finding]]:
    """Return the antennas of a frame, what hides them and what conducts too near to them.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.

    Notes
    -----
    A thing in the line of sight counts as hiding, whatever it is made of; waves bend round what is smaller than their
    length, so a share is for comparing places, not a loss of range.
    """
    rows, found = [], []
    for place in antenna_places(assembly, prisms):
        row = _row(assembly, place)
        rows.append(row)
        found += [_shadow(place.shadow), *_near(assembly, row)]
    return tuple(rows), found


def satellites(
    assembly: Assembly, prisms: Prisms, interior: Interior
) -> tuple[tuple[SatelliteRow, ...], list[Finding]]:
    """Return what sees the sky, and what is found about its sky and its compass.

    Parameters
    ----------
    assembly, prisms
        As in `antennas`.
    interior : Interior
        With all power leads.
    """
    free = {sky.receiver: sky.free for sky in skies(assembly, prisms)}
    rule = assembly.catalogue.rule(_SKY_RULE)
    rows: list[SatelliteRow] = []
    found: list[Finding] = []
    for thing in fitted(assembly, Board):
        record = thing.record
        for body in thing.bodies if record.sky_view_needed or record.power_lead_distance_min_mm is not None else ():
            middle = body.frame.point(0.0, 0.0, body.solids[0].shape.height / 2)
            near = nearest_power(middle, interior.power)
            share = 100 * free.get(body.name, 1.0)
            least = record.power_lead_distance_min_mm
            lead = f"{near.run.start} to {near.run.end}" if near is not None else ""
            gap = near.gap if near is not None else None
            rows.append(SatelliteRow(body.name, record.id, share, rule.value, lead, gap, least))
            if share < rule.value:
                text = f"sees {share:.0f} % of the sky; {rule.value:g} % is wanted: move it up or outward."
                why = f"{_SKY_RULE} ({rule.source})"
                found.append(Finding("antenna.sky", Severity.WARN, body.name, text, share, rule.value, "%", why))
            if near is not None and least is not None and near.gap < least:
                found.append(_compass(record, body.name, near, least))
    return tuple(rows), found


def _shadow(shadow: Shadow) -> Finding:
    most = ", ".join(list(shadow.owners)[:3])
    text = (
        f"is hidden in {100 * shadow.all_round:.0f} % of all directions, {100 * shadow.behind:.0f} % of those from "
        f"behind and {100 * shadow.below:.0f} % of those from below" + (f"; most by {most}." if most else ".")
    )
    value = 100 * shadow.all_round
    return Finding("antenna.shadow", Severity.NOTE, shadow.antenna, text, value, None, "%", "lines of sight")


def _near(assembly: Assembly, row: AntennaRow) -> Iterator[Finding]:
    """Note what conducts within the near field of an antenna; warn where it nearly touches."""
    for what, other, gap in (("carbon", row.carbon, row.carbon_mm), ("a pack", row.battery, row.battery_mm)):
        if gap is None or gap >= row.wanted_mm:
            continue
        warns = gap < row.least_mm
        name, limit = (_LEAST_RULE, row.least_mm) if warns else (_WANTED_RULE, row.wanted_mm)
        rule = assembly.catalogue.rule(name)
        text = (
            f"has {what}, {other}, {gap:.1f} mm from what radiates; {limit:.1f} mm is "
            f"{'the least' if warns else 'wanted'} at {row.frequency_mhz:g} MHz: raise it, or move it outward."
        )
        why = f"{name}, {rule.value:g} of a wave ({rule.source})"
        severity = Severity.WARN if warns else Severity.NOTE
        yield Finding("antenna.near", severity, row.antenna, text, gap, limit, "mm", why)


def _compass(record: Board, name: str, near: PowerNear, least: float) -> Finding:
    text = (
        f"is {near.gap:.0f} mm from the power lead {near.run.start} to {near.run.end}, whose field turns its compass; "
        f"{least:g} mm are wanted: move it out, or raise it on a mast."
    )
    why = f"power_lead_distance_min_mm of {record.id} ({record.source})"
    return Finding("lead.gps", Severity.WARN, name, text, near.gap, least, "mm", why)


def _row(assembly: Assembly, place: AntennaPlace) -> AntennaRow:
    equipment, record, shadow = place.antenna.equipment, place.antenna.record, place.shadow
    wanted, least = (record.wavelength_mm * assembly.catalogue.rule(name).value for name in (_WANTED_RULE, _LEAST_RULE))
    low, high = place.span
    clears, carbon, pack = place.clears, place.carbon, place.pack
    return AntennaRow(
        place.body.name,
        record.id,
        record.frequency_mhz,
        equipment.on or "",
        tuple(equipment.through),
        low,
        high,
        clears.body if clears else "",
        clears.gap if clears else None,
        carbon.plate if carbon else "",
        carbon.gap if carbon else None,
        pack.body if pack else "",
        pack.gap if pack else None,
        wanted,
        least,
        100 * shadow.all_round,
        100 * shadow.behind,
        100 * shadow.below,
        tuple((owner, 100 * share) for owner, share in shadow.owners.items()),
    )
