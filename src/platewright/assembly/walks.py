"""Where screws and studs go along their line, by the words of the stack alone.

A screw runs through clear things and nuts. It ends in the first standoff, tapped body or press nut it meets, else past
the last nut. The stud of a standoff goes the same way; it points away from the screw that enters the body, and along
+axis where none does.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from platewright.assembly.heads import screw_direction
from platewright.assembly.lines import Item
from platewright.model.catalogue.electronics import Camera
from platewright.model.catalogue.power import Motor
from platewright.model.stack import ItemKind

__all__ = ["End", "stud_direction", "walk"]


class End(StrEnum):
    """What a screw or stud ends in."""

    STANDOFF = "standoff"
    BODY = "tapped body"
    PRESS_NUT = "press nut"
    NUT = "nut"
    NOTHING = "nothing"


def walk(items: Sequence[Item], n: int, step: int) -> tuple[tuple[int, ...], int | None, End, bool]:
    """Follow the screw or stud at position n.

    Parameters
    ----------
    items : sequence of Item
        The line's items.
    n : int
        Position of the screw, or of the standoff whose stud it is.
    step : int
        +1 along the axis, -1 back.

    Returns
    -------
    tuple of int
        Positions of what it passes, head first.
    int or None
        Position of what it ends in.
    End
        What that is.
    bool
        Whether it clamps across air on the way.
    """
    path: list[int] = []
    last_nut: int | None = None
    for k in range(n + step, len(items) if step > 0 else -1, step):
        item = items[k]
        if item.word.kind is ItemKind.SCREW or _is_stud_against(items, k, step):
            break
        if item.word.kind is ItemKind.GAP and last_nut is not None and _comes_from_beyond(items, k, step):
            break
        if item.is_access or item.word.kind is ItemKind.GAP:
            continue
        end = _end_of(item)
        if end is not None:
            return tuple(path), k, end, _has_gap(items, n, k)
        path.append(k)
        if item.word.kind is ItemKind.NUT:
            last_nut = k
    if last_nut is None:
        return tuple(path), None, End.NOTHING, bool(path) and _has_gap(items, n, path[-1])
    inside = tuple(p for p in path if (p - last_nut) * step < 0)
    return inside, last_nut, End.NUT, _has_gap(items, n, last_nut)


def stud_direction(items: Sequence[Item], n: int) -> int:
    """+1 if the stud of the standoff at position n points along +axis, else -1."""
    return -1 if _entered_from(items, n, 1) and not _entered_from(items, n, -1) else 1


def _entered_from(items: Sequence[Item], n: int, side: int) -> bool:
    """Whether a screw or stud that comes from one side ends in the standoff at position n."""
    for k in range(n + side, len(items) if side > 0 else -1, side):
        item = items[k]
        if item.word.kind is ItemKind.SCREW:
            return screw_direction(items, k) == -side
        if item.word.studded:
            return _entered_from(items, k, side)
        if _end_of(item) is not None:
            return False
    return False


def _end_of(item: Item) -> End | None:
    if item.word.kind is ItemKind.STANDOFF and not item.word.passed:
        return End.STANDOFF
    if item.word.kind is ItemKind.NUT and item.word.style == "press":
        return End.PRESS_NUT
    return End.BODY if isinstance(item.record, Motor | Camera) else None


def _is_stud_against(items: Sequence[Item], k: int, step: int) -> bool:
    """Whether the standoff at position k turns its stud towards what comes."""
    return items[k].word.studded and stud_direction(items, k) == -step


def _comes_from_beyond(items: Sequence[Item], k: int, step: int) -> bool:
    """Whether a screw or stud beyond the gap at position k comes from the other side, to its own nut."""
    beyond = items[k + step :] if step > 0 else items[:k]
    return any(item.word.kind is ItemKind.SCREW or item.word.studded for item in beyond)


def _has_gap(items: Sequence[Item], n: int, k: int) -> bool:
    return any(item.word.kind is ItemKind.GAP for item in items[min(n, k) : max(n, k)])
