"""Level flight of a craft of many rotors, trimmed about its pitch axis, each rotor in the wakes of all others.

Unknown are the tilt, the mean speed of rotation and the share by which rotors behind turn faster; known are lift, drag
and the moment about the centre of gravity, which must balance. Newton's method on these three, the inflow from wakes
brought up to date between its steps. In flight of n g the path curves upwards: lift is n times the weight, speed along
the path is kept, and the craft turns nose up at (n - 1) g / V, which adds inflow at discs ahead and takes it behind.
Axes: x forward, y left, z up, origin at the centre of gravity. Tilt is positive nose down. Speeds of rotation are
mean times (1 - delta x / x_max), so delta is positive where discs behind must turn faster. Balance about roll holds by
symmetry and is not asked for. Rotors below share the speed of those above them.
Sources: Leishman, Principles of Helicopter Aerodynamics, ch. 2 (Glauert's inflow), ch. 3 and 5 (forces along a disc),
from memory. A slope of inflow gives a moment of a quarter of the radius on a stiff disc: integral over the disc.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.rotor.air import STANDARD_GRAVITY
from platewright.rotor.trim_records import Airframe, Doubt, Propelled, Trim
from platewright.rotor.wake import inflow_of_many, interference
from platewright.rotor.working import Working

__all__ = ["trim"]

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
_STEPS = 40
_TOLERANCE = 1e-4  # of weight, weight times reach, and v0
_FIRST = (1e-2, 1e-2, 1e-2, 1.0)  # steps of tilt [rad], ln speed, delta, and axial inflow [m/s], for slopes
_MOST = (0.15, 0.15, 0.1)  # largest step of each unknown
_PROFILE = 4.65  # growth of a blade's drag power with mu^2, as in `working`
_INFLOW_ROUNDS = 8
_TAKEN = 0.8  # of each change of the wakes' inflow, so that it does not swing
_LEAST_SHARE = -1.0  # of the J of no thrust: less inflow than at rest, as far as tables are carried on
_STILL = 1.0  # speeds below do not make a curve tighter [m/s]
_SLOWEST, _FASTEST, _HALVINGS = 100.0, 6000.0, 10  # rad/s, where the speed of rotation is looked for


def trim(
    airframes: Sequence[Airframe],
    propeller: Propelled,
    speeds: Array,
    *,
    loads: Sequence[float] = (),
    density: float = 1.225,
    doubts: Sequence[Doubt] = (),
) -> Trim:
    """Trim several airframes of as many rotors at several speeds at once.

    Parameters
    ----------
    airframes : sequence of Airframe
        Cases.
    propeller : Propelled
        On every rotor.
    speeds : (s,) array
        Along the path, 0 or more [m/s].
    loads : sequence of float
        Lift over weight, one for each case; 1 unless given [-].
    density : float
        Of the air [kg/m^3].
    doubts : sequence of Doubt
        One for each case; none unless given.

    Returns
    -------
    Trim
        With `applies` false where there is no balance.
    """
    count = len(airframes)
    loads, doubts = loads or [1.0] * count, doubts or [Doubt()] * count
    return _Solver(airframes, propeller, speeds, loads, density, doubts).solve()


@dataclass(frozen=True)
class _State:
    """Everything at one set of unknowns, with the others' inflow held; leading axis: the unknowns varied."""

    lift: Array
    drive: Array
    moment: Array
    thrust: Array
    torque: Array
    induced: Array
    axial: Array
    edgewise: Array
    force: Array
    applies: Bools


