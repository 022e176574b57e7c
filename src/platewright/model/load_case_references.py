"""Whether each load of a load case names one thing that the design has, and pushes on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from platewright.model.design import Design
from platewright.model.load_case import LEAST_LOAD, CaseForce
from platewright.model.stack_references import hint

__all__ = ["load_case_problems"]

Reference = tuple[tuple[str | int, ...], str, str]

_KINDS = ("rotor", "column", "equipment", "place")


def load_case_problems(design: Design, left_out: frozenset[str] = frozenset()) -> Iterator[Reference]:
    """Yield path, code and message of every load that names nothing, too much or the unknown, or does not push.

    Parameters
    ----------
    design : Design
        The resolved design.
    left_out : frozenset of str
        Ids of records that could not be read: naming them is no problem.
    """
    known = {
        "column": {c.id for c in design.column},
        "equipment": {e.id for e in design.equipment},
        "place": {p.id for p in design.place},
    }
    for index, case in enumerate(design.load_case):
        for number, load in enumerate(case.loads):
            path = ("load_case", index, "loads", number)
            yield from _where(load, path)
            for kind, names in known.items():
                name = getattr(load, kind)
                if name is not None and name.partition(".")[0] not in names | left_out:
                    text = f"names the unknown {kind} '{name}'{hint(name.partition('.')[0], names)}"
                    yield (*path, kind), "load.place", text
            yield from _equipment(design, load, path)
            yield from _force(load, path)


def _where(load: CaseForce, path: tuple[str | int, ...]) -> Iterator[Reference]:
    given = [kind for kind in _KINDS if getattr(load, kind) is not None]
    if len(given) != 1:
        got = _listed(given) if given else "none"
        text = f"must name one of rotor, column, equipment and place (got {got}); give two loads to push on two."
        yield path, "load.place", text
    if load.at_mm is not None and load.place is None:
        text = "is a point of a place in its part's own axes; name the place, or leave at_mm out."
        yield (*path, "at_mm"), "load.place", text
    for key in ("at_propeller", "at_bell"):
        if getattr(load, key) and load.rotor is None:
            yield (*path, key), "load.place", f"is for a load on a rotor; name the rotor, or leave {key} out."
    if load.at_propeller and load.at_bell:
        text = "and at_propeller are two heights; give one of them."
        yield (*path, "at_bell"), "load.place", text


def _equipment(design: Design, load: CaseForce, path: tuple[str | int, ...]) -> Iterator[Reference]:
    if load.equipment is None:
        return
    name, _, role = load.equipment.partition(".")
    thing = next((e for e in design.equipment if e.id == name), None)
    if thing is None:
        return
    if thing.at is not None:
        text = f"must not be a thing that every rotor has (got '{name}'); name the rotor instead."
        yield (*path, "equipment"), "load.place", text
    elif not role and len(thing.use) > 1:
        text = f"must say which of {_listed(thing.use)} is pushed, as {name}.{next(iter(thing.use))} (got '{name}')."
        yield (*path, "equipment"), "load.place", text
    elif role and role not in thing.use:
        text = f"names the unknown role '{role}' of '{name}'{hint(role, thing.use)}"
        yield (*path, "equipment"), "load.place", text


def _force(load: CaseForce, path: tuple[str | int, ...]) -> Iterator[Reference]:
    if max(abs(load.force_n), *(abs(moment) for moment in load.moment_n_mm)) < LEAST_LOAD:
        text = (
            f"pushes with no force and no moment ({LEAST_LOAD:g} N or N mm are the least); give force_n or moment_n_mm."
        )
        yield path, "load.force", text
    if load.along is not None and max(map(abs, load.along)) < LEAST_LOAD:
        got = ", ".join(f"{part:g}" for part in load.along)
        yield (*path, "along"), "load.force", f"must be a vector of some length, {LEAST_LOAD:g} or more (got {got})."


def _listed(words: Iterable[str]) -> str:
    return " and ".join(words)
