"""Which bodies are meant to lie within one another: a screw and what it goes through, a propeller and its motor.

A pair that is engaged is judged by the findings about its column, not as an overlap.
"""

from __future__ import annotations

from collections.abc import Mapping

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body
from platewright.model.stack import ItemKind

__all__ = ["Engaged", "rotor_of"]

_SPUN = frozenset(("propeller", "nut", "motor", "screw"))


class Engaged:
    """Answers whether two bodies of an assembly are joined by one column, one shaft, or a tab in its slot.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    """

    def __init__(self, assembly: Assembly) -> None:
        self._of_line: Mapping[str, frozenset[str]] = {
            line.name: frozenset(
                [i.instance.name for i in line.items if i.instance is not None]
                + [i.word.name for i in line.items if i.instance is None and i.word.kind is ItemKind.THING]
                + ([line.owner] if line.is_equipment else [])
            )
            for line in assembly.lines
        }
        self._carrier = {e.id: e.on for e in assembly.design.equipment}
        tabs = [(j.standing.name, j.plate.name) for j in assembly.tabs]
        self._tabs = {pair for a, b in tabs for pair in ((a, b), (b, a))}
        keyed = {key.of for key in assembly.design.key}
        self._keyed = {i.name: i.place.id for i in assembly.instances.values() if i.place.id in keyed}

    def in_column(self, a: Body, b: Body) -> bool:
        """Return whether both belong to one bolt line, or one is what the other's line goes through."""
        if a.line and a.line == b.line:
            return True
        return self._through(a, b) or self._through(b, a) or self._on_shaft(a, b)

    def are_tabbed(self, a: Body, b: Body) -> bool:
        """Return whether one plate has tabs in the other."""
        return (a.name, b.name) in self._tabs

    def are_keyed(self, a: Body, b: Body) -> bool:
        """Return whether both are plates that a key trims to each other."""
        return a.name in self._keyed and self._keyed[a.name] == self._keyed.get(b.name)

    def _through(self, hardware: Body, thing: Body) -> bool:
        if not hardware.line or thing.line:
            return False
        goes = self._of_line[hardware.line]
        return (thing.name if thing.role == "plate" else thing.owner) in goes

    def _on_shaft(self, a: Body, b: Body) -> bool:
        number = rotor_of(a)
        if number is None or number != rotor_of(b):
            return False
        return a.owner == b.owner or b.owner == self._carrier.get(a.owner) or a.owner == self._carrier.get(b.owner)


def rotor_of(body: Body) -> int | None:
    """Return the number of the rotor that a motor, propeller, hub screw or propeller nut belongs to; None for others.

    Examples
    --------
    >>> from platewright.assembly.bodies import Frame3
    >>> rotor_of(Body("propeller.nut.3", "nut", "propeller.nut", Frame3((0, 0, 0)), (), "propeller"))
    3
    """
    if body.line or body.role not in _SPUN:
        return None
    return next((int(word) for word in body.name.split(".")[1:] if word.isdigit()), None)
