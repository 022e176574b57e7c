"""How well propellers are predicted, each left out of the fit in turn.

Errors are relative to the measured value, from 0.7 of the J of no thrust on to the static value, which does not vanish.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.air import standard_air
from platewright.rotor.blade_element import blade_element
from platewright.rotor.plain import plain_fall, plain_static
from platewright.rotor.polars import Polars
from platewright.rotor.predict import Coefficients, PropellerModel, StaticPoint, fit_propeller_model
from platewright.rotor.tables import PropellerTable, zero_thrust_advance_ratio

__all__ = ["KNOWLEDGE", "RANGES", "Accuracy", "leave_one_out"]

Array = NDArray[np.float64]
KNOWLEDGE = {
    "a": "diameter, pitch, blades",
    "b": "also chord and twist",
    "c": "static rows",
    "d": "one static point",
    "plain": "plain regression on diameter, pitch, blades, Reynolds number",
    "plain c": "plain regression in J and J times pitch ratio, static rows known",
    "element": "blade elements alone, chord and twist",
}
RANGES = {"at rest": (0.0, 0.0), "to 0.3": (0.0, 0.3), "0.3 to 0.7": (0.3, 0.7), "0.7 to 1": (0.7, 1.0)}
"""Ranges of J over the J of no thrust."""


@dataclass(frozen=True)
class Accuracy:
    """Relative errors of one kind of prediction over one range of J.

    Parameters
    ----------
    knowledge, span, quantity : str
        A key of `KNOWLEDGE`, a key of `RANGES` or `to 0.7`, and CT or CP.
    propellers, rows : int
        How many were left out and predicted.
    median, nine_tenths : float
        Of the absolute relative error over all rows [-].
    by_propeller : float
        Median over propellers of each one's median [-].
    """

    knowledge: str
    span: str
    quantity: str
    propellers: int
    rows: int
    median: float
    nine_tenths: float
    by_propeller: float


def leave_one_out(tables: Sequence[PropellerTable], polars: Polars) -> tuple[Accuracy, ...]:
    """Predict each propeller from all others.

    Parameters
    ----------
    tables : sequence of PropellerTable
        Measured propellers.
    polars : Polars
        Section of blades that are known.

    Returns
    -------
    tuple of Accuracy
        Four kinds of knowledge, plain regressions and blade elements alone, by range and quantity.
    """
    errors: dict[tuple[str, str, str], list[Array]] = {}
    for table in tables:
        others = [t for t in tables if t.name != table.name]
        for key, error in _errors(table, others, polars):
            if error.size:
                errors.setdefault(key, []).append(error)
    return tuple(_accuracy(key, errors[key]) for key in _keys() if key in errors)


def _errors(
    table: PropellerTable, others: Sequence[PropellerTable], polars: Polars
) -> Iterator[tuple[tuple[str, str, str], Array]]:
    model = fit_propeller_model(others, polars)
    share = table.advance_ratio / zero_thrust_advance_ratio(table)
    share[table.at_rest] = 0.0
    for knowledge, made in _predictions(model, table):
        for quantity, predicted, measured, still in (
            ("CT", made.thrust, table.thrust_coefficient, made.static_thrust),
            ("CP", made.power, table.power_coefficient, made.static_power),
        ):
            if table.has_static:
                still = table.static(table.speed)[0 if quantity == "CT" else 1]  # noqa: PLW2901
            for span, rows in _spans(table, share):
                if span == "at rest" and knowledge == "c":
                    continue
                base = still if span == "0.7 to 1" else measured
                yield (knowledge, span, quantity), np.abs((predicted - measured) / base)[rows]
    yield from _compared(table, others, polars, share)


def _compared(
    table: PropellerTable, others: Sequence[PropellerTable], polars: Polars, share: Array
) -> Iterator[tuple[tuple[str, str, str], Array]]:
    if not table.has_static:
        return
    still, fall, own = plain_static(table, others), plain_fall(table, others), table.static(table.speed)
    made = [("plain", [s * np.where(table.at_rest, 1.0, f) for s, f in zip(still, fall, strict=True)])]
    made.append(("plain c", [s * f for s, f in zip(own, fall, strict=True)]))
    if table.blade is not None:
        e = blade_element(table.size, table.blade, polars, table.speed, table.advance_ratio, standard_air())
        made.append(("element", [e.thrust, e.power]))
    for knowledge, predicted in made:
        for quantity, value, measured, rest in zip(
            ("CT", "CP"), predicted, (table.thrust_coefficient, table.power_coefficient), own, strict=True
        ):
            for span, rows in _spans(table, share):
                if span == "at rest" and knowledge == "plain c":
                    continue
                base = rest if span == "0.7 to 1" else measured
                yield (knowledge, span, quantity), np.abs((value - measured) / base)[rows]


def _predictions(model: PropellerModel, table: PropellerTable) -> Iterator[tuple[str, Coefficients]]:
    where = (table.size, table.speed, table.advance_ratio)
    yield "a", model.predict(*where)
    if table.blade is not None:
        yield "b", model.predict(*where, blade=table.blade)
    if table.has_static:
        yield "c", model.predict(*where, table=table)
        rows = np.flatnonzero(table.at_rest)
        middle = rows[np.argsort(table.speed[rows])[rows.size // 2]]
        ct, cp = table.thrust_coefficient[middle], table.power_coefficient[middle]
        yield "d", model.predict(*where, point=StaticPoint(float(table.speed[middle]), float(ct), float(cp)))


def _spans(table: PropellerTable, share: Array) -> Iterator[tuple[str, NDArray[np.bool_]]]:
    for span, (low, high) in RANGES.items():
        yield span, table.at_rest if span == "at rest" else ~table.at_rest & (share >= low) & (share < high)
    yield "to 0.7", ~table.at_rest & (share < 0.7)


def _keys() -> Iterator[tuple[str, str, str]]:
    for knowledge in KNOWLEDGE:
        for span in (*RANGES, "to 0.7"):
            for quantity in ("CT", "CP"):
                yield knowledge, span, quantity


def _accuracy(key: tuple[str, str, str], errors: Sequence[Array]) -> Accuracy:
    rows = np.concatenate(errors)
    return Accuracy(
        *key,
        len(errors),
        rows.size,
        float(np.median(rows)),
        float(np.quantile(rows, 0.9)),
        float(np.median([np.median(e) for e in errors])),
    )
