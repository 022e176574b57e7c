"""What `fly` says about a frame in the air: frozen rows with units in their names, ready for tables, pages and JSON."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.study.coaxial import CoaxialReport
from platewright.study.handling_results import HandlingReport
from platewright.study.wash_results import WashReport

__all__ = [
    "Band",
    "DescentRow",
    "DragRow",
    "FlyResult",
    "ForwardReport",
    "PullOutRow",
    "SpeedRow",
    "StanceReport",
    "StanceRow",
]

Band = tuple[float, float]
"""Least and greatest value over what is not known well: drag, forces along discs, strength and slant of wakes.

None stands where one end does not fly."""


@dataclass(frozen=True)
class SpeedRow:
    """Level flight at one speed, at half charge.

    Parameters
    ----------
    speed_m_s : float
        Through still air.
    state : str
        `flies`; or why it does not, and then the numbers are those of the balance that would be needed, or None.
    tilt_deg, power_w, current_a, endurance_min, range_km : float or None
        Nose down; out of the battery; on four fifths of the charge.
    tilt_band_deg, power_band_w : Band or None
        See `Band`.
    full_speed_percent : float or None
        Largest speed of rotation over that at full throttle.
    front_rpm, rear_rpm, front_thrust_n, rear_thrust_n : float or None
        Means of the rotors ahead of and behind the middle.
    front_lost_percent, rear_lost_percent : float or None
        Thrust that the other rotors' wakes take at the same speed of rotation; negative where they add.
    rear_lost_band_percent : Band or None
        See `Band`.
    moment_n_mm, wakes_n_mm, discs_n_mm, drag_n_mm, centre_n_mm : float or None
        Nose-up moment that faster rotors behind balance, and its parts: other rotors' wakes, each disc's own flow, drag
        of the frame, centre of gravity off the rotors' middle.
    eaten_percent : float or None
        Share of the pitching authority that trim takes.
    eaten_band_percent : Band or None
        See `Band`.
    """

    speed_m_s: float
    state: str
    tilt_deg: float | None = None
    tilt_band_deg: Band | None = None
    power_w: float | None = None
    power_band_w: Band | None = None
    current_a: float | None = None
    endurance_min: float | None = None
    range_km: float | None = None
    full_speed_percent: float | None = None
    front_rpm: float | None = None
    rear_rpm: float | None = None
    front_thrust_n: float | None = None
    rear_thrust_n: float | None = None
    front_lost_percent: float | None = None
    rear_lost_percent: float | None = None
    rear_lost_band_percent: Band | None = None
    moment_n_mm: float | None = None
    wakes_n_mm: float | None = None
    discs_n_mm: float | None = None
    drag_n_mm: float | None = None
    centre_n_mm: float | None = None
    eaten_percent: float | None = None
    eaten_band_percent: Band | None = None


@dataclass(frozen=True)
class ForwardReport:
    """Level flight against speed.

    Parameters
    ----------
    rows : tuple of SpeedRow
        By rising speed.
    top_speed_m_s : float or None
        Where a rotor reaches full throttle; None if not among the speeds.
    longest_flight_m_s, farthest_flight_m_s : float or None
        Speeds of longest endurance and range among the rows.
    why : str
        What makes the band of the tilt wide, in words.
    """

    rows: tuple[SpeedRow, ...]
    top_speed_m_s: float | None
    longest_flight_m_s: float | None
    farthest_flight_m_s: float | None
    why: str = ""


@dataclass(frozen=True)
class PullOutRow:
    """Lift of several weights at a speed that is kept, the end of a dive; see `SpeedRow` for the words."""

    load_g: float
    speed_m_s: float
    state: str
    tilt_deg: float | None = None
    power_w: float | None = None
    full_speed_percent: float | None = None
    rear_lost_percent: float | None = None
    moment_n_mm: float | None = None
    eaten_percent: float | None = None
    eaten_band_percent: Band | None = None


@dataclass(frozen=True)
class StanceChange:
    """What moving the discs changes against the frame as it is: level flight (load 1) or a pull-out at one speed.

    Bands are the least and greatest change under what is not known well; None where either does not fly.
    """

    load_g: float
    speed_m_s: float
    tilt_deg: float | None
    tilt_band_deg: Band | None
    rear_lost_points: float | None
    rear_lost_band_points: Band | None
    eaten_points: float | None
    eaten_band_points: Band | None


@dataclass(frozen=True)
class StanceRow:
    """One stance, against speed: the frame as it is, or with its discs moved; None where it does not fly."""

    name: str
    longer_mm: float
    rear_up_mm: float
    speeds_m_s: tuple[float, ...]
    tilt_deg: tuple[float | None, ...]
    rear_lost_percent: tuple[float | None, ...]
    eaten_percent: tuple[float | None, ...]
    pull_outs: tuple[PullOutRow, ...]
    changes: tuple[StanceChange, ...]


@dataclass(frozen=True)
class StanceReport:
    """What separation and stance buy.

    Parameters
    ----------
    wheelbase_mm, fore_aft_mm, lateral_mm, stretch_mm : float
        Of the frame as it is.
    rows : tuple of StanceRow
        The frame as it is, then its variants.
    belief, answer : str
        What many makers hold, and what is computed here, in two sentences.
    """

    wheelbase_mm: float
    fore_aft_mm: float
    lateral_mm: float
    stretch_mm: float
    rows: tuple[StanceRow, ...]
    belief: str
    answer: str


@dataclass(frozen=True)
class DragRow:
    """Drag of one group of things: area across the air, area times coefficient, and its share of the sum."""

    name: str
    front_area_mm2: float
    front_drag_mm2: float
    share_percent: float
    side_drag_mm2: float
    height_mm: float


@dataclass(frozen=True)
class DescentRow:
    """Sinking at one forward speed: the rates of descent in the vortex-ring region, None where there is none.

    `keep_below_m_s` leaves a fifth of the least of them in hand (common practice, no source).
    """

    forward_m_s: float
    enters_m_s: float | None
    leaves_m_s: float | None
    keep_below_m_s: float | None


@dataclass(frozen=True)
class FlyResult:
    """A frame in the air; one field for each subject.

    Parameters
    ----------
    frame, revision : str
        Of the design.
    mass_g : float
        Ready to fly.
    rotors : int
        Number of rotors.
    propeller, motor : str
        Where their numbers come from.
    propeller_band_percent : (float, float)
        Of CT and CP at rest; nine in ten propellers keep it.
    motor_band_percent : float
        Of the winding's resistance.
    hover_power_w, hover_endurance_min : float
        With what the frame takes of the thrust.
    hover_power_band_w, hover_endurance_band_min : Band or None
        Over the bands of propeller, winding and wakes of pairs; None where one end does not hover.
    forward : ForwardReport
        Against speed.
    stance : StanceReport
        What spacing buys.
    drag : tuple of DragRow
        By groups.
    descent : tuple of DescentRow
        Against forward speed.
    wash : WashReport
        Download and bulk.
    handling : HandlingReport or None
        Control about the axes, steps, a dive.
    coaxial : CoaxialReport or None
        What rotors on one axis cost in hover; None where there are none.
    limits : tuple of str
        Where the methods do not apply.
    """

    frame: str
    revision: str
    mass_g: float
    rotors: int
    propeller: str
    motor: str
    propeller_band_percent: Band
    motor_band_percent: float
    hover_power_w: float
    hover_endurance_min: float
    hover_power_band_w: Band | None
    hover_endurance_band_min: Band | None
    forward: ForwardReport
    stance: StanceReport
    drag: tuple[DragRow, ...]
    descent: tuple[DescentRow, ...]
    wash: WashReport
    handling: HandlingReport | None
    coaxial: CoaxialReport | None
    limits: tuple[str, ...]
