"""Which way a screw points, and the face that its head bears on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from platewright.assembly.heights import Span
from platewright.assembly.lines import Item, Line
from platewright.model.stack import ItemKind

__all__ = ["screw_direction", "set_screws"]


def screw_direction(items: Sequence[Item], n: int) -> int:
    """+1 if the screw at position n points along +axis, -1 if it points back, 0 if nothing says which.

    A screw at an end points inward; beside a gap or an access place it points away from it.
    """
    if n == 0:
        return 1
    if n == len(items) - 1:
        return -1
    open_before, open_after = _is_open(items[n - 1]), _is_open(items[n + 1])
    return int(open_before) - int(open_after)


def set_screws(lines: Sequence[Line], spans: Mapping[str, list[Span | None]]) -> None:
    """Set each screw's span to the face it bears on: that of the first thing it points into."""
    for line in lines:
        own = spans[line.name]
        for n, item in enumerate(line.items):
            if item.word.kind is not ItemKind.SCREW:
                continue
            step = screw_direction(line.items, n)
            following = next((m for m in _ahead(n, step, len(own)) if own[m] is not None), None)
            if following is not None and own[following] is not None:
                span = own[following]
                assert span is not None
                face = span.start if step > 0 else span.end
                own[n] = Span(face, face)


def _is_open(item: Item) -> bool:
    return item.is_access or item.word.kind is ItemKind.GAP


def _ahead(n: int, step: int, count: int) -> range:
    return range(n + step, count if step > 0 else -1, step) if step else range(0)
