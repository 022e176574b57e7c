"""Service: the fewest screws that must come out so that one thing comes off, found by search over sets of screws.

From a set that does not suffice only what is in the way need be added; sets are looked at in the order of their size,
so the first that suffices is the smallest the search can reach. Where that needs more screws than hold the thing
itself, every smaller set may be tried as well, which proves it.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from platewright.fit.taking_apart import Bench, Outcome, Screws, Thing, take_out

__all__ = ["Removal", "removal"]

_TRIES = 300  # sets looked at before the search gives up [-]


@dataclass(frozen=True)
class Removal:
    """The shortest way to take a thing off.

    Parameters
    ----------
    thing : Thing
        What comes off.
    outcome : Outcome
        What happens on the way; `is_off` is False for a thing that cannot be taken off at all.
    direct : frozenset of int
        Screws that hold the thing itself.
    proven : bool
        No smaller set of screws exists: none can, or every one was tried.
    """

    thing: Thing
    outcome: Outcome
    direct: Screws
    proven: bool


def removal(bench: Bench, thing: Thing, budget: int = 0) -> Removal:
    """Find the fewest screws that take a thing off.

    Parameters
    ----------
    bench : Bench
        The frame.
    thing : Thing
        What is to come off.
    budget : int
        How many smaller sets may be tried to prove the result [-].
    """
    direct = bench.keepers_of(thing.node)
    best = _search(bench, thing, direct)
    if not best.is_off:
        return Removal(thing, best, direct, False)
    best = _without_idle(bench, thing, direct, best)
    extra = len(best.taken) - len(direct)
    if extra <= 0:
        return Removal(thing, best, direct, True)
    others = [k for k in range(len(bench.fits)) if k not in direct]
    if math.comb(len(others), extra - 1) > budget:
        return Removal(thing, best, direct, False)
    # a set that suffices still does with more screws out, so only the largest of the smaller sets need be tried
    for added in itertools.combinations(others, extra - 1):
        trial = take_out(bench, thing, direct | set(added))
        if trial.is_off:
            return Removal(thing, _without_idle(bench, thing, direct, trial), direct, False)
    return Removal(thing, best, direct, True)


def _search(bench: Bench, thing: Thing, direct: Screws) -> Outcome:
    queue: list[tuple[int, tuple[int, ...]]] = [(len(direct), tuple(sorted(direct)))]
    seen = {direct}
    first: Outcome | None = None
    for _ in range(_TRIES):
        if not queue:
            break
        wanted = frozenset(heapq.heappop(queue)[1])
        result = take_out(bench, thing, wanted)
        first = first or result
        if result.is_off:
            return result
        for more in _additions(bench, result, wanted):
            larger = wanted | more
            if larger not in seen:
                seen.add(larger)
                heapq.heappush(queue, (len(larger), tuple(sorted(larger))))
    everything = take_out(bench, thing, range(len(bench.fits)))
    return everything if everything.is_off or first is None else first


def _additions(bench: Bench, result: Outcome, wanted: Screws) -> Iterator[Screws]:
    """Yield sets of screws, one of which must come out too before the thing does."""
    if result.shut:
        screw, by = result.shut[0]
        yield frozenset(k for node in by for k in bench.keepers_of(node))
        own = set(bench.holds[screw])
        yield frozenset(k for n in own for k in bench.keepers_of(n) if not set(bench.holds[k]) <= own)
        return
    for way in result.ways:
        yield frozenset(k for prism in way for k in bench.kept_by[prism] - wanted)
        free = dict.fromkeys(bench.nodes[p] for p in way if bench.kept_by[p] <= wanted)
        for node in free:  # what no screw holds any more is held back by something of its own
            yield from _behind(bench, node, wanted)


def _behind(bench: Bench, node: str, wanted: Screws) -> Iterator[Screws]:
    held = take_out(bench, Thing(node), wanted)
    for way in held.ways:
        yield frozenset(k for prism in way for k in bench.kept_by[prism] - wanted)


def _without_idle(bench: Bench, thing: Thing, direct: Screws, found: Outcome) -> Outcome:
    """Leave in every screw that need not come out."""
    for k in sorted(set(found.taken) - direct):
        if k in found.taken:
            trial = take_out(bench, thing, [t for t in found.taken if t != k])
            found = trial if trial.is_off else found
    return found
