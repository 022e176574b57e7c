"""What two frames hold, side by side, from their checks."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.study.compare_results import Change, TextRow
from platewright.study.strength_results import CaseRow, FrameStrength

__all__ = ["strength_changes", "strength_words"]


def strength_changes(first: FrameStrength | None, second: FrameStrength | None) -> Iterator[Change]:
    """Yield crash index, least energy and margin, and first frequencies of either frame.

    Parameters
    ----------
    first, second : FrameStrength or None
        From checks with strength; None of a frame that cannot be solved.
    """
    left, right = _numbers(first), _numbers(second)
    for what, unit in dict.fromkeys([*left, *right]):
        yield Change(what, unit, left.get((what, unit)), right.get((what, unit)))


def strength_words(first: FrameStrength | None, second: FrameStrength | None) -> Iterator[TextRow]:
    """Yield the weakest hit of either frame and what fails first in it, and the shape of its first frequency."""
    for what, find in (("weakest hit", _weakest_words), ("first frequency", _first_words)):
        one, other = (find(s) if s is not None else "" for s in (first, second))
        if one or other:
            yield TextRow(what, one, other)


def _numbers(strength: FrameStrength | None) -> dict[tuple[str, str], float]:
    if strength is None:
        return {}
    found = {}
    if strength.crash_index is not None:
        found["crash index", ""] = strength.crash_index.value
    hit = _weakest(strength)
    if hit is not None and hit.energy_j is not None:
        found["energy until something fails, weakest hit", "J"] = hit.energy_j
    margins = [case.margin for case in strength.cases if case.margin is not None]
    if margins:
        found["least margin of known loads", ""] = min(margins)
    if strength.modes:
        found["first frequency", "Hz"] = strength.modes[0].frequency_hz
    for mode in strength.modes:
        if mode.shape.startswith("first arm"):
            found["first frequency of the arms", "Hz"] = mode.frequency_hz
            break
    return found


def _weakest(strength: FrameStrength) -> CaseRow | None:
    hits = [case for case in strength.cases if case.energy_j is not None]
    return min(hits, key=lambda case: case.energy_j or 0.0, default=None)


def _weakest_words(strength: FrameStrength) -> str:
    hit = _weakest(strength)
    return "" if hit is None else f"{hit.case}: {hit.first_failure}"


def _first_words(strength: FrameStrength) -> str:
    return strength.modes[0].shape if strength.modes else ""
