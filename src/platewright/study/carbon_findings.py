"""Findings and rows about carbon, which conducts: bare edges of boards and cans of capacitors beside plates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from platewright.assembly.assemble import Assembly
from platewright.fit.carbon import NearCarbon, bare_boards, capacitor_cans
from platewright.fit.solids import Prism
from platewright.foundation.findings import Finding, Severity
from platewright.model.catalogue.rules import Rule
from platewright.study.signal_results import CarbonRow

__all__ = ["beside_carbon"]

_PAD_RULE = "board_to_carbon.bare_pad_to_carbon_min_mm"
_CAN_RULE = "board_to_carbon.capacitor_can_to_carbon_min_mm"
_SLIGHT = 1e-6  # lengths closer than this are one length [mm]


def beside_carbon(
    assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]
) -> tuple[tuple[CarbonRow, ...], list[Finding]]:
    """Return screwed boards and capacitors beside the nearest carbon, and those that are too near to it.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    """
    pad, can = (assembly.catalogue.rule(name) for name in (_PAD_RULE, _CAN_RULE))
    pads, cans = bare_boards(assembly, prisms), capacitor_cans(assembly, prisms)
    rows = [CarbonRow("pad", near.body, near.plate, near.gap, pad.value, _PAD_RULE) for near in pads]
    rows += [CarbonRow("can", near.body, near.plate, near.gap, can.value, _CAN_RULE) for near in cans]
    found = [_pad(near, pad) for near in pads if near.gap < pad.value - _SLIGHT]
    found += [_can(near, can) for near in cans if near.gap < can.value - _SLIGHT]
    return tuple(rows), found


def _pad(near: NearCarbon, rule: Rule) -> Finding:
    touches = near.gap <= _SLIGHT
    how = "touches" if touches else f"has its bare edge {near.gap:.2f} mm from"
    text = f"{how} {near.plate}, which conducts; at least {rule.value:g} mm is needed: raise it or move it."
    severity = Severity.FAIL if touches else Severity.WARN
    why = f"{_PAD_RULE} ({rule.source})"
    return Finding("carbon.pad", severity, near.body, text, near.gap, rule.value, "mm", why)


def _can(near: NearCarbon, rule: Rule) -> Finding:
    text = (
        f"lies {near.gap:.2f} mm from {near.plate}, which conducts; {rule.value:g} mm is wanted beside its can: keep "
        "its sleeve whole and lay foam under it."
    )
    why = f"{_CAN_RULE} ({rule.source})"
    return Finding("carbon.can", Severity.NOTE, near.body, text, near.gap, rule.value, "mm", why)
