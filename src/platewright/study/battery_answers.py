"""Whether a battery fits where the frame carries one: its strap, what is near it, its leads and the blades."""

from __future__ import annotations

from platewright.foundation.findings import Severity
from platewright.model.catalogue import Battery
from platewright.study.fit_answers import FitAnswer, Verdict
from platewright.study.results import CheckResult

__all__ = ["battery_answer"]

_FAMILIES = ("battery.", "body.", "disc.")


def battery_answer(battery: Battery, check: CheckResult, equipment: str, role: str) -> FitAnswer:
    """Return whether a battery fits.

    Parameters
    ----------
    battery : Battery
        The battery.
    check : CheckResult
        What the check says of the frame with this battery in the place of its own.
    equipment, role : str
        That place.
    """
    name = f"{equipment}.{role}"
    found = [
        f
        for f in check.findings
        if f.severity is not Severity.NOTE
        and f.code.startswith(_FAMILIES)
        and (f.where.startswith(name) or f"in {name} " in f.message)
    ]
    found.sort(key=lambda f: f.severity.rank)
    rows = [row for row in check.batteries if row.battery.startswith(name)]
    spare = min((s.spare_mm for row in rows for s in row.straps), default=None)
    verdict: Verdict = "fits" if not found else "no" if found[0].severity is Severity.FAIL else "tight"
    title = f"{battery.id} ({battery.length_mm:g} x {battery.width_mm:g} x {battery.height_mm:g} mm)"
    if verdict == "fits":
        strap = "" if spare is None else f": {spare:.0f} mm of strap are left to close it"
        text = f"{title} fits {check.frame}{strap}."
    else:
        how = "goes on" if verdict == "tight" else "does not fit"
        text = f"{title} {how} {check.frame}: {found[0].where} {found[0].message}".rstrip(".") + "."
    said = tuple(f"{f.severity.value}: {f.where} {f.message} [{f.code}]" for f in found)
    return FitAnswer("battery", battery.id, verdict, text, spare, "strap", said)
