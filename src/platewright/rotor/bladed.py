"""Static thrust and power of a propeller whose blade is known: blade-element theory, corrected by the measured ones.

ln CT and ln CP are robust linear forms of what blade-element momentum theory gives for both and of pitch ratio.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.air import standard_air
from platewright.rotor.blade_element import blade_element
from platewright.rotor.polars import Polars
from platewright.rotor.regression import RobustFit, fit_robust
from platewright.rotor.tables import Blade, PropellerSize, PropellerTable

__all__ = ["BladedModel", "fit_bladed_model"]

Array = NDArray[np.float64]
_LEAST = 1e-3  # of a computed coefficient, so that it has a logarithm


@dataclass(frozen=True)
class BladedModel:
    """What was fitted to the propellers with a measured blade.

    Parameters
    ----------
    polars : Polars
        Section of all blades.
    thrust, power : RobustFit
        ln CT and ln CP.
    """

    polars: Polars
    thrust: RobustFit
    power: RobustFit

    def static(self, size: PropellerSize, blade: Blade, speed: Array) -> tuple[Array, Array]:
        """Return static CT and CP.

        Parameters
        ----------
        size : PropellerSize
            Diameter, pitch, blades.
        blade : Blade
            Chord and twist.
        speed : (n,) array
            Speed of rotation [rad/s].

        Returns
        -------
        (n,) array, (n,) array
            CT and CP [-].
        """
        features = _features(size, blade, speed, self.polars)
        return np.exp(self.thrust(features)), np.exp(self.power(features))


def fit_bladed_model(tables: Sequence[PropellerTable], polars: Polars) -> BladedModel:
    """Fit the model.

    Parameters
    ----------
    tables : sequence of PropellerTable
        Those with a blade and static rows are used.
    polars : Polars
        Section of all blades.

    Returns
    -------
    BladedModel
        The model.
    """
    used = [(t, t.blade) for t in tables if t.blade is not None and t.has_static]
    features = np.vstack([_features(t.size, blade, t.speed[t.at_rest], polars) for t, blade in used])
    groups = np.repeat(np.arange(len(used)), [np.count_nonzero(t.at_rest) for t, _ in used])
    thrust, power = (
        fit_robust(features, np.log(np.concatenate(values)), groups, ridge=1e-3, threshold=0.08)
        for values in (
            [t.thrust_coefficient[t.at_rest] for t, _ in used],
            [t.power_coefficient[t.at_rest] for t, _ in used],
        )
    )
    return BladedModel(polars, thrust, power)


def _features(size: PropellerSize, blade: Blade, speed: Array, polars: Polars) -> Array:
    made = blade_element(size, blade, polars, speed, np.zeros_like(speed), standard_air())
    pitch = np.full_like(speed, np.log(size.pitch / size.diameter))
    return np.column_stack([np.log(np.maximum(made.thrust, _LEAST)), np.log(np.maximum(made.power, _LEAST)), pitch])
