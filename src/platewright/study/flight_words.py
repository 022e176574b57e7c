"""What spacing and stance buy, said in two sentences made from the numbers, whatever they are."""

from __future__ import annotations

import math

import numpy as np

from platewright.foundation.units import MM_PER_M
from platewright.rotor.drag import DRAG_BAND
from platewright.rotor.gridded import gridded
from platewright.rotor.trim import trim
from platewright.rotor.trim_records import Airframe, Doubt
from platewright.study.flight_rows import FLIES, front_and_rear, state_of
from platewright.study.flight_runs import CHANGE_LOAD, DOUBTS, STANCES, Runs
from platewright.study.powertrain import Powertrain

__all__ = ["BELIEF", "stance_answer", "tilt_answer"]

BELIEF = (
    "Many makers hold that a longer stance lowers the tilt at speed and helps at the end of a dive "
    "(common practice, no source)."
)
_LONGER = 1  # number of the longer stance
_TILT, _AUTHORITY = 0.2, 0.5  # changes smaller than these are called none [deg, points of authority]
_LOAD = CHANGE_LOAD
_FREE = 3.0  # forces along the discs, times those of stiff blades, of small craft (from memory)
_SPEED = 1  # number of the key speed that the tilt is explained at


def stance_answer(airframe: Airframe, runs: Runs) -> str:
    """Return the answer to the belief.

    Parameters
    ----------
    airframe : Airframe
        The frame as it is.
    runs : Runs
        Its trims.
    """
    if not front_and_rear(airframe)[1].any():
        return "All rotors stand in one line across, so there is no stance to lengthen. Nothing is computed about it."
    return f"{_level(airframe, runs)} {_pull_out(airframe, runs)}"


def tilt_answer(airframe: Airframe, power: Powertrain, runs: Runs) -> str:
    """Return what makes the band of the tilt wide.

    Parameters
    ----------
    airframe : Airframe
        The frame as it is.
    power : Powertrain
        What turns its rotors.
    runs : Runs
        Its trims.
    """
    speed, case = float(runs.key_speeds[_SPEED]), runs.in_keys(0)
    doubts = [Doubt(drag=DRAG_BAND[0]), Doubt(drag=DRAG_BAND[1]), Doubt(disc_drag=_FREE)]
    made = trim([airframe] * len(doubts), gridded(power.propeller), np.array([speed]), doubts=doubts)
    if not (runs.keys.applies[case, _SPEED] and made.applies.all()):
        return ""
    less, more, free = np.degrees(made.tilt[:, 0]).tolist()
    now = math.degrees(float(runs.keys.tilt[case, _SPEED]))
    along = float(runs.keys.disc_force[case, _SPEED].sum()) / airframe.weight
    return (
        f"Why the tilt's band is wide: at {speed:.0f} m/s drag that is a quarter less or more makes {now:.0f} deg "
        f"{less:.0f} or {more:.0f}, but forces along the discs, {along:.2f} of the weight for stiff blades, make it "
        f"{free:.0f} deg when they are {_FREE:.0f} times as large, and no propeller of this size was measured with air "
        "along its disc: small craft had more than stiff blades have, up to what blades free to flap have (from "
        "memory). One measured speed and tilt of your own tells which end holds."
    )


def _level(airframe: Airframe, runs: Runs) -> str:
    n = _fastest(runs, 1.0)
    if n is None:
        return "Neither stance can be held at any of the speeds compared."
    longer = STANCES[_LONGER].longer
    base, other = runs.in_keys(0), runs.in_keys(_LONGER)
    tilts = np.degrees(runs.keys.tilt[:, n])
    change = _changes(runs, tilts, n, 1.0)
    q = 0.5 * 1.225 * float(runs.key_speeds[n]) ** 2
    drag = airframe.front_drag * q / airframe.weight
    along = [float(runs.keys.disc_force[c, n].sum()) / airframe.weight for c in (base, other)]
    rear = front_and_rear(airframe)[1]
    lost = [100 * float(runs.keys.lost[c, n, rear].mean()) for c in (base, other)]
    verb = _verb(change[0], _TILT, "lowers", "raises", "does not change")
    return (
        f"A stance {longer:.0f} mm longer {verb} the tilt at {runs.key_speeds[n]:.0f} m/s: {tilts[base]:.1f} deg "
        f"becomes {tilts[other]:.1f} deg ({_signed(change[0], 2)}, band {_signed(change[1], 2)} to "
        f"{_signed(change[2], 2)}), as tilt must balance the frame's drag, {drag:.2f} of the weight before tilting "
        f"whatever the stance, and forces along the discs, {along[0]:.3f} of it before and {along[1]:.3f} after, while "
        f"what the wakes take from the rear rotors goes from {lost[0]:.1f} to {lost[1]:.1f} % of their thrust."
    )


def _pull_out(airframe: Airframe, runs: Runs) -> str:
    n = _fastest(runs, _LOAD)
    if n is None:
        return f"A pull-out of {_LOAD:.0f} g cannot be held at any of the speeds compared, with either stance."
    base, other = runs.in_keys(0, 0, _LOAD), runs.in_keys(_LONGER, 0, _LOAD)
    eaten = 100 * runs.keys_flight.eaten[:, n]
    change = _changes(runs, eaten, n, _LOAD)
    moments = [float(runs.keys.moment[c, n]) * MM_PER_M for c in (base, other)]
    reach = float(np.ptp(airframe.discs[:, 0])) * MM_PER_M
    verb = _verb(change[0], _AUTHORITY, "frees", "takes more of", "hardly changes")
    return (
        f"In a pull-out of {_LOAD:.0f} g at {runs.key_speeds[n]:.0f} m/s it {verb} the pitching authority: trim takes "
        f"{eaten[base]:.1f} % of it as it is and {eaten[other]:.1f} % then ({_signed(change[0], 1)} points, band "
        f"{_signed(change[1], 1)} to {_signed(change[2], 1)}), as the moment to balance goes from {moments[0]:.0f} to "
        f"{moments[1]:.0f} N mm while the rotors' lever grows by {100 * STANCES[_LONGER].longer / reach:.0f} %."
    )


def _changes(runs: Runs, values: np.ndarray, n: int, load: float) -> tuple[float, float, float]:
    """Return the change from the frame as it is to the longer one: best estimate, least, greatest of what flies."""
    found: list[float] = []
    for d in range(len(DOUBTS)):
        pair = [runs.in_keys(k, d, load) for k in (0, _LONGER)]
        flies = all(state_of(runs.keys, runs.keys_flight, c, n) == FLIES for c in pair)
        if flies:
            found.append(float(values[pair[1]] - values[pair[0]]))
    return found[0], min(found), max(found)


def _fastest(runs: Runs, load: float) -> int | None:
    """Return the number of the highest key speed that both stances can hold."""
    for n in reversed(range(runs.key_speeds.size)):
        cases = [runs.in_keys(k, 0, load) for k in (0, _LONGER)]
        if all(state_of(runs.keys, runs.keys_flight, c, n) == FLIES for c in cases):
            return n
    return None


def _verb(change: float, least: float, less: str, more: str, same: str) -> str:
    return same if abs(change) < least else less if change < 0 else more


def _signed(value: float, decimals: int) -> str:
    """Write a change with its sign, and 0 without one."""
    text = f"{value:+.{decimals}f}"
    return text if float(text) else f"{0:.{decimals}f}"
