"""Findings about carbon, which conducts: bare edges of boards and cans of capacitors beside plates."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from platewright.assembly.assemble import Assembly
from platewright.fit.carbon import bare_boards, capacitor_cans
from platewright.fit.solids import Prism
from platewright.foundation.findings import Finding, Severity

__all__ = ["carbon_findings"]

_PAD_RULE = "board_to_carbon.bare_pad_to_carbon_min_mm"
_CAN_RULE = "board_to_carbon.capacitor_can_to_carbon_min_mm"
_SLIGHT = 1e-6  # lengths closer than this are one length [mm]


def carbon_findings(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> Iterator[Finding]:
    """Yield every screwed board whose edge, and every capacitor whose can, is too near to a carbon plate.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    """
    rule = assembly.catalogue.rule(_PAD_RULE)
    for near in bare_boards(assembly, prisms):
        if near.gap >= rule.value - _SLIGHT:
            continue
        touches = near.gap <= _SLIGHT
        how = "touches" if touches else f"has its bare edge {near.gap:.2f} mm from"
        text = f"{how} {near.plate}, which conducts; at least {rule.value:g} mm is needed: raise it or move it."
        severity = Severity.FAIL if touches else Severity.WARN
        why = f"{_PAD_RULE} ({rule.source})"
        yield Finding("carbon.pad", severity, near.body, text, near.gap, rule.value, "mm", why)
    can_rule = assembly.catalogue.rule(_CAN_RULE)
    for near in capacitor_cans(assembly, prisms):
        if near.gap < can_rule.value - _SLIGHT:
            text = (
                f"lies {near.gap:.2f} mm from {near.plate}, which conducts; {can_rule.value:g} mm is wanted beside its "
                "can: keep its sleeve whole and lay foam under it."
            )
            why = f"{_CAN_RULE} ({can_rule.source})"
            yield Finding("carbon.can", Severity.NOTE, near.body, text, near.gap, can_rule.value, "mm", why)
