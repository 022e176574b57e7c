"""Thrust and power of a propeller that has no table, from the measured ones.

At rest ln CT and ln CP are a robust linear form of size, pitch, blades and Reynolds number, plus what the nearest
measured propellers differ from it by. Against advance ratio both are polynomials in J over the J of no thrust, which is
itself predicted from the static values: they tell the true pitch better than the printed one does. Four amounts of
knowledge: (a) diameter, pitch and blades, (b) also chord and twist of the blade, (c) static rows, (d) one static point.
Blade-element theory is used where it was measured to help: in (b), at rest.
The choice of terms was made by leaving out one propeller at a time, so the errors found the same way are a little low.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.bladed import BladedModel, fit_bladed_model
from platewright.rotor.polars import Polars
from platewright.rotor.regression import Kriging, RobustFit, fit_kriging, fit_robust
from platewright.rotor.tables import Blade, PropellerSize, PropellerTable, reynolds_number, zero_thrust_advance_ratio

__all__ = ["Coefficients", "PropellerModel", "StaticPoint", "fit_propeller_model"]

Array = NDArray[np.float64]
_REFERENCE = (0.127, 2.0, 4e4)  # diameter [m], blades, Reynolds number: where logarithms vanish
_LENGTHS = (0.4, 0.4, 0.4)  # of ln diameter, ln pitch ratio, ln blades
_SPREAD, _OWN = 0.15, 0.12  # of ln CT and ln CP between and within propellers
_ORDER = 4
_LEAST_SHARE = 0.15  # of the static value: rows nearer to no thrust do not gain weight


@dataclass(frozen=True)
class StaticPoint:
    """One static measurement.

    Parameters
    ----------
    speed : float
        Speed of rotation [rad/s].
    thrust_coefficient, power_coefficient : float
        CT and CP [-].
    """

    speed: float
    thrust_coefficient: float
    power_coefficient: float


@dataclass(frozen=True)
class Coefficients:
    """Predicted coefficients.

    Parameters
    ----------
    knowledge : str
        a, b, c or d, as the module says.
    thrust, power : (n_rows,) array
        CT and CP [-].
    static_thrust, static_power : (n_rows,) array
        The same at rest [-].
    zero_thrust_j : (n_rows,) array
        Advance ratio of no thrust [-]; above it the prediction does not apply.
    """

    knowledge: str
    thrust: Array
    power: Array
    static_thrust: Array
    static_power: Array
    zero_thrust_j: Array


@dataclass(frozen=True)
class PropellerModel:
    """What was fitted to a set of tables: pairs are for CT and CP.

    Parameters
    ----------
    by_size : pair of RobustFit
        Static, from diameter, pitch, blades.
    nearest : pair of Kriging
        What the nearest propellers add to it.
    tables, polars : sequence of PropellerTable, Polars
        What it was fitted to, and the section of blades that are known.
    zero_thrust : RobustFit
        ln of the J of no thrust.
    fall : pair of RobustFit
        Change relative to the static value.
    centre : (3,) array
        Means of the logarithms that the fall depends on.
    """

    by_size: tuple[RobustFit, RobustFit]
    nearest: tuple[Kriging, Kriging]
    tables: tuple[PropellerTable, ...]
    polars: Polars
    zero_thrust: RobustFit
    fall: tuple[RobustFit, RobustFit]
    centre: Array

    @cached_property
    def by_blade(self) -> BladedModel:
        """Static, from blade-element theory; fitted when it is first asked for."""
        return fit_bladed_model(self.tables, self.polars)

    def predict(
        self,
        size: PropellerSize,
        speed: Array,
        advance_ratio: Array,
        *,
        blade: Blade | None = None,
        table: PropellerTable | None = None,
        point: StaticPoint | None = None,
    ) -> Coefficients:
        """Predict CT and CP with the best knowledge given: a table's static rows, then a point, then the blade.

        Parameters
        ----------
        size : PropellerSize
            Diameter, pitch, blades.
        speed, advance_ratio : (n_rows,) array
            Speed of rotation [rad/s] and J [-].
        blade : Blade or None
            The blade, (b).
        table : PropellerTable or None
            Static rows, (c).
        point : StaticPoint or None
            One static point, (d).

        Returns
        -------
        Coefficients
            For each row.
        """
        if table is not None and table.has_static:
            knowledge, (ct, cp) = "c", table.static(speed)
        elif point is not None:
            knowledge = "d"
            ct, cp = self._static(size, speed, blade)
            there = self._static(size, np.array([point.speed]), blade)
            ct, cp = ct * point.thrust_coefficient / there[0], cp * point.power_coefficient / there[1]
        else:
            knowledge = "a" if blade is None else "b"
            ct, cp = self._static(size, speed, blade)
        no_thrust = np.exp(self.zero_thrust(_zero_thrust_features(size, ct, cp)))
        terms = _fall_terms(advance_ratio / no_thrust, size, ct, cp, self.centre)
        fall = [1 + fit(terms) for fit in self.fall]
        return Coefficients(knowledge, ct * fall[0], cp * fall[1], ct, cp, no_thrust)

    def _static(self, size: PropellerSize, speed: Array, blade: Blade | None) -> tuple[Array, Array]:
        if blade is None:
            features, places = _size_features(size, speed), _places([size])
            pairs = zip(self.by_size, self.nearest, strict=True)
            ct, cp = (np.exp(fit(features) + near(places)) for fit, near in pairs)
        else:
            ct, cp = self.by_blade.static(size, blade, speed)
        return ct, cp


def fit_propeller_model(tables: Sequence[PropellerTable], polars: Polars) -> PropellerModel:
    """Fit the model to measured propellers.

    Parameters
    ----------
    tables : sequence of PropellerTable
        Ten or more with static rows, some with blades, some with rows against advance ratio.
    polars : Polars
        Section of blades that are known.

    Returns
    -------
    PropellerModel
        The model.

    Raises
    ------
    ValueError
        If there are fewer than ten tables with static rows.
    """
    still = [t for t in tables if t.has_static]
    if len(still) < 10:
        message = f"tables must hold ten propellers with static rows or more (got {len(still)})."
        raise ValueError(message)
    by_size = _fit_static(still, lambda t, speed: _size_features(t.size, speed))
    places = _places([t.size for t in still])
    near_ct, near_cp = (fit_kriging(places, _LENGTHS, _SPREAD, _OWN, fit) for fit in by_size)
    moving = [(t, j) for t in still if np.isfinite(j := zero_thrust_advance_ratio(t))]
    zero_thrust = _fit_zero_thrust(moving)
    centre = np.mean([_logarithms(t.size, *t.static(t.speed)).mean(axis=0) for t, _ in moving], axis=0)
    fall_ct, fall_cp = _fit_fall(moving, zero_thrust, centre)
    return PropellerModel(by_size, (near_ct, near_cp), tuple(still), polars, zero_thrust, (fall_ct, fall_cp), centre)


# ---- fits -------------------------------------------------------------------------------------------------------


def _fit_static(
    tables: Sequence[PropellerTable], features: Callable[[PropellerTable, Array], Array]
) -> tuple[RobustFit, RobustFit]:
    rows = [t.at_rest for t in tables]
    matrix = np.vstack([features(t, t.speed[r]) for t, r in zip(tables, rows, strict=True)])
    groups = _groups([int(np.count_nonzero(r)) for r in rows])
    ct = np.log(np.concatenate([t.thrust_coefficient[r] for t, r in zip(tables, rows, strict=True)]))
    cp = np.log(np.concatenate([t.power_coefficient[r] for t, r in zip(tables, rows, strict=True)]))
    return (
        fit_robust(matrix, ct, groups, ridge=1e-3, threshold=0.08),
        fit_robust(matrix, cp, groups, ridge=1e-3, threshold=0.08),
    )


def _fit_zero_thrust(moving: Sequence[tuple[PropellerTable, float]]) -> RobustFit:
    rows = [~t.at_rest for t, _ in moving]
    features = [_zero_thrust_features(t.size, *t.static(t.speed[r])) for (t, _), r in zip(moving, rows, strict=True)]
    counts = [len(f) for f in features]
    values = np.repeat(np.log([j for _, j in moving]), counts)
    return fit_robust(np.vstack(features), values, _groups(counts), ridge=5e-3, threshold=0.05)


def _fit_fall(
    moving: Sequence[tuple[PropellerTable, float]], zero_thrust: RobustFit, centre: Array
) -> tuple[RobustFit, RobustFit]:
    terms, changes, weights = [], [], []
    for table, no_thrust in moving:
        rows = ~table.at_rest & (table.advance_ratio < no_thrust)
        static = table.static(table.speed[rows])
        predicted = np.exp(zero_thrust(_zero_thrust_features(table.size, *static)))
        terms.append(_fall_terms(table.advance_ratio[rows] / predicted, table.size, *static, centre))
        shares = [
            measured[rows] / still
            for measured, still in zip((table.thrust_coefficient, table.power_coefficient), static, strict=True)
        ]
        changes.append(np.column_stack(shares) - 1)
        weights.append(1 / np.maximum(np.column_stack(shares), _LEAST_SHARE) ** 2)
    matrix, values, weight = np.vstack(terms), np.vstack(changes), np.vstack(weights)
    groups = _groups([len(t) for t in terms])
    ct, cp = (
        fit_robust(matrix, values[:, k], groups, ridge=1e-4, threshold=0.05, weights=weight[:, k], through_origin=True)
        for k in (0, 1)
    )
    return ct, cp


def _groups(counts: Sequence[int]) -> NDArray[np.int64]:
    return np.repeat(np.arange(len(counts)), counts)


# ---- features ---------------------------------------------------------------------------------------------------


def _size_logarithms(size: PropellerSize) -> tuple[float, float, float]:
    diameter, blades, _ = _REFERENCE
    return (
        float(np.log(size.diameter / diameter)),
        float(np.log(size.pitch / size.diameter)),
        float(np.log(size.blades / blades)),
    )


def _places(sizes: Sequence[PropellerSize]) -> Array:
    return np.array([_size_logarithms(s) for s in sizes])


def _reynolds(size: PropellerSize, speed: Array) -> Array:
    return np.asarray(np.log(reynolds_number(speed, size.diameter) / _REFERENCE[2]), dtype=np.float64)


def _size_features(size: PropellerSize, speed: Array) -> Array:
    d, p, b = _size_logarithms(size)
    constant = np.ones_like(speed)
    own = [term * constant for term in (d, p, p * p, b, d * p)]
    return np.column_stack([*own, _reynolds(size, speed)])


def _logarithms(size: PropellerSize, ct: Array, cp: Array) -> Array:
    _, p, _ = _size_logarithms(size)
    return np.column_stack([np.full_like(ct, p), np.log(ct), np.log(cp)])


def _zero_thrust_features(size: PropellerSize, ct: Array, cp: Array) -> Array:
    d, _, b = _size_logarithms(size)
    return np.column_stack([_logarithms(size, ct, cp), np.full_like(ct, b), np.full_like(ct, d)])


def _fall_terms(share: Array, size: PropellerSize, ct: Array, cp: Array, centre: Array) -> Array:
    """Powers of J over the J of no thrust, each also times pitch ratio, CT and CP as logarithms from their means."""
    factors = np.column_stack([np.ones_like(share), _logarithms(size, ct, cp) - centre])
    return np.hstack([factors * (share**k)[:, None] for k in range(1, _ORDER + 1)])
