"""Boards, straps, antennas and standoffs of a read part as equipment and columns [mm, rad]."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platewright.geometry.recognise.openings import slot_of
from platewright.geometry.recognise.pattern import Pattern
from platewright.io.foreign_drawing.stanza_writer import (
    SAME_SIZE,
    StanzaWriter,
    has_screw,
    plain_degrees,
    plain_number,
)
from platewright.model.catalogue import Antenna, Board, Nut, Strap

__all__ = ["write_antenna", "write_board", "write_pairs", "write_strap"]

_STANDOFF = 20.0  # a drawing does not tell how long a standoff is [mm]


def write_antenna(writer: StanzaWriter, p: Pattern) -> None:
    """Write an antenna; its hole stays in the drawing where it is no usual size."""
    antenna = writer.catalogue.get(Antenna, p.record)
    wide = antenna.tube_outer_d_range_mm
    wanted = antenna.panel_hole_d_mm or (wide[1] if wide else 0.0)
    exact = abs(p.spacing - wanted) <= SAME_SIZE
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
        writer.note_size(p, p.spacing, wanted)
        writer.made |= set(p.openings)


def write_board(writer: StanzaWriter, p: Pattern) -> None:
    """Write a board on its pattern, with a spacer and a nut of its screw."""
    boards = [b for b in writer.catalogue.of_class(Board) if b.pattern == p.record]
    if not boards or not p.fit or not has_screw(writer.catalogue, p.thread):
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
        f"turn_deg = {plain_degrees(p.turn)}",
        f'hole = "{p.fit}"',
        f'stack = ["screw {p.thread} socket 12.9", "{writer.facts.id}", "spacer {p.thread}x5", "{name}.board", '
        f'"nut {p.thread} {nut}"]',
    ]
    writer.take(p, p.openings)


def write_pairs(writer: StanzaWriter, pairs: Sequence[Pattern]) -> None:
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
            writer.take(p, p.openings)


def write_strap(writer: StanzaWriter, p: Pattern) -> None:
    """Write a strap; its slots stay in the drawing where they are no usual size."""
    strap = writer.catalogue.get(Strap, p.record)
    slot = slot_of(writer.plate.openings[p.openings[0]])
    length, width = sum(strap.slot_length_range_mm) / 2, sum(strap.slot_width_range_mm) / 2
    exact = slot is not None and abs(slot.length - length) <= SAME_SIZE and abs(slot.width - width) <= SAME_SIZE
    writer.text += [
        "",
        f"# Two slots, confidence {p.confidence:.2f}"
        + ("." if exact else "; they are no usual size and stay in the drawing."),
        "[[equipment]]",
        f'id = "{writer.name("strap")}"',
        f'use = {{ strap = "{p.record}" }}',
        f'on = "{writer.facts.id}"',
        f"at_mm = {writer.point(p.x, p.y)}",
        f"turn_deg = {plain_degrees(p.turn - math.pi / 2)}",
    ]
    if exact:
        writer.text += [f'through = ["{writer.facts.id}"]', f"spacing_mm = {plain_number(p.spacing)}"]
        writer.made |= set(p.openings)
