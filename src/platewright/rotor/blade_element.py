"""Blade-element momentum theory of a propeller: annuli with Prandtl's tip loss and swirl, at rest and in axial flow.

Alone it is no better than +-30 % at this size: twist readings are 2 degrees out, sections are unknown, and flow at such
Reynolds numbers is half separated. It is for scaling and slopes. Sources, all from memory: Glauert in Durand,
Aerodynamic Theory IV (1935), div. L; Ning, Wind Energy 17 (2014), one angle as the unknown; Snel et al., ECN-C--93-052
(1993), stall delayed by rotation; Prandtl-Glauert for Mach number.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.air import Air
from platewright.rotor.polars import Polars
from platewright.rotor.tables import Blade, PropellerSize

__all__ = ["BladeElements", "blade_element", "generic_blade"]

Array = NDArray[np.float64]
_HUB, _TIP = 0.15, 0.985  # shares of the radius
_STATIONS = 18
_ROUNDS = 26
_LEAST_ANGLE = 1e-3  # rad
_SNEL = 3.1
_SNEL_ENDS = math.radians(30), math.radians(50)  # fades out between
_MACH_MOST = 0.8


@dataclass(frozen=True)
class BladeElements:
    """Coefficients, and the inflow along the blade.

    Parameters
    ----------
    thrust, power : (n_rows,) array
        CT and CP [-].
    radius : (n_stations,) array
        Share of the tip radius [-].
    inflow_angle, angle_of_attack, reynolds : (n_rows, n_stations) array
        [rad], [rad] and [-].
    """

    thrust: Array
    power: Array
    radius: Array
    inflow_angle: Array
    angle_of_attack: Array
    reynolds: Array


def blade_element(
    size: PropellerSize, blade: Blade, polars: Polars, speed: Array, advance_ratio: Array, air: Air
) -> BladeElements:
    """Return CT and CP of a propeller by blade-element momentum theory.

    Parameters
    ----------
    size : PropellerSize
        Diameter and blades.
    blade : Blade
        Chord and twist.
    polars : Polars
        Its section.
    speed, advance_ratio : (n_rows,) array
        Speed of rotation [rad/s] and J, not negative [-].
    air : Air
        What it turns in.

    Returns
    -------
    BladeElements
        For each row.
    """
    x = (_HUB + _TIP) / 2 - (_TIP - _HUB) / 2 * np.cos(np.linspace(0, np.pi, _STATIONS))
    chord, twist = np.interp(x, blade.radius, blade.chord), np.interp(x, blade.radius, blade.twist)
    solidity = size.blades * chord / (2 * np.pi * x)
    turning = (speed[:, None] * size.diameter / 2) * x  # m/s, without swirl
    flow = _Flow(size.blades, x, chord, twist, solidity, turning, chord * size.diameter / 2, polars, air)
    onset = (advance_ratio * speed / (2 * np.pi) * size.diameter)[:, None] * np.ones_like(x)
    geometric = np.arctan2(onset, turning)
    low = np.full(turning.shape, _LEAST_ANGLE)
    low = np.where(flow.excess(low, onset) > 0, low, np.maximum(geometric / 2, _LEAST_ANGLE))
    high = np.full(turning.shape, np.pi / 2 - 1e-3)
    for _ in range(_ROUNDS):
        middle = (low + high) / 2
        above = flow.excess(middle, onset) > 0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    angle = (low + high) / 2
    normal, tangential, loss, reynolds = flow.forces(angle)
    factor = 4 * loss * np.sin(angle)
    relative = turning / (np.cos(angle) + solidity * tangential / factor)  # speed past the section
    # dT = rho W^2 B c cn / 2 dr, with T over rho n^2 D^4 and r = x D / 2
    pressure = relative**2 * size.blades * chord / 2 / (speed[:, None] / (2 * np.pi) * size.diameter) ** 2 / 4
    ends = np.concatenate([x, [1.0]])
    ct = _integral(pressure * normal, ends)
    cp = 2 * np.pi * _integral(pressure * tangential * x / 2, ends)
    return BladeElements(ct, cp, x, angle, twist - angle, reynolds)


def generic_blade(size: PropellerSize, radius: Array, chord: Array) -> Blade:
    """Return a blade of constant pitch with a given chord.

    Parameters
    ----------
    size : PropellerSize
        Diameter and pitch.
    radius, chord : (n_stations,) array
        Shares of the tip radius [-].

    Returns
    -------
    Blade
        Twisted to its pitch everywhere.
    """
    return Blade(radius, chord, np.arctan(size.pitch / size.diameter / (np.pi * radius)))


@dataclass(frozen=True)
class _Flow:
    blades: int
    x: Array
    chord: Array
    twist: Array
    solidity: Array
    turning: Array
    chord_length: Array
    polars: Polars
    air: Air

    def forces(self, angle: Array) -> tuple[Array, Array, Array, Array]:
        """Return coefficients across and along the disc, tip loss and Reynolds number at inflow angles."""
        relative = self.turning / np.cos(np.minimum(angle, 1.4))
        reynolds = relative * self.chord_length / self.air.kinematic_viscosity
        attack = self.twist - angle
        lift, drag, attached = self.polars.at(attack, reynolds)
        fade = np.clip((_SNEL_ENDS[1] - np.abs(attack)) / (_SNEL_ENDS[1] - _SNEL_ENDS[0]), 0.0, 1.0)
        delay = np.minimum(_SNEL * (self.chord / self.x) ** 2, 1.0) * fade
        lift = lift + np.where(attack > 0, delay * np.maximum(attached - lift, 0.0), 0.0)
        mach = np.minimum(relative / self.air.sound_speed, _MACH_MOST)
        lift = lift / np.sqrt(1 - mach**2)
        normal = lift * np.cos(angle) - drag * np.sin(angle)
        tangential = lift * np.sin(angle) + drag * np.cos(angle)
        reach = self.blades / 2 * (1 - self.x) / (self.x * np.sin(angle))
        loss = np.maximum(2 / np.pi * np.arccos(np.exp(-reach)), 1e-3)
        return normal, tangential, loss, reynolds

    def excess(self, angle: Array, onset: Array) -> Array:
        """Return what vanishes where blade element and momentum agree, positive below that angle."""
        normal, tangential, loss, _ = self.forces(angle)
        sine, cosine = np.sin(angle), np.cos(angle)
        along = 4 * loss * sine * cosine + self.solidity * tangential
        return np.asarray(onset * along - self.turning * (4 * loss * sine**2 - self.solidity * normal))


def _integral(rows: Array, ends: Array) -> Array:
    """Integrate from hub to tip, where the load vanishes."""
    whole = np.concatenate([rows, np.zeros((len(rows), 1))], axis=1)
    return np.asarray(((whole[:, 1:] + whole[:, :-1]) / 2 * np.diff(ends)).sum(axis=1), dtype=np.float64)
