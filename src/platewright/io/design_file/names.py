"""The names that expressions may use: parameters, rotor axes, arm lines and levels.

Parameters are evaluated in the order in which they use each other. A name whose value is not yet known, or cannot be
known because its own expression is wrong, stands in as 10: what follows from a stand-in is never reported.
"""

from __future__ import annotations

import keyword
import re
from collections.abc import Iterator, Mapping
from typing import Any

from platewright.model.expression import ExpressionError, evaluate, names_in

__all__ = ["STAND_IN", "Names"]

STAND_IN = 10.0
_LARGE = 10**300
_FUNCTIONS = frozenset({"min", "max", "sqrt", "sin", "cos"})
_PARAMETER = re.compile(r"[a-z][a-z0-9_]{0,39}")
_ROTOR = re.compile(r"rotor\.[1-9][0-9]?\.[xy]_mm")

Report = tuple[tuple[str | int, ...], str, str]
"""Path, code and message of a problem."""


class Names:
    """Values of names during the reading of one design.

    `computed` and `unknowable` are filled once the stance is known: names with their values, and names whose own
    record is wrong.

    Parameters
    ----------
    parameters : mapping
        The table as written: numbers and expressions.
    places : sequence of str
        Ids of the places.
    levels : mapping or None
        Value of each `level.PLACE.bottom_mm` and `level.PLACE.top_mm` [mm]; None while they are not known.
    """

    def __init__(self, parameters: Mapping[str, Any], places: list[str], levels: Mapping[str, float] | None) -> None:
        self.parameters = dict(parameters)
        self.places = places
        self.levels = levels
        self.computed: dict[str, float] = {}
        self.unknowable: set[str] = set()
        self.reports: list[Report] = []
        self._values: dict[str, float] = {}
        self._broken: set[str] = set()
        self._order = self._ordered()
        self._check_names()

    def lookup(self, name: str) -> float:
        """Value of a name; `KeyError` with the known names for an unknown one."""
        for values in (self._values, self.computed, self.levels or {}):
            if name in values:
                return values[name]
        if name in self.parameters or self._is_computed_later(name):
            return STAND_IN
        raise KeyError(name, self._known())

    def evaluate_parameters(self, *, final: bool) -> None:
        """Evaluate what can be evaluated; `final` says that every computed name is in place."""
        for name in self._order:
            raw = self.parameters[name]
            if name in self._broken or name in self._values:
                continue
            if not isinstance(raw, str):
                self._plain(name, raw)
            elif final or self.is_early(raw):
                self._expression(name, raw)

    def values(self) -> dict[str, Any]:
        """Parameters with their values, those of the wrong type as written."""
        return {
            name: self._values.get(name, STAND_IN if isinstance(raw, str) else raw)
            for name, raw in self.parameters.items()
        }

    def is_early(self, text: str) -> bool:
        """Whether an expression rests on parameters alone."""
        return all(name in self.parameters for name in self._leaves(text))

    def late_names(self, text: str) -> list[str]:
        """Names an expression rests on that are computed from the design, sorted."""
        return sorted(name for name in self._leaves(text) if self._is_of_computed_form(name))

    def rests_on_stand_in(self, text: str) -> bool:
        """Whether the value of an expression is provisional, and nothing in it is unknown."""
        leaves = self._leaves(text)
        waiting = [name for name in leaves if name not in self.computed and name not in (self.levels or {})]
        return bool(waiting) and all(name in self.parameters or self._is_computed_later(name) for name in waiting)

    def _plain(self, name: str, raw: object) -> None:
        if isinstance(raw, int | float) and not isinstance(raw, bool) and abs(raw) < _LARGE:
            self._values[name] = float(raw)
        else:
            self._broken.add(name)

    def _expression(self, name: str, text: str) -> None:
        try:
            value = evaluate(text, self.lookup)
        except ExpressionError as error:
            if not self.rests_on_stand_in(text):
                self.reports.append((("parameters", name), "expression.invalid", str(error)))
            self._broken.add(name)
        else:
            if self.rests_on_stand_in(text):
                self._broken.add(name)
            else:
                self._values[name] = value

    def _is_computed_later(self, name: str) -> bool:
        return self._is_of_computed_form(name) and (self.levels is None or not name.startswith("level."))

    def _is_of_computed_form(self, name: str) -> bool:
        if name in self.computed or name in self.unknowable or (self.levels is not None and name in self.levels):
            return True
        head, _, tail = name.rpartition(".")
        if tail in ("bottom_mm", "top_mm"):
            return head.startswith("level.") and head.removeprefix("level.") in self.places
        if any(key.startswith("rotor.") for key in self.computed):
            return False  # rotors and arms are known: whatever is not among them does not exist
        return bool(_ROTOR.fullmatch(name)) or (tail in ("reach_mm", "bearing_deg") and head in self.places)

    def _known(self) -> tuple[str, ...]:
        levels = self.levels or [f"level.{place}.{side}_mm" for place in self.places for side in ("bottom", "top")]
        return (*self.parameters, *self.computed, *levels)

    def _leaves(self, text: str) -> set[str]:
        """Names an expression rests on in the end: names that are no parameter, and parameters without a value."""
        found: set[str] = set()
        seen: set[str] = set()
        waiting = list(_uses(text))
        while waiting:
            name = waiting.pop()
            if name in seen:
                continue
            seen.add(name)
            raw = self.parameters.get(name)
            if name in self._broken or name not in self.parameters:
                found.add(name)
            elif isinstance(raw, str) and name not in self._values:
                waiting.extend(_uses(raw))
        return found

    def _ordered(self) -> list[str]:
        """Parameters, each after those it uses; circles are reported and broken."""
        order: list[str] = []
        done: set[str] = set()
        for first in self.parameters:
            trail: list[str] = []
            stack: list[tuple[str, Iterator[str]]] = []
            self._enter(first, done, trail, stack)
            while stack:
                name, uses = stack[-1]
                following = next(uses, None)
                if following is None:
                    stack.pop()
                    trail.pop()
                    done.add(name)
                    order.append(name)
                elif following in trail:
                    self._circle(trail[trail.index(following) :])
                elif following in self.parameters:
                    self._enter(following, done, trail, stack)
        return order

    def _enter(self, name: str, done: set[str], trail: list[str], stack: list[tuple[str, Iterator[str]]]) -> None:
        if name not in done:
            raw = self.parameters[name]
            trail.append(name)
            stack.append((name, iter(sorted(_uses(raw)) if isinstance(raw, str) else ())))

    def _circle(self, names: list[str]) -> None:
        chain = " -> ".join([*names, names[0]])
        message = f"uses itself in a circle: {chain}; give one of them a number."
        self.reports.append((("parameters", names[0]), "expression.cycle", message))
        self._broken.update(names)

    def _check_names(self) -> None:
        for name in self.parameters:
            if not _PARAMETER.fullmatch(name) or keyword.iskeyword(name) or name in _FUNCTIONS:
                message = (
                    "must have a name of lower-case letters, digits and underscores, a letter first, "
                    f"that is no function (got '{name}')."
                )
                self.reports.append((("parameters", name), "parameter.name", message))


def _uses(text: str) -> frozenset[str]:
    try:
        return names_in(text)
    except ExpressionError:
        return frozenset()
