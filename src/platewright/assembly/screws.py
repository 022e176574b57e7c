"""Screws: where each one ends, how long it must be, and what thread it finds there.

A screw runs from the face under its head through clear things and nuts. It ends in the first standoff, tapped body or
press nut it meets, else past the last nut. The shortest standard length is taken that reaches the least engagement at
nominal and 0.8 of it in the worst case without bottoming. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from platewright.assembly.affine import Affine, exactly, plus_minus
from platewright.assembly.levels import Levels, Span, screw_direction
from platewright.assembly.lines import Item, Line
from platewright.model.catalogue import Catalogue
from platewright.model.catalogue.electronics import Camera
from platewright.model.catalogue.fasteners import Screw, ScrewClass, Thread
from platewright.model.catalogue.hardware import Standoff
from platewright.model.catalogue.power import Motor
from platewright.model.design import Checks
from platewright.model.stack import ItemKind

__all__ = ["End", "ScrewFit", "StandoffMeeting", "fit_screws", "length_tolerance", "standoff_meetings"]

WORST_CASE_SHARE = 0.8  # of the least engagement, still wanted in the worst case (common practice, no source)
# Half of IT15 (ISO 286-1), the js15 length tolerance of ISO 4759-1 product grade A; both from memory [mm].
_LENGTH_TOLERANCE = ((3.0, 0.20), (6.0, 0.24), (10.0, 0.29), (18.0, 0.35), (30.0, 0.42), (50.0, 0.50))


class End(StrEnum):
    """What a screw ends in."""

    STANDOFF = "standoff"
    BODY = "tapped body"
    PRESS_NUT = "press nut"
    NUT = "nut"
    NOTHING = "nothing"


@dataclass(frozen=True)
class ScrewFit:
    """One screw, fitted.

    Parameters
    ----------
    line : Line
        The line it stands on.
    index : int
        Its position in the line's items.
    direction : int
        +1 or -1 along the axis.
    end : End
        What it ends in.
    end_index : int or None
        Position of what it ends in.
    path : tuple of int
        Positions of what it passes through, head first, without the end.
    reach : Affine
        From under the head to where the counted thread begins (standoff, body) or ends (nut) [mm].
    length : float
        Chosen or typed length [mm].
    typed : bool
        The design gives the length.
    engagement : Affine
        Thread in the standoff or body, or protrusion past the nut [mm].
    required, limit : float or None
        Least and greatest engagement or protrusion [mm].
    crosses_gap : bool
        It clamps across air.
    full_thread : bool
        A thread on its way lies where a standard screw of this length has a plain shank.
    grip : Affine
        Thickness it clamps: from under the head to the first thread that pulls [mm].
    """

    line: Line
    index: int
    direction: int
    end: End
    end_index: int | None
    path: tuple[int, ...]
    reach: Affine
    length: float
    typed: bool
    engagement: Affine
    required: float
    limit: float | None
    crosses_gap: bool
    full_thread: bool
    grip: Affine
    thread: Thread
    screw: Screw
    material: ScrewClass

    @property
    def name(self) -> str:
        """Line and words, for people."""
        item = self.line.items[self.index]
        return f"{self.line.name} {item.word.size}x{self.length:g} {item.word.style}"

    @property
    def size_key(self) -> tuple[str, str, str, float]:
        """Thread, head, material and length: screws with the same key are the same item of stock."""
        word = self.line.items[self.index].word
        return word.size, word.style, word.grade, self.length


@dataclass(frozen=True)
class StandoffMeeting:
    """Two screws that meet in one standoff: their engagements [mm] and the air between their tips [mm]."""

    line: str
    standoff_length: float
    engagements: tuple[Affine, ...]
    apart: Affine


def length_tolerance(length: float) -> float:
    """Half-width of the tolerance of a screw's length [mm].

    Examples
    --------
    >>> length_tolerance(8.0)
    0.29
    """
    return next((half for up_to, half in _LENGTH_TOLERANCE if length <= up_to), _LENGTH_TOLERANCE[-1][1])


def fit_screws(lines: Sequence[Line], levels: Levels, catalogue: Catalogue, checks: Checks) -> tuple[ScrewFit, ...]:
    """Fit every screw of the fitted lines, in their order."""
    return tuple(
        _fit(line, n, levels.spans[line.name], catalogue, checks)
        for line in lines
        if line.fitted
        for n, item in enumerate(line.items)
        if item.word.kind is ItemKind.SCREW and screw_direction(line.items, n) != 0
    )


def standoff_meetings(screws: Sequence[ScrewFit]) -> tuple[StandoffMeeting, ...]:
    """Return each standoff with the screws that enter it and the air left between their tips."""
    met: dict[tuple[str, int], list[ScrewFit]] = {}
    for screw in screws:
        if screw.end is End.STANDOFF and screw.end_index is not None:
            met.setdefault((screw.line.name, screw.end_index), []).append(screw)
    found = []
    for (line, n), entering in met.items():
        item = entering[0].line.items[n]
        apart = item.thickness
        for screw in entering:
            apart = apart - screw.engagement
        if item.word.studded and isinstance(item.record, Standoff):
            continue
        found.append(StandoffMeeting(line, item.word.length_mm or 0.0, tuple(s.engagement for s in entering), apart))
    return tuple(found)


def _fit(line: Line, n: int, spans: Sequence[Span | None], catalogue: Catalogue, checks: Checks) -> ScrewFit:
    word, step = line.items[n].word, screw_direction(line.items, n)
    path, end_index, end, crosses = _walk(line.items, n, step)
    thread = catalogue.thread(word.size)
    head = spans[n]
    near, far = _reach(head, spans, end_index, step)
    item = line.items[end_index] if end_index is not None else None
    reach = far if end in (End.NUT, End.PRESS_NUT) else near
    required, limit = _wanted(end, item, thread, checks)
    length = word.length_mm or _choose(reach, required, limit, catalogue.lengths(word.size).series_mm, word.size, line)
    tip = plus_minus(length, length_tolerance(length), f"length of {line.name}#{n}")
    nuts = [k for k in path if line.items[k].word.kind is ItemKind.NUT]
    first_nut = nuts[0] if nuts else end_index
    grip, _ = _reach(head, spans, first_nut, step)
    plain = length - (2 * thread.d_mm + 12.0)  # ISO 4762: b = 2 d + 12, from memory
    return ScrewFit(
        line,
        n,
        step,
        end,
        end_index,
        path,
        reach,
        length,
        word.length_mm is not None,
        tip - reach,
        required,
        limit,
        crosses,
        plain > grip.nominal + 1e-9 and end is not End.NOTHING,
        grip,
        thread,
        catalogue.screw(word.size, word.style),
        catalogue.screw_class(word.grade),
    )


def _walk(items: Sequence[Item], n: int, step: int) -> tuple[tuple[int, ...], int | None, End, bool]:
    """Follow a screw: what it passes, where it ends, whether it clamps across air on the way."""
    path: list[int] = []
    gap_seen = crosses = False
    last_nut: int | None = None
    for k in range(n + step, len(items) if step > 0 else -1, step):
        item = items[k]
        kind = item.word.kind
        if kind is ItemKind.GAP:
            gap_seen = True
            continue
        if kind is ItemKind.SCREW:
            break
        if item.is_access:
            continue
        crosses = crosses or gap_seen
        end = _end_of(item, step)
        if end is not None:
            return tuple(path), k, end, crosses
        path.append(k)
        if kind is ItemKind.NUT:
            last_nut = k
    if last_nut is None:
        return tuple(path), None, End.NOTHING, crosses
    inside = tuple(p for p in path if (p - last_nut) * step < 0)
    return inside, last_nut, End.NUT, any(items[k].word.kind is ItemKind.GAP for k in range(n, last_nut, step))


def _end_of(item: Item, step: int) -> End | None:
    if item.word.kind is ItemKind.STANDOFF and not item.word.passed:
        return End.STANDOFF
    if item.word.kind is ItemKind.NUT and item.word.style == "press":
        return End.PRESS_NUT
    if isinstance(item.record, Motor | Camera):
        return End.BODY
    return None


def _reach(head: Span | None, spans: Sequence[Span | None], index: int | None, step: int) -> tuple[Affine, Affine]:
    span = spans[index] if index is not None else None
    if head is None or span is None:
        return exactly(0.0), exactly(0.0)
    near, far = (span.start, span.end) if step > 0 else (span.end, span.start)
    return (near - head.start, far - head.start) if step > 0 else (head.start - near, head.start - far)


def _wanted(end: End, item: Item | None, thread: Thread, checks: Checks) -> tuple[float, float | None]:
    record = item.record if item is not None else None
    if end is End.STANDOFF and isinstance(record, Standoff) and item is not None:
        depth = record.thread_depth_range_mm[0]
        length = item.word.length_mm or 0.0
        return checks.standoff_engagement_diameters * thread.d_mm, length if length <= 2 * depth else depth
    if end is End.BODY and isinstance(record, Motor):
        return checks.motor_engagement_diameters * thread.d_mm, record.engagement_range_mm[1]
    if end is End.BODY:
        return checks.motor_engagement_diameters * thread.d_mm, None
    if end is End.NUT:
        return checks.nut_protrusion_pitches * thread.pitch_mm, checks.nut_protrusion_max_mm
    return 0.0, None


def _choose(
    reach: Affine, required: float, limit: float | None, series: Sequence[float], size: str, line: Line
) -> float:
    """Return the shortest standard length that engages enough, also in the worst case if one does."""
    fits = [v for v in series if v - reach.nominal >= required - 1e-9]
    inside = [v for v in fits if limit is None or v - reach.nominal <= limit + 1e-9]
    sure = [v for v in inside if v - length_tolerance(v) - reach.high >= WORST_CASE_SHARE * required - 1e-9]
    for candidates in (sure, inside, fits):
        if candidates:
            return candidates[0]
    return series[-1]
