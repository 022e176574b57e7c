"""A part that was read from a drawing, as a design file of one plate and a clean outline.

What was recognised for sure becomes equipment and columns, and its holes leave the outline; everything else stays in
it. Numbers in mm and degrees, in the drawing's own axes, moved so that the rotors' mean is the origin.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import Outline, transform_outline
from platewright.geometry.recognise.recognise import Recognised
from platewright.geometry.recognise.sheet import SheetPlate
from platewright.io.foreign_drawing.stanza_equipment import write_antenna, write_board, write_pairs, write_strap
from platewright.io.foreign_drawing.stanza_motors import common_turn, rotor_motors, write_motors
from platewright.io.foreign_drawing.stanza_writer import PartFacts, StanzaWriter, plain_number
from platewright.model.catalogue import Catalogue

__all__ = ["PartFacts", "PartText", "part_text"]


@dataclass(frozen=True)
class PartText:
    """A design file, the outline its drawing must hold, and what becomes different from the drawing that was read."""

    toml: str
    outline: Outline
    changes: tuple[str, ...]


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
    writer = StanzaWriter(facts, plate, catalogue)
    sure = [p for p in seen.patterns if p.is_sure]
    motors = rotor_motors([p for p in sure if p.kind == "motor" and p.fit])
    if len(motors) > 1:
        writer.origin = sum(complex(p.x, p.y) for p in motors) / len(motors)
    turn = common_turn(motors, writer)
    if motors and turn is None:
        writer.changes.append("the motors are not turned alike, so their holes stay in the drawing")
    if turn is not None:
        write_motors(writer, motors, turn)
    for kind, write in (("board", write_board), ("strap", write_strap), ("antenna", write_antenna)):
        for pattern in (p for p in sure if p.kind == kind):
            write(writer, pattern)
    write_pairs(writer, [p for p in sure if p.kind == "standoff pair"])
    rotors = [writer.point(p.x, p.y) for p in motors] if turn is not None else ["[0, 0]"]
    head = _head(writer, rotors, has_motors=turn is not None)
    return PartText("\n".join([*head, *writer.text, ""]), _clean(writer), tuple(writer.changes))


def _head(writer: StanzaWriter, rotors: Sequence[str], *, has_motors: bool) -> list[str]:
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
        f"thickness_mm = {plain_number(facts.thickness_mm)}",
        f"drawing = {json.dumps(facts.drawing, ensure_ascii=False)}",
        "",
        "[[place]]",
        f'id = "{facts.id}"',
        f'part = "{facts.id}"',
    ]


def _clean(writer: StanzaWriter) -> Outline:
    rest = [o for k, o in enumerate(writer.plate.openings) if k not in writer.made]
    circles = tuple(o.circle for o in rest if o.circle is not None and o.is_cut_as_circle)
    outline = Outline(writer.plate.outline.outer, tuple(o.loop for o in rest if not o.is_cut_as_circle), circles)
    return transform_outline(outline, Isometry.from_turn(0.0, -writer.origin.real, -writer.origin.imag))


def _plain(name: str) -> str:
    return "".join(c if c.isprintable() else "?" for c in name)
