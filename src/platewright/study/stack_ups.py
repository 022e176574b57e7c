"""Stack-ups: heights, screws and studs along each column and equipment stack."""

from __future__ import annotations

import numpy as np

from platewright.assembly.affine import Draws
from platewright.assembly.assemble import Assembly
from platewright.assembly.lines import Line
from platewright.assembly.screws import End, Fit, ScrewFit
from platewright.foundation.units import NM_PER_NMM
from platewright.study.results import ScrewRow, StackRow, StackUp, StudRow
from platewright.study.tightening import tightening_of

__all__ = ["stack_ups"]


def stack_ups(assembly: Assembly, draws: Draws) -> tuple[StackUp, ...]:
    """Return heights and screws of every column and stack, one of each that differ.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    draws : Draws
        Joint draws of all contributors, for the chances.
    """
    alike: dict[tuple[object, ...], list[Line]] = {}
    for line in assembly.lines:
        alike.setdefault(_likeness(line, assembly), []).append(line)
    return tuple(_stack_up(lines, assembly, draws) for lines in alike.values())


def _likeness(line: Line, assembly: Assembly) -> tuple[object, ...]:
    """Return what lines of one owner that are alike have in common: words, heights, screws."""
    spans = assembly.levels.spans[line.name]
    heights = tuple((round(s.start.nominal, 3), round(s.end.nominal, 3)) if s is not None else None for s in spans)
    fits = (f for f in (*assembly.screws, *assembly.studs) if f.line.name == line.name)
    return line.owner, heights, tuple((f.index, f.length, round(f.engagement.nominal, 3)) for f in fits)


def _stack_up(lines: list[Line], assembly: Assembly, draws: Draws) -> StackUp:
    first = lines[0]
    rows = [
        StackRow(item.label, span.start.nominal, span.end.nominal, span.end.worst, span.end.rss)
        for item, span in zip(first.items, assembly.levels.spans[first.name], strict=True)
        if span is not None and item.touches
    ]
    return StackUp(
        first.owner,
        len(lines),
        first.axis,
        first.fitted,
        tuple(rows),
        tuple(_screw_row(s, assembly, draws) for s in assembly.screws if s.line.name == first.name),
        tuple(_stud_row(s) for s in assembly.studs if s.line.name == first.name),
    )


def _screw_row(screw: ScrewFit, assembly: Assembly, draws: Draws) -> ScrewRow:
    word = screw.word
    tightening = tightening_of(screw, assembly)
    below = float(np.mean(draws.of(screw.engagement) < screw.required))
    return ScrewRow(
        f"{word.size}x{screw.length:g} {word.style} {word.grade}",
        screw.length,
        _end(screw),
        screw.grip.nominal,
        screw.engagement.nominal,
        screw.engagement.low,
        screw.engagement.rss,
        100 * below,
        screw.required,
        screw.limit,
        tightening.preload,
        tightening.torque * NM_PER_NMM,
        tightening.prevailing_torque * NM_PER_NMM,
        tightening.governs,
        screw.full_thread,
    )


def _stud_row(stud: Fit) -> StudRow:
    return StudRow(
        stud.word.text,
        stud.length,
        _end(stud),
        stud.grip.nominal,
        stud.engagement.nominal,
        stud.engagement.low,
        stud.required,
        stud.limit,
    )


def _end(fit: Fit) -> str:
    return fit.line.items[fit.end_index].label if fit.end_index is not None else End.NOTHING.value