class _Solver:
    def __init__(
        self,
        airframes: Sequence[Airframe],
        propeller: Propelled,
        speeds: Array,
        loads: Sequence[float],
        density: float,
        doubts: Sequence[Doubt],
    ) -> None:
        self.propeller, self.density = propeller, density
        self.load = np.array(loads, dtype=np.float64)[:, None]
        self.radius = propeller.diameter / 2
        self.area = math.pi * self.radius**2
        unlike = {a.discs.tobytes(): a.discs for a in airframes}
        wakes = {
            k: interference([(-x, y, z) for x, y, z in d.tolist()], [self.radius] * len(d)) for k, d in unlike.items()
        }
        own = np.array([list(wakes).index(a.discs.tobytes()) for a in airframes])
        self.craft = own[:, None, None]
        self.cubics = np.array([w.cubics for w in wakes.values()])
        self.fall = np.array([w.fall for w in wakes.values()])[own][:, None]
        self.x, _, self.z = (np.array([a.discs[:, k] for a in airframes])[:, None] for k in range(3))
        self.middle = self.x.mean(axis=-1, keepdims=True)
        away = self.x - self.middle
        self.pattern = away / np.maximum(np.abs(away).max(axis=-1, keepdims=True), 1e-9)

        def column(name: str) -> Array:
            return np.array([[getattr(a, name)] for a in airframes])

        self.weight, self.angle = column("weight"), column("blade_angle")[..., None]
        self.front, self.top, self.washed = column("front_drag"), column("top_drag"), column("washed_drag")
        self.wash, self.height, self.reach = column("wash"), column("front_height"), column("top_reach")
        self.doubt_drag, self.doubt_disc, self.doubt_wake, self.sinking = (
            np.array([[getattr(d, name)] for d in doubts]) for name in ("drag", "disc_drag", "wake", "sinking")
        )
        self.v = speeds[None, :]
        self.pitch_rate = (self.load - 1) * STANDARD_GRAVITY / np.maximum(self.v, _STILL)
        self.count = self.x.shape[-1]
        self.shape = (len(airframes), speeds.size)

    def solve(self) -> Trim:
        q = self.density / 2 * self.v**2
        tilt = np.arctan2(self.doubt_drag * self.front * q, self.load * self.weight)
        speed = np.log(self._first_speed(tilt + np.zeros(self.shape)))
        unknowns = [tilt + np.zeros(self.shape), speed + np.zeros(self.shape), np.zeros(self.shape)]
        outer, slopes = np.zeros((*self.shape, self.count)), np.zeros((*self.shape, self.count))
        answer = np.zeros((*self.shape, self.count))
        residual = np.full(self.shape, np.inf)
        for _ in range(_STEPS):
            states = self._states(unknowns, outer, slopes, answer)
            residual, step = self._newton(states)
            fresh, slopes, answer = self._from_wakes(states, outer)
            scale = np.maximum(np.abs(states.induced[0]).max(axis=-1), 1e-6)
            residual = np.maximum(residual, np.abs(fresh - outer).max(axis=-1) / scale)
            if np.all(residual < _TOLERANCE):
                break
            outer = fresh
            unknowns = [u + np.clip(s, -m, m) for u, s, m in zip(unknowns, step, _MOST, strict=True)]
        return self._result(unknowns, outer, slopes, answer, residual < 10 * _TOLERANCE)

    def _first_speed(self, tilt: Array) -> Array:
        """Return the speed of rotation that carries the load with air along the shaft alone, by halving."""
        wanted = self.load * self.weight / self.count / np.cos(tilt)
        low, high = np.full(self.shape, _SLOWEST), np.full(self.shape, _FASTEST)
        for _ in range(_HALVINGS):
            middle = np.sqrt(low * high)
            enough = self.propeller.at(middle, self.v * np.sin(tilt), density=self.density).thrust > wanted
            low, high = np.where(enough, low, middle), np.where(enough, middle, high)
        return np.asarray(np.sqrt(low * high), dtype=np.float64)

    def _states(self, unknowns: list[Array], outer: Array, slopes: Array, answer: Array) -> _State:
        """Return the state at the unknowns, then with each of the three moved a little, then with a little inflow."""
        tilt, log_speed, share = (
            np.stack([u + (_FIRST[k] if k == n else 0.0) for n in range(-1, 4)]) for k, u in enumerate(unknowns)
        )
        more = np.zeros((5, 1, 1, 1))
        more[4] = _FIRST[3]
        return self._state(tilt, log_speed, share, outer + more, slopes, answer)

    def _state(self, tilt: Array, log_speed: Array, share: Array, outer: Array, slopes: Array, answer: Array) -> _State:
        omega = np.exp(log_speed)[..., None] * (1 - share[..., None] * self.pattern)
        edgewise = (self.v * np.cos(tilt))[..., None] + np.zeros_like(omega)
        through = (self.v * np.sin(tilt))[..., None]
        axial = through + self.pitch_rate[..., None] * self.x + outer + np.zeros_like(omega)
        work = self.propeller.at(omega, axial, edgewise, self.density)
        induced = self._induced(work.thrust, axial, edgewise)
        force = self.doubt_disc[..., None] * self._along_disc(work, omega, axial + induced, edgewise, answer)
        q, half = self.density / 2 * self.v**2, self.density / 2
        front = self.doubt_drag * self.front * q * np.cos(tilt) * np.abs(np.cos(tilt))
        washed = through[..., 0] + self.wash * induced.mean(axis=-1)
        down = self.top * q * np.sin(tilt) * np.abs(np.sin(tilt)) + half * self.washed * washed * np.abs(washed)
        down = self.doubt_drag * down
        up, aft = work.thrust.sum(axis=-1) - down, force.sum(axis=-1) + front
        lift = up * np.cos(tilt) + aft * np.sin(tilt)
        drive = up * np.sin(tilt) - aft * np.cos(tilt)
        hub = self.radius / 4 * answer * slopes
        moment = (self.x * work.thrust + hub + self.z * force).sum(axis=-1)
        moment = moment + front * self.height - down * self.reach
        return _State(
            lift,
            drive,
            moment,
            work.thrust,
            work.torque,
            induced,
            axial,
            edgewise,
            force,
            (work.share <= 1) & (work.share > _LEAST_SHARE),
        )

    def _newton(self, states: _State) -> tuple[Array, list[Array]]:
        """Return how far lift, drive and moment are from balance, and the step towards it."""
        weight = self.load * self.weight
        arm = np.maximum(np.abs(self.x).max(axis=-1), self.radius)
        off = np.stack(
            [(states.lift - weight) / weight, states.drive / weight, states.moment / (weight * arm)], axis=-1
        )
        slope = np.stack([(off[k + 1] - off[0]) / _FIRST[k] for k in range(3)], axis=-1)
        if np.abs(self.pattern).max() < 1e-6:
            slope[..., 2, :], slope[..., :, 2], slope[..., 2, 2] = 0.0, 0.0, 1.0
            off[..., 2] = 0.0
        slope = slope + 1e-9 * np.eye(3)
        step = -np.linalg.solve(slope, off[0][..., None])[..., 0]
        return np.abs(off[0]).max(axis=-1), [step[..., k] for k in range(3)]

    def _from_wakes(self, states: _State, outer: Array) -> tuple[Array, Array, Array]:
        """Return inflow on each disc from all others, slope of the whole inflow, and -dT/dw."""
        v, axial, edgewise = states.induced[0], states.axial[0], states.edgewise[0]
        answer = np.maximum((states.thrust[0] - states.thrust[4]) / _FIRST[3], 0.0)
        skew = np.arctan2(edgewise, np.maximum(axial + self.sinking[..., None] * v, 1e-6))
        mean, slope = inflow_of_many(self.cubics, self.craft, skew)
        # the wake of a disc above has drawn together by the time it meets the disc below: the same flow of air
        resultant = np.hypot(edgewise, axial + v)
        mean = mean / (1 + self.fall * (v / np.maximum(resultant, 1e-6))[..., None])
        strength = self.doubt_wake[..., None]
        fresh = strength * np.einsum("csi,csij->csj", v, mean)
        own = v * np.tan(skew / 2)
        return outer + _TAKEN * (fresh - outer), own + strength * np.einsum("csi,csij->csj", v, slope), answer

    def _induced(self, thrust: Array, axial: Array, edgewise: Array) -> Array:
        """Glauert: v = T / (2 rho A hypot(u, c + v))."""
        square = np.maximum(thrust, 0.0) / (2 * self.density * self.area)
        v = np.sqrt(square)
        for _ in range(_INFLOW_ROUNDS):
            through = axial + v
            resultant = np.maximum(np.hypot(edgewise, through), 1e-6)
            v = v - (v - square / resultant) / np.maximum(1 + square * through / resultant**3, 0.2)
        return np.asarray(v)

    def _along_disc(self, work: Working, omega: Array, through: Array, edgewise: Array, answer: Array) -> Array:
        """Force along the disc: blades' drag, 2 mu P0 / tip speed, and the lean of their lift, mu w theta dT/dw."""
        tip = omega * self.radius
        mu = edgewise / tip
        power = np.maximum(work.torque * omega - work.thrust * through, 0.0) / (1 + _PROFILE * mu**2)
        return np.asarray(2 * mu * power / tip + answer * mu * through * self.angle)

    def _result(self, unknowns: list[Array], outer: Array, slopes: Array, answer: Array, found: Bools) -> Trim:
        tilt, log_speed, share = unknowns
        state = self._state(tilt, log_speed, share, outer, slopes, answer)
        omega = np.exp(log_speed)[..., None] * (1 - share[..., None] * self.pattern)
        alone = self.propeller.at(omega, state.axial - outer, state.edgewise, self.density).thrust
        parts = self._moments(state, omega, alone, slopes, answer)
        skew = np.arctan2(state.edgewise, state.axial + state.induced)
        through = np.all(state.axial + state.induced > 0, axis=-1)
        return Trim(
            tilt,
            share,
            parts[0] + parts[1] + parts[2] + parts[3],
            *parts,
            omega,
            state.thrust,
            state.torque - state.force / np.maximum(self.doubt_disc, 1.0)[..., None] * state.edgewise / omega,
            (alone - state.thrust) / np.maximum(alone, 1e-9),
            state.axial,
            state.edgewise,
            outer,
            skew,
            state.force,
            state.induced,
            found & np.all(state.applies & (omega < _FASTEST), axis=-1) & through,
        )

    def _moments(
        self, state: _State, omega: Array, alone: Array, slopes: Array, answer: Array
    ) -> tuple[Array, Array, Array, Array]:
        """Nose-up moments of wakes, discs, drag and an offset centre, that faster rotors behind must balance."""
        own = state.induced * np.tan(np.arctan2(state.edgewise, state.axial + state.induced) / 2)
        quarter = self.radius / 4 * answer
        wakes = (self.x * (state.thrust - alone) + quarter * (slopes - own)).sum(axis=-1)
        centre = (self.middle[..., 0]) * state.thrust.sum(axis=-1)
        discs = (quarter * own + self.z * state.force).sum(axis=-1)
        even = ((self.x - self.middle) * alone).sum(axis=-1)  # what unlike speeds and pitching give: minus the rest
        drag = -(wakes + centre + discs + even)
        return wakes, discs, drag, centre
