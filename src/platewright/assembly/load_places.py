"""Whether what the loads of a design's load cases name can be pushed once everything stands in its place."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.assembly.assemble import Assembly
from platewright.model.load_case import CaseForce

__all__ = ["load_place_problems"]

Problem = tuple[tuple[str | int, ...], str, str]


def load_place_problems(assembly: Assembly) -> Iterator[Problem]:
    """Yield path, code and message of every load that nothing of the assembly can take.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    """
    for index, case in enumerate(assembly.design.load_case):
        for number, load in enumerate(case.loads):
            for key, text in _problems(assembly, load):
                yield ("load_case", index, "loads", number, key), "load.place", text


def _problems(assembly: Assembly, load: CaseForce) -> Iterator[tuple[str, str]]:
    if load.rotor is not None and load.rotor > len(assembly.rotors):
        count = len(assembly.rotors)
        yield "rotor", f"must be the number of one of the {count} rotors, 1 to {count} (got {load.rotor})."
    if load.column is not None:
        lines = [n for n in assembly.lines if load.column in (n.name, n.name.partition(".")[0])]
        if not any(n.fitted for n in lines):
            yield (
                "column",
                f"names '{load.column}', which has no fitted line; name a column that has.",
            )
    if load.place is not None:
        named = [n for n in assembly.instances if load.place in (n, n.partition(".")[0])]
        if len(named) != 1:
            names = [n for n in assembly.instances if n.partition(".")[0] == load.place.partition(".")[0]]
            yield "place", f"must name one instance: {', '.join(names)} (got '{load.place}')."
        elif load.at_mm is not None:
            part = assembly.parts[assembly.instances[named[0]].part.id]
            x, y = (float(v) for v in load.at_mm)
            if not bool(part.probe.contains([(x, y)])[0]):
                yield "at_mm", f"must be a point on the part '{part.part.id}', off its holes (got {x:g}, {y:g})."
