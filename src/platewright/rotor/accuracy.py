"""How well propellers are predicted, each left out of the fit in turn.

Errors are relative to the measured value, from 0.7 of the J of no thrust on to the static value, which does not vanish.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.predict import Coefficients, PropellerModel, StaticPoint, fit_propeller_model
from platewright.rotor.regression import fit_robust
from platewright.rotor.tables import PropellerTable, reynolds_number, zero_thrust_advance_ratio

__all__ = ["KNOWLEDGE", "RANGES", "Accuracy", "leave_one_out"]

Array = NDArray[np.float64]
KNOWLEDGE = {
    "a": "diameter, pitch, blades",
    "b": "also chord and twist",
    "c": "static rows",
    "d": "one static point",
    "plain": "plain regression on diameter, pitch, blades, Reynolds number",
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


def leave_one_out(tables: Sequence[PropellerTable]) -> tuple[Accuracy, ...]:
    """Predict each propeller from all others.

    Parameters
    ----------
    tables : sequence of PropellerTable
        Measured propellers.

    Returns
    -------
    tuple of Accuracy
        Four kinds of knowledge and a plain regression, by range and quantity.
    """
    errors: dict[tuple[str, str, str], list[Array]] = {}
    for table in tables:
        others = [t for t in tables if t.name != table.name]
        for key, error in _errors(table, others):
            if error.size:
                errors.setdefault(key, []).append(error)
    return tuple(_accuracy(key, errors[key]) for key in _keys() if key in errors)


def _errors(table: PropellerTable, others: Sequence[PropellerTable]) -> Iterator[tuple[tuple[str, str, str], Array]]:
    model = fit_propeller_model(others)
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
    if table.has_static:
        rest = table.at_rest
        for quantity, predicted in zip(("CT", "CP"), _plain(table, others), strict=True):
            measured = table.thrust_coefficient if quantity == "CT" else table.power_coefficient
            yield ("plain", "at rest", quantity), np.abs(predicted / measured[rest] - 1)


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


def _plain(table: PropellerTable, others: Sequence[PropellerTable]) -> tuple[Array, Array]:
    """Least squares of ln CT and ln CP on ln D, pitch ratio, ln blades and ln Re: what the others are compared with."""

    def features(t: PropellerTable) -> Array:
        speed = t.speed[t.at_rest]
        constant = np.ones_like(speed)
        size = (np.log(t.size.diameter), t.size.pitch / t.size.diameter, np.log(t.size.blades))
        return np.column_stack([*(f * constant for f in size), np.log(reynolds_number(speed, t.size.diameter))])

    still = [t for t in others if t.has_static]
    groups = np.repeat(np.arange(len(still)), [int(t.at_rest.sum()) for t in still])
    matrix = np.vstack([features(t) for t in still])
    made = []
    for name in ("thrust_coefficient", "power_coefficient"):
        values = np.log(np.concatenate([getattr(t, name)[t.at_rest] for t in still]))
        made.append(np.exp(fit_robust(matrix, values, groups, ridge=0.0, threshold=np.inf)(features(table))))
    return made[0], made[1]


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
