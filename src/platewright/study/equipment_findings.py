"""Findings about equipment: boards of one stack, propellers on their shafts."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.assembly.assemble import Assembly
from platewright.assembly.hub_screws import hub_screws
from platewright.foundation.findings import Finding, Severity
from platewright.model.catalogue.electronics import Board
from platewright.model.catalogue.power import Motor, Propeller, PropellerNut
from platewright.model.design import Equipment

__all__ = ["equipment_findings"]


def equipment_findings(assembly: Assembly) -> Iterator[Finding]:
    """Yield everything about how equipment is held."""
    equipment = {e.id: e for e in assembly.design.equipment}
    for own in equipment.values():
        if own.fitted:
            yield from _boards(assembly, own)
            yield from _propeller(assembly, own, equipment.get(own.on or ""))


def _boards(assembly: Assembly, equipment: Equipment) -> Iterator[Finding]:
    records = [assembly.catalogue.find(i)[0] for i in equipment.use.values()]
    patterns = {r.pattern for r in records if isinstance(r, Board) and r.pattern is not None}
    if equipment.stack and len(patterns) > 1:
        text = f"holds boards of the patterns {' and '.join(sorted(patterns))} on one set of screws; split the stack."
        yield Finding("board.pattern", Severity.FAIL, equipment.id, text, why="one stack has one hole pattern")


def _propeller(assembly: Assembly, equipment: Equipment, carrier: Equipment | None) -> Iterator[Finding]:
    records = [assembly.catalogue.find(i)[0] for i in equipment.use.values()]
    propeller = next((r for r in records if isinstance(r, Propeller)), None)
    if propeller is None:
        return
    motors = [assembly.catalogue.find(i)[0] for i in carrier.use.values()] if carrier else []
    motor = next((m for m in motors if isinstance(m, Motor)), None)
    if motor is None:
        text = "has no motor: name the motor's piece of equipment with on."
        yield Finding("propeller.mount", Severity.FAIL, equipment.id, text)
        return
    nut = next((r for r in records if isinstance(r, PropellerNut)), None)
    shared = set(motor.fixings) & set(propeller.fixings)
    if not shared:
        text = f"{propeller.title} is held by {_list(propeller.fixings)}, {motor.title} offers {_list(motor.fixings)}."
        yield Finding("propeller.mount", Severity.FAIL, equipment.id, text, why="common practice, no source")
    elif "m5_nut" in shared and nut is None and len(shared) == 1:
        text = f"{motor.title} needs a propeller nut: add nut = 'prop_nut_m5_right' to its use."
        yield Finding("propeller.mount", Severity.FAIL, equipment.id, text, why="common practice, no source")
    fit = hub_screws(equipment, assembly.catalogue)
    if "t_mount" in shared and "m5_nut" not in shared and fit is None:
        text = f"{motor.title} holds its propeller with two screws: add screw = 'm2_socket' to its use."
        yield Finding("propeller.mount", Severity.WARN, equipment.id, text, why="common practice, no source")
    if fit is not None and fit.engagement > fit.most + 1e-9:
        text = f"its screws of {fit.length:g} mm stand {fit.engagement:.1f} mm in the bell, at most {fit.most:.1f} mm."
        why = assembly.catalogue.rule("motor_mounting.t_mount_screw_engagement_mm").source
        yield Finding(
            "propeller.thread", Severity.WARN, equipment.id, text, fit.engagement, fit.most, "mm", why, at_least=False
        )
    if nut is not None and motor.shaft_thread != nut.thread:
        text = f"its nut is {nut.thread}, the shaft of {motor.title} is {motor.shaft_thread or 'plain'}."
        yield Finding("propeller.mount", Severity.FAIL, equipment.id, text, why="ISO 68-1: threads of one size mate")
    elif nut is not None and motor.shaft_thread_length_range_mm is not None:
        yield from _shaft(assembly, equipment, propeller, nut, motor.shaft_thread_length_range_mm)


def _shaft(
    assembly: Assembly, equipment: Equipment, propeller: Propeller, nut: PropellerNut, thread: tuple[float, float]
) -> Iterator[Finding]:
    """Say what thread is left past the propeller nut, for a usual shaft and for the shortest."""
    wanted = assembly.design.checks.nut_protrusion_pitches * assembly.catalogue.thread(nut.thread).pitch_mm
    usual = sum(thread) / 2 - propeller.hub_height_mm - nut.height_mm
    least = thread[0] - propeller.hub_height_mm - nut.height_max_mm
    if least >= wanted:
        return
    fails = usual < wanted
    value, shaft = (usual, "usual") if fails else (least, "shortest")
    used = propeller.hub_height_mm + (nut.height_mm if fails else nut.height_max_mm)
    text = (
        f"hub and nut take {used:.1f} mm of the shaft; {value:.1f} mm is left past the nut on the {shaft} shaft of its "
    )
    text += f"class ({thread[0]:g} to {thread[1]:g} mm of thread); measure the motor, or take a lower nut."
    severity = Severity.FAIL if value < 0 and fails else Severity.WARN
    why = "one pitch past the nut (common practice, no source)"
    yield Finding("propeller.thread", severity, equipment.id, text, value, wanted, "mm", why)


def _list(words: tuple[str, ...]) -> str:
    return " or ".join(w.replace("_", " ") for w in words)
