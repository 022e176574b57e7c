"""Whether an antenna, a receiver or a position receiver fits where the frame carries one."""

from __future__ import annotations

from collections.abc import Sequence

from platewright.assembly.assemble import Assembly
from platewright.foundation.findings import Finding, Severity
from platewright.model.catalogue import Antenna, Board
from platewright.study.fit_answers import FitAnswer, Verdict, lacking_holes
from platewright.study.results import CheckResult

__all__ = ["antenna_answer", "small_board_answer"]

_FAMILIES = ("antenna.", "body.", "carbon.", "disc.", "lead.gps")


def antenna_answer(
    antenna: Antenna, cut: Assembly, tried: Assembly, check: CheckResult, equipment: str, role: str
) -> FitAnswer:
    """Return whether an antenna fits.

    Parameters
    ----------
    antenna : Antenna
        The antenna.
    cut : Assembly
        The frame as it is cut.
    tried, check : Assembly, CheckResult
        The frame with this antenna in the place of its own.
    equipment, role : str
        That place.
    """
    frame, title = check.frame, f"{antenna.id} ({antenna.frequency_mhz:g} MHz)"
    lacking = list(lacking_holes(cut, tried, equipment))
    own = next(e for e in tried.design.equipment if e.id == equipment)
    if antenna.panel_hole_d_mm is not None and not own.through:
        lacking = [f"it needs a {antenna.panel_hole_d_mm:g} mm hole in a plate, and {equipment} goes through none"]
    if lacking:
        return FitAnswer(
            "antenna", antenna.id, "no", f"{title} does not fit {frame}: {lacking[0]}.", None, "", tuple(lacking)
        )
    name = f"{equipment}.{role}"
    rows = [r for r in check.signals.antennas if r.antenna.startswith(name)]
    gaps = [
        (gap, what, r)
        for r in rows
        for gap, what in ((r.carbon_mm, r.carbon), (r.battery_mm, r.battery))
        if gap is not None
    ]
    nearest = min(gaps, key=lambda g: g[0], default=None)
    margin = None if nearest is None else nearest[0] - nearest[2].least_mm
    what = (
        "nothing that conducts is near it"
        if nearest is None
        else f"what radiates stands {nearest[0]:.1f} mm from {nearest[1]}, {nearest[2].least_mm:.1f} mm is the least "
        f"and {nearest[2].wanted_mm:.1f} mm wanted"
    )
    hidden = max((r.hidden_percent for r in rows), default=0.0)
    spare = f"{what}; {hidden:.0f} % of all directions are hidden"
    return _answer("antenna", antenna.id, title, check, name, spare, margin, "to what conducts")


def small_board_answer(option: str, board: Board, check: CheckResult, equipment: str, role: str) -> FitAnswer:
    """Return whether a receiver or a position receiver fits.

    Parameters
    ----------
    option : str
        "receiver" or "gps".
    board : Board
        The record.
    check : CheckResult
        What the check says of the frame with this record in the place of its own.
    equipment, role : str
        That place.
    """
    name = f"{equipment}.{role}"
    title = f"{board.id} ({board.length_mm:g} x {board.width_mm:g} x {board.total_height_mm:g} mm)"
    said, margin, margin_of = [], None, ""
    for loose in (r for r in check.signals.loose if r.thing.startswith(name) and r.nearest_mm is not None):
        said.append(f"{loose.nearest_mm:.1f} mm are left to {loose.nearest}")
        margin, margin_of = loose.nearest_mm, "to what is nearest"
    for sky in (r for r in check.signals.satellites if r.receiver.startswith(name)):
        said.append(f"it sees {sky.free_sky_percent:.0f} % of the sky")
        if sky.power_lead_mm is not None and sky.wanted_power_lead_mm is not None:
            margin, margin_of = sky.power_lead_mm - sky.wanted_power_lead_mm, "to power leads"
            said.append(f"its compass is {sky.power_lead_mm:.0f} mm from {sky.power_lead}, {margin:+.0f} mm")
    return _answer(option, board.id, title, check, name, "; ".join(said) or "it has its place", margin, margin_of)


def _answer(
    option: str,
    record: str,
    title: str,
    check: CheckResult,
    name: str,
    spare: str,
    margin: float | None,
    margin_of: str,
) -> FitAnswer:
    found = _about(check, name)
    verdict: Verdict = "fits" if not found else "no" if found[0].severity is Severity.FAIL else "tight"
    if verdict == "fits":
        text = f"{title} fits {check.frame}: {spare}."
    else:
        how = "goes on" if verdict == "tight" else "does not fit"
        text = f"{title} {how} {check.frame}: {found[0].where} {found[0].message}".rstrip(".") + f"; {spare}."
    said = tuple(f"{f.severity.value}: {f.where} {f.message} [{f.code}]" for f in found)
    return FitAnswer(option, record, verdict, text, margin, margin_of, said)


def _about(check: CheckResult, name: str) -> Sequence[Finding]:
    """Return what is found about a thing and more than a note, the gravest first."""
    found = [
        f
        for f in check.findings
        if f.severity is not Severity.NOTE
        and f.code.startswith(_FAMILIES)
        and (f.where.startswith(name) or f"in {name}" in f.message)
    ]
    return sorted(found, key=lambda f: f.severity.rank)
