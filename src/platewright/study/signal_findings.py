"""Antennas, position receivers, small things and what conducts, in one report."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from platewright.assembly.assemble import Assembly
from platewright.fit.interior import Interior
from platewright.fit.loose import LooseThing, loose_things
from platewright.fit.solids import Prism
from platewright.foundation.findings import Finding
from platewright.study.antenna_findings import antennas, satellites
from platewright.study.carbon_findings import beside_carbon
from platewright.study.signal_results import LooseLeadRow, LooseRow, SignalReport

__all__ = ["signals"]


def signals(
    assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], interior: Interior
) -> tuple[SignalReport, list[Finding]]:
    """Return where antennas, receivers and small things stand and what is found about them.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    interior : Interior
        Boards, leads and wires.
    """
    antenna_rows, antenna_findings = antennas(assembly, prisms)
    sky_rows, sky_findings = satellites(assembly, prisms, interior)
    carbon_rows, carbon_findings = beside_carbon(assembly, prisms)
    loose = tuple(_loose(thing) for thing in loose_things(assembly, prisms, interior.runs))
    report = SignalReport(antenna_rows, sky_rows, loose, carbon_rows)
    return report, [*antenna_findings, *sky_findings, *carbon_findings]


def _loose(place: LooseThing) -> LooseRow:
    equipment, near = place.thing.equipment, place.nearest
    leads = (
        LooseLeadRow(run.kind, run.end if run.start == place.body.name else run.start, run.length) for run in place.runs
    )
    return LooseRow(
        place.body.name,
        place.thing.record.id,
        equipment.on or "",
        equipment.face,
        place.middle,
        near.body if near else "",
        near.gap if near else None,
        tuple(leads),
    )
