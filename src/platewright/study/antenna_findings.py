"""Findings about what radiates and what must see the sky: shadows of antennas, sky over a position receiver."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from platewright.assembly.assemble import Assembly
from platewright.fit.antennas import antenna_shadows, skies
from platewright.fit.solids import Prism
from platewright.foundation.findings import Finding, Severity

__all__ = ["antenna_findings"]

_LEAST_SKY = 0.5  # share of the upper hemisphere that a position receiver should see [-] (common practice, no source)
_PRACTICE = "common practice, no source"


def antenna_findings(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> Iterator[Finding]:
    """Yield what hides each antenna, and receivers that see too little of the sky.

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
    for shadow in antenna_shadows(assembly, prisms):
        most = ", ".join(list(shadow.owners)[:3])
        text = (
            f"is hidden in {100 * shadow.all_round:.0f} % of all directions, {100 * shadow.behind:.0f} % of those from "
            f"behind and {100 * shadow.below:.0f} % of those from below" + (f"; most by {most}." if most else ".")
        )
        value = 100 * shadow.all_round
        yield Finding("antenna.shadow", Severity.NOTE, shadow.antenna, text, value, None, "%", "lines of sight")
    for sky in skies(assembly, prisms):
        if sky.free < _LEAST_SKY:
            text = f"sees {100 * sky.free:.0f} % of the sky; {100 * _LEAST_SKY:.0f} % is wanted: move it up or outward."
            value, limit = 100 * sky.free, 100 * _LEAST_SKY
            yield Finding("antenna.sky", Severity.WARN, sky.receiver, text, value, limit, "%", _PRACTICE)
