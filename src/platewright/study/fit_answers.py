"""A buyer's questions answered: does this propeller, motor or action camera fit this frame as it is cut.

A thing is tried by putting it in the place of the one that the design carries; what the check then finds about it
decides: a finding that fails means no, one that warns that it fits tightly. Holes are never added.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypeVar

from platewright.assembly.assemble import Assembly
from platewright.foundation.findings import Finding, Severity
from platewright.geometry.loops import Outline
from platewright.geometry.probe import Probe
from platewright.model.catalogue import ActionCamera, Motor, Propeller
from platewright.study.results import CheckResult

__all__ = [
    "FitAnswer",
    "Verdict",
    "action_camera_answer",
    "carrier_of",
    "lacking_holes",
    "motor_answer",
    "no_place",
    "propeller_answer",
]

Verdict = Literal["fits", "tight", "no"]
_SAME = 1e-3  # numbers that differ by less are the same, in mm
_NEAR = 0.05  # holes that are nearer than this are in one place [mm]
R = TypeVar("R")
_PAD_RULE = "motor_mounting.arm_pad_d_over_bell_d"


@dataclass(frozen=True)
class FitAnswer:
    """One question answered.

    `verdict` is fits, tight (it works with less than a limit of the trade) or no. `margin` is what is left, negative
    where something lacks, of what `margin_of` names.
    """

    option: str
    record: str
    verdict: Verdict
    sentence: str
    margin_mm: float | None
    margin_of: str
    reasons: tuple[str, ...] = ()


def carrier_of(
    assembly: Assembly, kind: type[R], suits: Callable[[R], bool] = lambda _: True
) -> tuple[str, str] | None:
    """Return the first fitted piece of equipment, and its role, that uses a record of some kind that suits."""
    for e in assembly.design.equipment:
        for role, record_id in e.use.items():
            record = assembly.catalogue.find(record_id)[0]
            if e.fitted and isinstance(record, kind) and suits(record):
                return e.id, role
    return None


def no_place(assembly: Assembly, option: str, record: str, what: str) -> FitAnswer:
    """Return the answer for a thing for which the design has no place at all."""
    text = f"{assembly.design.frame.name} has no place for {what}: its design carries none."
    return FitAnswer(option, record, "no", text, None, "")


def propeller_answer(frame: str, propeller: Propeller, check: CheckResult) -> FitAnswer:
    """Return whether a propeller fits, from the check of the frame with it.

    Parameters
    ----------
    frame : str
        Name of the frame.
    propeller : Propeller
        The propeller.
    check : CheckResult
        What the check says of the frame with this propeller.
    """
    worst = _about(check, ("disc.", "propeller."), "")
    room = min(check.clearances.propellers, key=lambda r: (round(r.largest_mm, 2), r.rotor), default=None)
    name = f"{propeller.title} ({propeller.diameter_mm:.1f} mm)"
    if room is None:
        text = f"{frame} has no rotors to turn {name}."
        return FitAnswer("propeller", propeller.id, "no", text, None, "")
    margin = room.largest_mm - propeller.diameter_mm
    verdict = _verdict(worst)
    limit = f"{room.limited_by} limits rotor {room.rotor} to {room.largest_mm:.1f} mm ({room.rule})"
    if verdict == "fits":
        text = f"{name} fits {frame} with {margin:.1f} mm of diameter to spare: {limit}."
    else:
        how = f"goes on {frame} with less than the trade wants" if verdict == "tight" else f"does not fit {frame}"
        text = f"{name} {how}: {_first(worst)}; {limit}, {margin:+.1f} mm of diameter."
    return FitAnswer("propeller", propeller.id, verdict, text, margin, "diameter", tuple(_said(worst)))


def motor_answer(
    cut: Assembly, before: CheckResult, tried: Assembly, check: CheckResult, equipment: str, motor: Motor
) -> FitAnswer:
    """Return whether a motor fits the plates as they are cut.

    Parameters
    ----------
    cut, before : Assembly, CheckResult
        The frame as it is.
    tried, check : Assembly, CheckResult
        The frame with the motor in place of its own.
    equipment : str
        The piece of equipment it replaces.
    motor : Motor
        The motor.
    """
    frame = cut.design.frame.name
    lacking = list(lacking_holes(cut, tried, equipment))
    own = cut.catalogue.find(next(e for e in cut.design.equipment if e.id == equipment).use[_role(cut, equipment)])[0]
    if lacking:
        theirs = own.patterns[0] if isinstance(own, Motor) else "another pattern"
        text = (
            f"{motor.title} does not fit {frame}: {lacking[0]}; its base is {' or '.join(motor.patterns)} between "
            f"opposite holes, the plates are drilled for {theirs}."
        )
        return FitAnswer("motor", motor.id, "no", text, None, "", tuple(lacking))
    known = {(f.code, f.where): f.value for f in before.findings}
    worst = [
        f for f in _about(check, ("screw.", "disc.", "propeller.", "body.", "nut."), equipment) if _worse(f, known)
    ]
    pad = _pad_diameter(cut, equipment)
    ratio = cut.catalogue.rule(_PAD_RULE)
    margin = None if pad is None else pad - ratio.value * motor.bell_d_mm
    verdict = _verdict(worst)
    if verdict == "fits" and margin is not None and margin < -1e-9:
        verdict = "tight"
    pad_text = (
        ""
        if pad is None or margin is None
        else f" the pad is {pad:.1f} mm wide and the bell {motor.bell_d_mm:.1f} mm, {margin:+.1f} mm ({_PAD_RULE})"
    )
    if verdict == "no":
        text = f"{motor.title} does not fit {frame}: {_first(worst)}."
    elif worst:
        text = f"{motor.title} goes on {frame}, but {_first(worst)};{pad_text}."
    elif verdict == "tight":
        text = f"{motor.title} goes on {frame}, but its bell stands out over the pad:{pad_text}."
    else:
        text = f"{motor.title} fits {frame}: its holes are there;{pad_text}."
    return FitAnswer("motor", motor.id, verdict, text, margin, "pad over bell", tuple(_said(worst)))


def action_camera_answer(frame: str, camera: ActionCamera, check: CheckResult, equipment: str, role: str) -> FitAnswer:
    """Return whether an action camera fits where the frame carries one."""
    name = f"{equipment}.{role}"
    worst = [f for f in _about(check, ("body.", "disc."), "") if name in f.where or name in f.message]
    rows = [r for r in check.clearances.pairs if r.other == name]
    margin = rows[0].distance_mm - rows[0].required_mm if rows else None
    verdict = _verdict(worst)
    if verdict == "fits":
        spare = "" if margin is None else f": {margin:.1f} mm more than the blades must leave ({rows[0].rule})"
        text = f"{camera.title} fits {frame}{spare}."
    else:
        how = "stands on" if verdict == "tight" else "does not fit"
        text = f"{camera.title} {how} {frame}: {_first(worst)}."
    return FitAnswer("action camera", camera.id, verdict, text, margin, "to the blades", tuple(_said(worst)))


def lacking_holes(cut: Assembly, tried: Assembly, equipment: str) -> Iterator[str]:
    """Yield what the plates lack for a tried thing: a hole that is not there, or is too small.

    Parameters
    ----------
    cut, tried : Assembly
        The frame as it is cut, and with the thing in it.
    equipment : str
        Whose holes.
    """
    for part, finished in tried.parts.items():
        there = cut.parts[part].holes.holes
        for hole in finished.holes.holes:
            if not any(r.source == equipment or r.source.startswith(f"{equipment}.") for r in hole.requests):
                continue
            near = [h for h in there if math.hypot(h.x - hole.x, h.y - hole.y) < _NEAR]
            if not near:
                yield f"{part} has no {hole.diameter:.1f} mm hole for its {hole.purpose} at {hole.x:.1f}, {hole.y:.1f}"
            elif max(h.diameter for h in near) < hole.diameter - _NEAR:
                wide = f"{near[0].diameter:.1f} mm hole of {part} must be {hole.diameter:.1f} mm"
                yield f"the {wide} for its {hole.purpose}"


def _about(check: CheckResult, families: Sequence[str], owner: str) -> list[Finding]:
    """Return what is found about a thing and more than a note, the gravest first."""
    found = [
        f
        for f in check.findings
        if f.severity is not Severity.NOTE
        and f.code.startswith(tuple(families))
        and (not owner or f.code.startswith(("disc.", "propeller.")) or owner in f.where)
    ]
    return sorted(found, key=lambda f: f.severity.rank)


def _verdict(found: Sequence[Finding]) -> Verdict:
    if not found:
        return "fits"
    return "no" if found[0].severity is Severity.FAIL else "tight"


def _worse(finding: Finding, known: Mapping[tuple[str, str], float | None]) -> bool:
    """Whether a finding is new, or its number further beyond its limit than before."""
    if (finding.code, finding.where) not in known:
        return True
    before = known[finding.code, finding.where]
    if finding.value is None or before is None:
        return False
    return finding.value < before - _SAME if finding.at_least else finding.value > before + _SAME


def _first(found: Sequence[Finding]) -> str:
    """Return the gravest finding as a clause."""
    return f"{found[0].where} {found[0].message}".rstrip(".")


def _said(found: Sequence[Finding]) -> Iterator[str]:
    return (f"{f.severity.value}: {f.where} {f.message} [{f.code}]" for f in found)


def _role(assembly: Assembly, equipment: str) -> str:
    own = next(e for e in assembly.design.equipment if e.id == equipment)
    return next(r for r, i in own.use.items() if isinstance(assembly.catalogue.find(i)[0], Motor))


def _pad_diameter(assembly: Assembly, equipment: str) -> float | None:
    """Return the width of plate about the motors' axes, the narrowest [mm]."""
    widths = []
    for line in assembly.lines:
        rotor = next((r for r in assembly.rotors if line.owner == equipment and r.number == line.rotor), None)
        for item in line.items if rotor is not None else ():
            if item.instance is not None and rotor is not None and not item.is_access:
                outer = Probe(Outline(assembly.parts[item.instance.part.id].outline.outer))
                at = item.instance.in_part(rotor.x, rotor.y)
                widths.append(2 * float(outer.distance([at])[0]))
    return min(widths, default=None)
