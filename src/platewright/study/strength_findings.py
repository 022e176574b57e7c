"""Findings about the strength of a frame: margins of known loads, screws that break first, faces that slip."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import StructureError
from platewright.foundation.findings import Finding, Severity
from platewright.study.hover_results import HoverReport
from platewright.study.strength import frame_strength
from platewright.study.strength_bow import LASTING
from platewright.study.strength_parts import PartCache
from platewright.study.strength_results import BowRow, CaseRow, FrameStrength, SlipRow
from platewright.study.vibration_findings import vibration_findings

__all__ = ["check_strength", "strength_findings"]

_SLIP_WHY = "VDI 2230-1, alternating loads, and Junker 1969: no self-loosening without slip (from memory)"
_BOW_WHY = "common practice, no source: a laminate that carries much for years creeps and relaxes"
_MARGIN_WHY = "common practice, no source: joints and plates are known within about a factor 1.5"


def check_strength(
    assembly: Assembly, kept: PartCache | None = None, hover: HoverReport | None = None
) -> tuple[FrameStrength | None, tuple[Finding, ...]]:
    """Return the strength of a frame with its findings; none, with the reason as a finding, where it cannot be solved.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    kept : mutable mapping or None
        Reduced parts, kept between calls.
    hover : HoverReport or None
        Where it is known already.
    """
    try:
        strength = frame_strength(assembly, None, kept, hover=hover).strength
    except StructureError as error:
        text = f"its strength is not known: {error}"
        return None, (Finding("strength.model", Severity.WARN, assembly.design.frame.name, text),)
    found = strength_findings(strength, assembly.design.checks.strength_margin)
    return strength, (*found, *vibration_findings(strength))


def strength_findings(strength: FrameStrength, wanted: float) -> Iterator[Finding]:
    """Yield what the strength of a frame gives rise to.

    Parameters
    ----------
    strength : FrameStrength
        As solved.
    wanted : float
        Least margin of a known load [-].
    """
    for row in strength.cases:
        if row.margin is not None and row.margin_band is not None:
            yield from _margin(row, row.margin, row.margin_band[0], wanted)
    yield from _screws(strength)
    yield from _slip(strength.slip)
    for bow in strength.bows:
        yield from _bow(bow)


def _margin(row: CaseRow, margin: float, low: float, wanted: float) -> Iterator[Finding]:
    if margin >= wanted and low >= 1:
        return
    severity = Severity.FAIL if margin < 1 else Severity.WARN
    text = (
        f"{row.first_failure} fails at {margin:.2f} times these loads ({row.how}), at {low:.2f} with weak plates or "
        f"other joints; {wanted:g} is wanted."
    )
    yield Finding("strength.margin", severity, row.case, text, margin, wanted, "times", _MARGIN_WHY)


def _screws(strength: FrameStrength) -> Iterator[Finding]:
    """Say once which hits break a screw before any plate or standoff."""
    found: dict[str, list[str]] = {}
    for row in strength.cases:
        if row.energy_j is not None and row.first_failure.startswith("screw "):
            found.setdefault(row.first_failure, []).append(row.case)
    for screw, cases in found.items():
        text = (
            f"breaks before any plate or standoff fails in {', '.join(cases)}; carry spares, or take a stronger screw."
        )
        yield Finding("strength.screw", Severity.NOTE, screw, text)


def _slip(rows: tuple[SlipRow, ...]) -> Iterator[Finding]:
    """Say of each pair of plates where its faces come nearest to slipping."""
    for row in rows:
        if row.safety >= row.wanted:
            continue
        text = (
            f"{row.plates}: {row.shear_n:.0f} N across the faces at full thrust, where the {row.clamp_n:.0f} N of the "
            f"torque shown hold {row.safety:.2f} times that by friction; {row.wanted:g} is wanted, or the screw may "
            "turn loose."
        )
        yield Finding("strength.slip", Severity.WARN, row.line, text, row.safety, row.wanted, "times", _SLIP_WHY)


def _bow(bow: BowRow) -> Iterator[Finding]:
    limit = 100 * LASTING
    if bow.used_percent <= limit and bow.used_band_percent[1] < 100:
        return
    breaks = bow.used_band_percent[1] >= 100
    text = (
        f"bowed by {bow.sagitta_mm:.2f} mm it uses {bow.used_percent:.0f} % of its strength for good "
        f"({bow.used_band_percent[0]:.0f} to {bow.used_band_percent[1]:.0f} %, {bow.how}); "
        + ("it may break when it is tightened; " if breaks else "")
        + "make the columns more alike, or the plate thinner or longer between them."
    )
    severity = Severity.WARN if breaks else Severity.NOTE
    yield Finding("strength.bow", severity, bow.plate, text, bow.used_percent, limit, "%", _BOW_WHY, at_least=False)
