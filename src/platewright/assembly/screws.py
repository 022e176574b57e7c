"""Screws and studs: how long each must be, and what thread it finds where it ends.

A screw runs from the face under its head, a stud from the face of its standoff's body (`walks` says where to). The
shortest standard length is taken that reaches the least engagement at nominal and 0.8 of it in the worst case without
bottoming. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from platewright.assembly.affine import Affine, exactly, plus_minus
from platewright.assembly.heads import screw_direction
from platewright.assembly.heights import Levels, Span
from platewright.assembly.lines import Item, Line
from platewright.assembly.walks import End, stud_direction, walk
from platewright.model.catalogue import Catalogue
from platewright.model.catalogue.fasteners import Screw, ScrewClass, Thread
from platewright.model.catalogue.hardware import Standoff
from platewright.model.catalogue.power import Motor
from platewright.model.design import Checks
from platewright.model.stack import ItemKind, StackItem

__all__ = [
    "End",
    "Fit",
    "ScrewFit",
    "StandoffMeeting",
    "StudFit",
    "fit_screws",
    "fit_studs",
    "length_tolerance",
    "standoff_meetings",
]

WORST_CASE_SHARE = 0.8  # of the least engagement, still wanted in the worst case (common practice, no source)
# Half of IT15 (ISO 286-1), the js15 length tolerance of ISO 4759-1 product grade A; both from memory [mm].
_LENGTH_TOLERANCE = ((3.0, 0.20), (6.0, 0.24), (10.0, 0.29), (18.0, 0.35), (30.0, 0.42), (50.0, 0.50))


@dataclass(frozen=True)
class Fit:
    """One male thread on its line: a screw, or the stud of a standoff.

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
        Length under the head [mm].
    engagement : Affine
        Thread in the standoff or body, or protrusion past the nut [mm].
    required, limit : float or None
        Least and greatest engagement or protrusion [mm].
    crosses_gap : bool
        It clamps across air.
    grip : Affine
        Thickness it clamps: from under the head to the first thread that pulls [mm].
    thread : Thread
        Its thread.
    """

    line: Line
    index: int
    direction: int
    end: End
    end_index: int | None
    path: tuple[int, ...]
    reach: Affine
    length: float
    engagement: Affine
    required: float
    limit: float | None
    crosses_gap: bool
    grip: Affine
    thread: Thread

    @property
    def word(self) -> StackItem:
        """As the design says it."""
        return self.line.items[self.index].word


@dataclass(frozen=True)
class ScrewFit(Fit):
    """One screw, fitted.

    Parameters
    ----------
    typed : bool
        The design gives the length.
    full_thread : bool
        A thread on its way lies where a standard screw of this length has a plain shank.
    screw, material : Screw, ScrewClass
        Head and property class.
    """

    typed: bool
    full_thread: bool
    screw: Screw
    material: ScrewClass

    @property
    def name(self) -> str:
        """Line and words, for people."""
        return f"{self.line.name} {self.word.size}x{self.length:g} {self.word.style}"

    @property
    def size_key(self) -> tuple[str, str, str, float]:
        """Thread, head, material and length: screws with the same key are the same item of stock."""
        return self.word.size, self.word.style, self.word.grade, self.length


@dataclass(frozen=True)
class StudFit(Fit):
    """The stud of a studded standoff: a screw whose head is the standoff's body, turned by hand."""

    @property
    def name(self) -> str:
        """Line and words, for people."""
        return f"{self.line.name} {self.word.text}"


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
        _screw(line, n, levels.spans[line.name], catalogue, checks)
        for line in lines
        if line.fitted
        for n, item in enumerate(line.items)
        if item.word.kind is ItemKind.SCREW and screw_direction(line.items, n) != 0
    )


def fit_studs(lines: Sequence[Line], levels: Levels, catalogue: Catalogue, checks: Checks) -> tuple[StudFit, ...]:
    """Fit the stud of every studded standoff of the fitted lines, in their order."""
    return tuple(
        _stud(line, n, item.record, levels.spans[line.name], catalogue, checks)
        for line in lines
        if line.fitted
        for n, item in enumerate(line.items)
        if item.word.studded and isinstance(item.record, Standoff)
    )


def standoff_meetings(fits: Sequence[Fit]) -> tuple[StandoffMeeting, ...]:
    """Return each plain standoff with the screws and studs that enter it and the air left between their tips."""
    met: dict[tuple[str, int], list[Fit]] = {}
    for fit in fits:
        if fit.end is End.STANDOFF and fit.end_index is not None:
            met.setdefault((fit.line.name, fit.end_index), []).append(fit)
    found = []
    for (line, n), entering in met.items():
        item = entering[0].line.items[n]
        if item.word.studded:
            continue
        apart = item.thickness
        for fit in entering:
            apart = apart - fit.engagement
        found.append(StandoffMeeting(line, item.word.length_mm or 0.0, tuple(s.engagement for s in entering), apart))
    return tuple(found)


