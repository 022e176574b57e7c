"""What the product gives for the published cases of air and hover."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from pathlib import Path

import numpy as np

from platewright.app.load import load
from platewright.assembly.assemble import Assembly
from platewright.rotor.air import STANDARD_GRAVITY, standard_air
from platewright.rotor.coaxial import induced_shares
from platewright.rotor.descent import descent_range
from platewright.rotor.download import thrust_lost, wake_speed
from platewright.rotor.drag import bar_drag_coefficient, end_factor
from platewright.rotor.hover import figure_of_merit, ideal_power, induced_velocity
from platewright.rotor.pull_out import Dive, pull_out
from platewright.rotor.rate_control import Drive, Response, linear_law, rate_steps, step_response
from platewright.rotor.simulate import Rigid, State, simulate
from platewright.rotor.vertical import lift
from platewright.study.coaxial import coaxial_report
from platewright.study.flight_model import flight_model
from platewright.study.hover import craft_of
from platewright.study.powertrain import frame_powertrain

__all__ = ["ROTORS"]

ROOT = Path(__file__).parents[1]


def _density(height: float) -> float:
    return standard_air(height).density


def _sound_speed(height: float) -> float:
    return standard_air(height).sound_speed


def _induced(thrust: float, diameter: float, density: float, per: float) -> float:
    return induced_velocity(thrust, math.pi / 4 * diameter**2, density) / per


def _power(thrust: float, diameter: float, density: float, merit: float, per: float) -> float:
    return ideal_power(thrust, math.pi / 4 * diameter**2, density) / merit / per


def _air(height: float, field: str, per: float) -> float:
    return float(getattr(standard_air(height), field)) / per


def _disc_area(diameter: float, per: float) -> float:
    return math.pi / 4 * diameter**2 / per


def _disc(mass: float, diameter: float, rotors: int, field: str) -> float:
    area, thrust = _disc_area(diameter, 1.0), mass * STANDARD_GRAVITY / rotors
    return {"area": area, "thrust": thrust, "loading": thrust / area}[field]


def _power_ratio(thrust: float, density: float, diameter: float) -> float:
    return _power(thrust, diameter, density, 1.0, 1.0) / _power(1.0, 1.0, 1.0, 1.0, 1.0)


def _ideal_merit(thrust: float, diameter: float, density: float, turns: float) -> float:
    ct = thrust / (density * turns**2 * diameter**4)
    return figure_of_merit(ct, _power(thrust, diameter, density, 1.0, 1.0) / (density * turns**3 * diameter**5))


def _coaxial_power(gap: float) -> float:
    """Both with one thrust: v (c + v) = v0^2, so each takes v0 / v times what it would take apart."""
    return sum(1 / share for share in induced_shares(gap)) / 2


@functools.cache
def _frame(name: str) -> Assembly:
    folders = ROOT / "examples", ROOT / "tests" / "designs"
    return load(next(f / f"{name}.toml" for f in folders if (f / f"{name}.toml").exists())).assembly


def _coaxial_frame(name: str) -> float:
    train = frame_powertrain(_frame(name))
    report = coaxial_report(train, lift(craft_of(train)).running.speed)
    return report.power_ratio


def _frame_download(name: str) -> float:
    return 100 * sum(w.lost for w in flight_model(_frame(name)).washed)


def _wing_download(radius: float, chord: float, thickness: float, depth: float) -> float:
    drag = bar_drag_coefficient(thickness, chord) * end_factor(2 * radius, chord) * chord * radius
    return 100 * thrust_lost(drag, math.pi * radius**2, wake_speed(depth, radius))


def _vortex_ring_end(step: float) -> float:
    speed = 0.9
    while descent_range(speed, 1.0) is not None:
        speed += step
    return speed


def _rigid(lag: float, inertia: tuple[float, float, float] = (1.6e-3, 2e-3, 3e-3), gravity: float = 9.80665) -> Rigid:
    places = 0.08 * np.array([[1, 1, 0], [-1, 1, 0], [-1, -1, 0], [1, -1, 0.0]])
    return Rigid(0.5, np.diag(inertia), places, np.array([-1.0, 1, -1, 1]), 0.0, lag, np.zeros(3), gravity)


_DRIVE = Drive(1e-6, 1e-8, 300.0, 3500.0)


def _step(lag_ms: float) -> Response:
    craft, rates = _rigid(lag_ms / 1000), np.array([[0.02, 0.0, 0.0]])
    states = rate_steps(craft, _DRIVE, rates, 15 * craft.lag, craft.lag / 200)
    return step_response(craft, _DRIVE, states, rates, 0, craft.lag / 200)


def _overshoot(lag_ms: float) -> float:
    return 100 * _step(lag_ms).overshoot


def _rise(lag_ms: float) -> float:
    return 1000 * _step(lag_ms).rise_time


def _pull_out(speed: float, angle_deg: float, load: float) -> float:
    craft = _rigid(1e-3)
    return pull_out(craft, _DRIVE, linear_law(_DRIVE), Dive(speed, math.radians(angle_deg), load), 5e-4).height


def _free(rates: list[float], inertia: tuple[float, float, float], duration: float) -> State:
    craft, still = _rigid(1.0, inertia, 0.0), np.zeros((1, 3))
    start = State(still, still, np.array([[1.0, 0, 0, 0]]), np.array([rates]), np.zeros((1, 4)))
    return simulate(craft, start, lambda s: s.speeds, lambda w, _, __: (0 * w, 0 * w), duration, 5e-4)[-1]


def _precession(spin: float) -> float:
    x, y, _ = _free([1.0, 0.0, spin], (1.0, 1.0, 1.3), 0.5).rates[0]
    return math.atan2(y, x) / 0.5


def _growth(spin: float) -> float:
    start = 1e-5
    return math.log(abs(_free([-start * math.sqrt(3), spin, start], (1.0, 2.0, 3.0), 0.5).rates[0, 2]) / start) / 0.5


ROTORS: dict[str, Callable[..., float]] = {
    "air": _air,
    "coaxial_frame": _coaxial_frame,
    "coaxial_power": _coaxial_power,
    "disc area": _disc_area,
    "disc loading": _disc,
    "frame_download": _frame_download,
    "ideal merit": _ideal_merit,
    "power ratio": _power_ratio,
    "vortex_ring_end": _vortex_ring_end,
    "wing_download": _wing_download,
    "air density": _density,
    "growth about the middle axis": _growth,
    "height of a pull-out": _pull_out,
    "overshoot of a step": _overshoot,
    "precession": _precession,
    "rise of a step": _rise,
    "ideal power": _power,
    "induced velocity": _induced,
    "sound speed": _sound_speed,
}
