"""What a drawing holds that is no plate, in words: each thing with how many, where, and how that was told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from platewright.geometry.recognise.hints import layer_hint
from platewright.geometry.recognise.leftovers import Remark
from platewright.io.foreign_drawing import Gathered, Source

__all__ = ["Note", "instead_of_plates", "notes_of"]

_WHY = {
    "words": ("text or dimension", "never cut", True),
    "fill": ("filling or picture", "never cut", True),
    "hidden": ("hidden", "its layer is off, frozen or not plotted, or it is invisible", True),
    "body": ("3-D body", "a plate is cut from flat lines; export its outline", False),
    "tilted": ("not flat", "it leaves the plane of x and y", False),
    "kind": ("not read", "of a kind that is not read", False),
    "broken": ("not read", "it is damaged, or its numbers make no curve", False),
    "block": ("missing block", "the drawing does not hold what it inserts", False),
}


@dataclass(frozen=True)
class Note:
    """Something in the drawing that is no plate: what, how many, where, and how that was told."""

    what: str
    count: int
    where: str
    why: str
    explained: bool


def instead_of_plates(found: Gathered, meanings: Sequence[str | None]) -> str:
    """Say what the drawing holds, where nothing in it is cut; nothing where something is.

    Parameters
    ----------
    found : Gathered
        What was gathered.
    meanings : sequence of str or None
        By source, what its lines are; None for cuts.
    """
    if any(meanings[s] is None for s in (*found.edge_sources, *found.circle_sources)):
        return ""
    marks = {found.sources[s].layer for s in (*found.edge_sources, *found.circle_sources)}
    parts = [f"{n} {passed.kind} ({_WHY[passed.reason][0]})" for passed, n in found.passed.items()]
    if marks:
        named = ", ".join(f"'{layer}'" for layer in sorted(marks))
        parts.append(f"lines that are no cuts by the name of their layer, {named} (--cut takes a layer as cuts)")
    return f" It holds {'; '.join(parts)}." if parts else " It holds nothing at all."


def notes_of(found: Gathered, meanings: Sequence[str | None], remarks: Sequence[Remark]) -> Iterator[Note]:
    """Yield a note for everything that is no plate.

    Parameters
    ----------
    found : Gathered
        What was gathered.
    meanings : sequence of str or None
        By source, what its lines are; None for cuts.
    remarks : sequence of Remark
        Of the cut edges that belong to no plate.
    """
    for r in remarks:
        source = found.sources[r.source] if found.sources else Source("", "", "")
        where = f"layer '{source.layer}', ({r.x:.2f}, {r.y:.2f})"
        yield Note(r.what, r.count, where, r.why, r.explained)
    for number, meaning in enumerate(meanings):
        if meaning is None:
            continue
        source = found.sources[number]
        count = found.edge_sources.count(number) + found.circle_sources.count(number)
        if count:
            by_name = layer_hint(source.layer) or meaning == "mark"
            why = f"the layer's name, '{source.layer}'" if by_name else f"the line type, {source.linetype}"
            yield Note(meaning, count, f"layer '{source.layer}', {source.kind}", why, explained=True)
    for passed, count in sorted(found.passed.items(), key=lambda item: str(item[0])):
        what, why, explained = _WHY[passed.reason]
        yield Note(what, count, f"layer '{passed.layer}', {passed.kind}", why, explained)