def _screw(line: Line, n: int, spans: Sequence[Span | None], catalogue: Catalogue, checks: Checks) -> ScrewFit:
    word, step, span = line.items[n].word, screw_direction(line.items, n), spans[n]
    thread = catalogue.thread(word.size)
    lengths = catalogue.lengths(word.size).series_mm if word.length_mm is None else (word.length_mm,)
    fit = _fit(line, n, step, span.start if span is not None else None, spans, thread, lengths, checks)
    plain = fit.length - (2 * thread.d_mm + 12.0)  # ISO 4762: b = 2 d + 12, from memory
    return ScrewFit(
        **vars(fit),
        typed=word.length_mm is not None,
        full_thread=plain > fit.grip.nominal + 1e-9 and fit.end is not End.NOTHING,
        screw=catalogue.screw(word.size, word.style),
        material=catalogue.screw_class(word.grade),
    )


def _stud(
    line: Line, n: int, standoff: Standoff, spans: Sequence[Span | None], catalogue: Catalogue, checks: Checks
) -> StudFit:
    """Fit a stud: its length is the catalogue's, and varies as a screw's does (common practice, no source)."""
    step, span = stud_direction(line.items, n), spans[n]
    face = None if span is None else span.end if step > 0 else span.start
    lengths = (standoff.stud_length_mm or 0.0,)
    return StudFit(**vars(_fit(line, n, step, face, spans, catalogue.thread(standoff.thread), lengths, checks)))


def _fit(
    line: Line,
    n: int,
    step: int,
    face: Affine | None,
    spans: Sequence[Span | None],
    thread: Thread,
    lengths: Sequence[float],
    checks: Checks,
) -> Fit:
    """Fit a male thread of one of some lengths that starts at a face."""
    path, end_index, end, crosses = walk(line.items, n, step)
    near, far = _reach(face, spans, end_index, step)
    reach = far if end in (End.NUT, End.PRESS_NUT) else near
    required, limit = _wanted(end, line.items[end_index] if end_index is not None else None, thread, checks)
    length = _choose(reach, required, limit, lengths)
    tip = plus_minus(length, length_tolerance(length), f"length of {line.name}#{n}")
    first = next((k for k in path if _pulls(line.items[k])), end_index)
    grip, _ = _reach(face, spans, first, step)
    return Fit(line, n, step, end, end_index, path, reach, length, tip - reach, required, limit, crosses, grip, thread)


def _pulls(item: Item) -> bool:
    """Whether a screw that goes through finds a thread there: a nut, or a standoff tapped right through."""
    return item.word.kind is ItemKind.NUT or item.word.passed


def _reach(face: Affine | None, spans: Sequence[Span | None], index: int | None, step: int) -> tuple[Affine, Affine]:
    """From the face under the head to the near and the far side of an item [mm]."""
    span = spans[index] if index is not None else None
    if face is None or span is None:
        return exactly(0.0), exactly(0.0)
    if step > 0:
        return span.start - face, span.end - face
    return face - span.end, face - span.start


def _wanted(end: End, item: Item | None, thread: Thread, checks: Checks) -> tuple[float, float | None]:
    record = item.record if item is not None else None
    if end is End.STANDOFF and isinstance(record, Standoff) and item is not None:
        depth = record.thread_depth_range_mm[0]
        length = item.word.length_mm or 0.0
        through = length <= 2 * depth and not item.word.studded
        return checks.standoff_engagement_diameters * thread.d_mm, length if through else depth
    if end is End.BODY and isinstance(record, Motor):
        return checks.motor_engagement_diameters * thread.d_mm, record.engagement_range_mm[1]
    if end is End.BODY:
        return checks.motor_engagement_diameters * thread.d_mm, None
    if end is End.NUT:
        return checks.nut_protrusion_pitches * thread.pitch_mm, checks.nut_protrusion_max_mm
    return 0.0, None


def _choose(reach: Affine, required: float, limit: float | None, series: Sequence[float]) -> float:
    """Return the shortest standard length that engages enough, also in the worst case if one does."""
    fits = [v for v in series if v - reach.nominal >= required - 1e-9]
    inside = [v for v in fits if limit is None or v - reach.nominal <= limit + 1e-9]
    sure = [v for v in inside if v - length_tolerance(v) - reach.high >= WORST_CASE_SHARE * required - 1e-9]
    for candidates in (sure, inside, fits):
        if candidates:
            return candidates[0]
    return series[-1]
