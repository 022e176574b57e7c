"""Motors of a read part as the equipment of rotors [mm, rad]."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from platewright.assembly.hole_requests import relief_hole
from platewright.geometry.recognise.pattern import Pattern
from platewright.io.foreign_drawing.stanza_writer import StanzaWriter, has_screw, plain_degrees
from platewright.model.catalogue import Motor, MotorPattern
from platewright.model.design import Checks

__all__ = ["common_turn", "rotor_motors", "write_motors"]

_SAME_TURN = math.radians(0.5)


def rotor_motors(motors: Sequence[Pattern]) -> list[Pattern]:
    """Return the motor patterns of the commonest kind; the surest where kinds are equally common."""
    counts = Counter(p.record for p in motors)
    if not counts:
        return []
    best = max(counts, key=lambda record: (counts[record], max(p.confidence for p in motors if p.record == record)))
    return [p for p in motors if p.record == best]


def common_turn(motors: Sequence[Pattern], writer: StanzaWriter) -> float | None:
    """Return the angle by which all motors are turned from the direction of their rotor [rad], if it is one.

    Designs count it the other way where the frame is mirrored: at rotors whose x and y differ in sign.
    """
    if not motors:
        return None
    period = _period(writer.catalogue.motor_pattern(motors[0].record))
    turns = []
    for p in motors:
        z = complex(*(float(v) for v in writer.point(p.x, p.y)[1:-1].split(",")))
        bearing = math.atan2(z.imag, z.real)
        turns.append((-1 if z.real * z.imag < 0 else 1) * (p.turn - bearing))
    away = [(t - turns[0] + period / 2) % period - period / 2 for t in turns]
    if max(map(abs, away)) > _SAME_TURN:
        return None
    return (turns[0] + sum(away) / len(away)) % period


def write_motors(writer: StanzaWriter, motors: Sequence[Pattern], turn: float) -> None:
    """Write the motors as one piece of equipment at every rotor."""
    record, first = motors[0].record, motors[0]
    pattern = writer.catalogue.motor_pattern(record)
    known = [m for m in writer.catalogue.of_class(Motor) if record in m.patterns]
    if not known or not has_screw(writer.catalogue, first.thread):
        writer.changes.append(
            f"the catalogue has no motor or screw for the pattern {record}; its holes stay in the drawing"
        )
        return
    motor = min(known, key=lambda m: m.patterns.index(record))
    least = min(p.confidence for p in motors)
    writer.text += [
        "",
        f"# {len(motors)} x pattern {record}, confidence {least:.2f}; the motor is one of its kind.",
        "[[equipment]]",
        f'id = "{writer.facts.id}_motor"',
        f'use = {{ motor = "{motor.id}" }}',
        'at = "rotors"',
        f'pattern = "{record}"',
        f"turn_deg = {plain_degrees(turn)}",
        f'hole = "{first.fit}"',
        f'stack = ["screw {first.thread} socket 12.9", "{writer.facts.id}", "{writer.facts.id}_motor.motor"]',
    ]
    left = float(Checks().motor_hole_to_edge_mm)
    relief = relief_hole(motor, record, writer.catalogue, left)
    for p in motors:
        writer.take(p, p.openings[: pattern.holes])
        middle = p.openings[pattern.holes :]
        drawn = writer.diameter(middle[0]) if middle else 0.0
        writer.made |= set(middle)
        if abs(drawn - relief) > 1e-3:
            at = writer.point(p.x, p.y)
            if not middle:
                writer.changes.append(f"motor at {at}: there is no middle hole; one of {relief:.2f} mm comes")
            else:
                writer.changes.append(f"motor at {at}: the middle hole of {drawn:.2f} mm becomes {relief:.2f} mm")


def _period(pattern: MotorPattern) -> float:
    alike = len(set(pattern.opposite_hole_distances_mm)) == 1
    return 2 * math.pi / pattern.holes if alike else math.pi
