"""A part that was read from a drawing, as a design file of one plate and a clean outline.

What was recognised for sure becomes equipment and columns, and its holes leave the outline; everything else stays in
it. Numbers in mm and degrees, in the drawing's own axes, moved so that the rotors' mean is the origin.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from platewright.assembly.holes import relief_hole
from platewright.foundation.errors import CatalogueError
from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import Outline, transform_outline
from platewright.geometry.recognise.openings import slot_of
from platewright.geometry.recognise.pattern import Pattern
from platewright.geometry.recognise.recognise import Recognised
from platewright.geometry.recognise.sheet import SheetPlate
from platewright.model.catalogue import Antenna, Board, Catalogue, Motor, MotorPattern, Nut, Strap
from platewright.model.design import Checks

__all__ = ["PartFacts", "PartText", "part_text"]

_SAME_TURN = math.radians(0.5)
_SAME_SIZE = 0.06  # an opening this near to what the catalogue asks for is left to it [mm]
_STANDOFF = 20.0  # a drawing does not tell how long a standoff is [mm]


@dataclass(frozen=True)
class PartFacts:
    """What a drawing does not tell: id and kind of the part, material, thickness [mm], names of both files."""

    id: str
    kind: str
    material: str
    thickness_mm: float
    drawing: str
    source: str


@dataclass(frozen=True)
class PartText:
    """A design file, the outline its drawing must hold, and what becomes different from the drawing that was read."""

    toml: str
    outline: Outline
    changes: tuple[str, ...]


@dataclass
class _Writer:
    """Collects stanzas, and the openings that they make."""

    facts: PartFacts
    plate: SheetPlate
    catalogue: Catalogue
    origin: complex = 0j
    text: list[str] = field(default_factory=list)
    made: set[int] = field(default_factory=set)
    changes: list[str] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)

    def diameter(self, opening: int) -> float:
        circle = self.plate.openings[opening].circle
        return 2 * circle.radius if circle else 0.0

    def point(self, x: float, y: float) -> str:
        z = complex(x, y) - self.origin
        return f"[{_number(z.real)}, {_number(z.imag)}]"

    def name(self, stem: str) -> str:
        self.counts[stem] += 1
        return f"{stem}_{self.counts[stem]}"


def part_text(plate: SheetPlate, seen: Recognised, catalogue: Catalogue, facts: PartFacts) -> PartText:
    """Write a design of one plate.

    Parameters
    ----------
    plate : SheetPlate
        The plate as it was read.
    seen : Recognised
        What was seen in it.
    catalogue : Catalogue
        Records that the design names.
    facts : PartFacts
        What the drawing does not tell.
    """
    writer = _Writer(facts, plate, catalogue)
    sure = [p for p in seen.patterns if p.is_sure]
    motors = _rotor_motors([p for p in sure if p.kind == "motor" and p.fit])
    if len(motors) > 1:
        writer.origin = sum(complex(p.x, p.y) for p in motors) / len(motors)
    turn = _common_turn(motors, writer)
    if motors and turn is None:
        writer.changes.append("the motors are not turned alike, so their holes stay in the drawing")
    if turn is not None:
        _write_motors(writer, motors, turn)
    for kind, write in (("board", _write_board), ("strap", _write_strap), ("antenna", _write_antenna)):
        for pattern in (p for p in sure if p.kind == kind):
            write(writer, pattern)
    _write_pairs(writer, [p for p in sure if p.kind == "standoff pair"])
    rotors = [writer.point(p.x, p.y) for p in motors] if turn is not None else ["[0, 0]"]
    head = _head(writer, rotors, has_motors=turn is not None)
    return PartText("\n".join([*head, *writer.text, ""]), _clean(writer), tuple(writer.changes))


def _head(writer: _Writer, rotors: Sequence[str], *, has_motors: bool) -> list[str]:
    facts = writer.facts
    note = "" if has_motors else "   # the drawing shows no motor for a rotor: put your own"
    moved = ""
    if writer.origin:
        x, y = writer.origin.real, writer.origin.imag
        moved = f"\n# Origin: ({x:.4f}, {y:.4f}) mm of that drawing, the mean of the rotors."
    return [
        f"# One plate, read from {_plain(facts.source)}. It can be checked and built as it stands;",
        f"# for a frame of your own include this file, or paste from [[part]] on.{moved}",
        "format = 1",
        "",
        "[frame]",
        f'name = "{facts.id}"',
        "",
        "[rotors]",
        f"at_mm = [{', '.join(rotors)}]{note}",
        "",
        "[[part]]",
        f'id = "{facts.id}"',
        f'kind = "{facts.kind}"',
        f'material = "{facts.material}"',
        f"thickness_mm = {_number(facts.thickness_mm)}",
        f'drawing = "{facts.drawing}"',
        "",
        "[[place]]",
        f'id = "{facts.id}"',
        f'part = "{facts.id}"',
    ]


def _rotor_motors(motors: Sequence[Pattern]) -> list[Pattern]:
    """Return the motor patterns of the commonest kind; the surest where kinds are equally common."""
    counts = Counter(p.record for p in motors)
    if not counts:
        return []
    best = max(counts, key=lambda record: (counts[record], max(p.confidence for p in motors if p.record == record)))
    return [p for p in motors if p.record == best]


def _common_turn(motors: Sequence[Pattern], writer: _Writer) -> float | None:
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


def _period(pattern: MotorPattern) -> float:
    alike = len(set(pattern.opposite_hole_distances_mm)) == 1
    return 2 * math.pi / pattern.holes if alike else math.pi


def _write_motors(writer: _Writer, motors: Sequence[Pattern], turn: float) -> None:
    record, first = motors[0].record, motors[0]
    pattern = writer.catalogue.motor_pattern(record)
    known = [m for m in writer.catalogue.of_class(Motor) if record in m.patterns]
    if not known or not _has_screw(writer.catalogue, first.thread):
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
        'id = "motor"',
        f'use = {{ motor = "{motor.id}" }}',
        'at = "rotors"',
        f'pattern = "{record}"',
        f"turn_deg = {_degrees(turn)}",
        f'hole = "{first.fit}"',
        f'stack = ["screw {first.thread} socket 12.9", "{writer.facts.id}", "motor.motor"]',
    ]
    left = float(Checks().motor_hole_to_edge_mm)
    relief = relief_hole(motor, record, writer.catalogue, left)
    for p in motors:
        _take(writer, p, p.openings[: pattern.holes])
        middle = p.openings[pattern.holes :]
        drawn = writer.diameter(middle[0]) if middle else 0.0
        if drawn <= relief + _SAME_SIZE:
            writer.made |= set(middle)
        if abs(drawn - relief) > 1e-3:
            was = f"a middle hole of {drawn:.2f} mm" if middle else "no middle hole"
            now = f"one of {relief:.2f} mm" if drawn <= relief + _SAME_SIZE else f"stays, round one of {relief:.2f} mm"
            writer.changes.append(f"motor at {writer.point(p.x, p.y)}: {was} becomes {now}")


def _write_board(writer: _Writer, p: Pattern) -> None:
    boards = [b for b in writer.catalogue.of_class(Board) if b.pattern == p.record]
    if not boards or not p.fit or not _has_screw(writer.catalogue, p.thread):
        writer.changes.append(f"board {p.record} at {writer.point(p.x, p.y)}: no such board or screw; its holes stay")
        return
    name = writer.name("board")
    nuts = {n.style for n in writer.catalogue.of_class(Nut) if n.thread == p.thread}
    nut = "insert" if "insert" in nuts else "hex"
    writer.text += [
        "",
        f"# Pattern {p.record}, confidence {p.confidence:.2f}; board, spacer and nut are yours to choose.",
        "[[equipment]]",
        f'id = "{name}"',
        f'use = {{ board = "{boards[0].id}" }}',
        f'on = "{writer.facts.id}"',
        f"at_mm = {writer.point(p.x, p.y)}",
        f"turn_deg = {_degrees(p.turn)}",
        f'hole = "{p.fit}"',
        f'stack = ["screw {p.thread} socket 12.9", "{writer.facts.id}", "spacer {p.thread}x5", "{name}.board", '
        f'"nut {p.thread} {nut}"]',
    ]
    _take(writer, p, p.openings)


def _write_strap(writer: _Writer, p: Pattern) -> None:
    strap = writer.catalogue.get(Strap, p.record)
    slot = slot_of(writer.plate.openings[p.openings[0]])
    length, width = sum(strap.slot_length_range_mm) / 2, sum(strap.slot_width_range_mm) / 2
    exact = slot is not None and abs(slot.length - length) <= _SAME_SIZE and abs(slot.width - width) <= _SAME_SIZE
    writer.text += [
        "",
        f"# Two slots, confidence {p.confidence:.2f}"
        + ("." if exact else "; they are no usual size and stay in the drawing."),
        "[[equipment]]",
        f'id = "{writer.name("strap")}"',
        f'use = {{ strap = "{p.record}" }}',
        f'on = "{writer.facts.id}"',
        f"at_mm = {writer.point(p.x, p.y)}",
        f"turn_deg = {_degrees(p.turn - math.pi / 2)}",
    ]
    if exact:
        writer.text += [f'through = ["{writer.facts.id}"]', f"spacing_mm = {_number(p.spacing)}"]
        writer.made |= set(p.openings)


def _write_antenna(writer: _Writer, p: Pattern) -> None:
    antenna = writer.catalogue.get(Antenna, p.record)
    wide = antenna.tube_outer_d_range_mm
    wanted = antenna.panel_hole_d_mm or (wide[1] if wide else 0.0)
    exact = abs(p.spacing - wanted) <= _SAME_SIZE
    writer.text += [
        "",
        f"# Confidence {p.confidence:.2f}"
        + ("." if exact else "; the hole is no usual size and stays in the drawing."),
        "[[equipment]]",
        f'id = "{writer.name("antenna")}"',
        f'use = {{ antenna = "{p.record}" }}',
        f'on = "{writer.facts.id}"',
        f"at_mm = {writer.point(p.x, p.y)}",
    ]
    if exact:
        writer.text.append(f'through = ["{writer.facts.id}"]')
        _note_size(writer, p, p.spacing, wanted)
        writer.made |= set(p.openings)


def _write_pairs(writer: _Writer, pairs: Sequence[Pattern]) -> None:
    """Write all pairs of one thread and class as one column of several points."""
    groups: dict[tuple[str, str], list[Pattern]] = {}
    for p in pairs:
        groups.setdefault((p.thread, p.fit), []).append(p)
    for (thread, fit), members in groups.items():
        lengths = writer.catalogue.standoff(thread).lengths_mm
        length = min(lengths, key=lambda v: abs(v - _STANDOFF))
        openings = [k for p in members for k in p.openings]
        least = min(p.confidence for p in members)
        circles = [c for k in openings if (c := writer.plate.openings[k].circle)]
        points = ", ".join(writer.point(c.x, c.y) for c in circles)
        writer.text += [
            "",
            f"# Mirrored pairs: {len(members)}, confidence {least:.2f}; the length of a standoff is yours to choose.",
            "[[column]]",
            f'id = "{writer.name("standoff")}"',
            f"at_mm = [{points}]",
            f'hole = "{fit}"',
            f'stack = ["screw {thread} socket 12.9", "{writer.facts.id}", "standoff {thread}x{length:g}"]',
        ]
        for p in members:
            _take(writer, p, p.openings)


def _take(writer: _Writer, p: Pattern, openings: Sequence[int]) -> None:
    """Leave openings to the stanza, and say where a hole becomes another size."""
    writer.made |= set(openings)
    _note_size(writer, p, writer.diameter(openings[0]), writer.catalogue.clearance_hole(p.thread, p.fit).d_mm)


def _note_size(writer: _Writer, p: Pattern, drawn: float, wanted: float) -> None:
    if abs(drawn - wanted) > 1e-3:
        words = f"{p.kind} {p.record}: holes of {drawn:.3f} mm become {wanted:.2f} mm"
        if words not in writer.changes:
            writer.changes.append(words)


def _clean(writer: _Writer) -> Outline:
    rest = [o for k, o in enumerate(writer.plate.openings) if k not in writer.made]
    circles = tuple(o.circle for o in rest if o.circle is not None and o.is_cut_as_circle)
    outline = Outline(writer.plate.outline.outer, tuple(o.loop for o in rest if not o.is_cut_as_circle), circles)
    return transform_outline(outline, Isometry.from_turn(0.0, -writer.origin.real, -writer.origin.imag))


def _has_screw(catalogue: Catalogue, thread: str) -> bool:
    try:
        catalogue.screw(thread, "socket")
    except CatalogueError:
        return False
    return True


def _number(value: float) -> str:
    text = f"{round(value, 6) + 0.0:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _degrees(turn: float) -> str:
    return _number(round(math.degrees(turn), 4))


def _plain(name: str) -> str:
    return "".join(c if c.isprintable() else "?" for c in name)
