"""Names computed from the rotors and the arms, before anything else of the design is read.

They rest on parameters alone: `rotors`, and of each place the keys that lead its arms to the rotors.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeVar

from pydantic import ValidationError

from platewright.assembly.stance import arm_lines, rotor_axes, rotors_of
from platewright.io.design_file.names import Names, Report
from platewright.io.design_file.tree import strings_in
from platewright.model.design import Place, Rotors

__all__ = ["add_stance_names"]

_R = TypeVar("_R", Place, Rotors)
_ARM_KEYS = ("to", "root_mm", "root_radius_mm", "bearing_deg", "reach_mm", "handed")


def add_stance_names(values: dict[str, Any], names: Names) -> list[Report]:
    """Add `rotor.N.x_mm`, `rotor.N.y_mm`, `PLACE.reach_mm` and `PLACE.bearing_deg` to the computed names.

    Parameters
    ----------
    values : dict
        The merged tree.
    names : Names
        Parameters are evaluated; receives the names.

    Returns
    -------
    list of (path, code, message)
        What is wrong with the stance as a whole; a wrong value is left to the reading of the records.
    """
    reports: list[Report] = []
    rotors = _rotors(values, names, reports)
    places = [_place(record, index, names, reports) for index, record in enumerate(_records(values))]
    if rotors is None:
        return reports
    followed = next((p for p, r in zip(places, _records(values), strict=True) if r.get("id") == rotors.follow), rotors)
    if followed is None:
        return reports  # its values are wrong, and reported as such
    known = [place for place in places if place is not None]
    try:
        axes = rotor_axes(rotors, known)
        rotors_of(rotors, known)
    except ValueError as error:
        return [*reports, (("rotors",), "rotors.ways", f"{error}.")]
    for number, (x, y) in enumerate(axes, start=1):
        names.computed |= {f"rotor.{number}.x_mm": x, f"rotor.{number}.y_mm": y}
    for index, (record, place) in enumerate(zip(_records(values), places, strict=True)):
        names.unknowable |= {f"{record['id']}.reach_mm", f"{record['id']}.bearing_deg"} if "to" in record else set()
        if place is not None and place.to is not None:
            try:
                line = arm_lines(place, axes)[0]
            except ValueError as error:
                reports.append((("place", index), "place.arms", f"{error}."))
            else:
                names.computed[f"{place.id}.reach_mm"] = line.reach
                names.computed[f"{place.id}.bearing_deg"] = math.degrees(line.bearing)
    return reports


def _records(values: dict[str, Any]) -> list[dict[str, Any]]:
    return list(values.get("place", ()))


def _rotors(values: dict[str, Any], names: Names, reports: list[Report]) -> Rotors | None:
    given = values.get("rotors")
    if not isinstance(given, dict):
        return None
    return _early(given, ("rotors",), names, reports, lambda context: Rotors.model_validate(given, context=context))


def _place(record: dict[str, Any], index: int, names: Names, reports: list[Report]) -> Place | None:
    given = {key: record[key] for key in _ARM_KEYS if key in record}
    whole = {"id": record["id"], "part": "any", **given}
    return _early(given, ("place", index), names, reports, lambda context: Place.model_validate(whole, context=context))


def _early(
    given: dict[str, Any],
    path: tuple[str | int, ...],
    names: Names,
    reports: list[Report],
    read: Callable[[dict[str, Any]], _R],
) -> _R | None:
    """Read a record of parameters alone; None when a value is wrong or cannot be known yet."""
    ready = True
    for key, value in given.items():
        for text in strings_in(value):
            if late := names.late_names(text):
                message = f"may use parameters only: '{late[0]}' is computed from it or after it (got '{text}')."
                reports.append(((*path, key), "expression.early", message))
                ready = False
            elif names.rests_on_stand_in(text):
                ready = False
    if not ready:
        return None
    try:
        return read({"lookup": names.lookup})
    except ValidationError:
        return None
