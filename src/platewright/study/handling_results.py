"""How a frame handles: frozen rows with units in their names, ready for tables, pages and JSON."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["AxisRow", "DiveRow", "HandlingReport", "PackRow", "StepRow"]


@dataclass(frozen=True)
class AxisRow:
    """What the rotors can do about one axis; the weaker of both directions, the other axes at rest.

    Parameters
    ----------
    axis : str
        roll, pitch or yaw.
    inertia_g_mm2 : float
        About it, battery and all equipment on.
    hover_n_mm, hover_rad_s2 : float
        Moment and angular acceleration with the thrust of hover kept.
    most_n_mm, most_rad_s2 : float
        The same at whatever thrust gives the most.
    high_n_mm : float
        Moment with nine tenths of full thrust kept.
    kept_percent : float
        Share of the most that hover leaves: the authority ratio.
    of_roll_percent : float
        Angular acceleration over that about roll, both in hover.
    centre_takes_percent : float
        Share of the moment in hover that goes to a centre of gravity off the rotors' middle.
    """

    axis: str
    inertia_g_mm2: float
    hover_n_mm: float
    hover_rad_s2: float
    most_n_mm: float
    most_rad_s2: float
    high_n_mm: float
    kept_percent: float
    of_roll_percent: float
    centre_takes_percent: float


@dataclass(frozen=True)
class PackRow:
    """The battery on one side of the frame.

    Parameters
    ----------
    name : str
        Where the pack is.
    discs_above_mm : float
        Mean height of the discs above the centre of gravity.
    roll_g_mm2, pitch_g_mm2, yaw_g_mm2 : float
        Moments of inertia.
    product_g_mm2 : float
        Entry of the tensor that couples roll and yaw, xz.
    axis_deg : float
        Of the principal axis nearest to x from it, positive nose down.
    yaw_of_roll_percent : float
        Yaw acceleration that a pure roll moment brings, over that about roll.
    roll_rad_s2, pitch_rad_s2, yaw_rad_s2 : float
        Angular acceleration with the thrust of hover kept.
    moment_20_n_mm : float or None
        Nose-up moment in level flight at 20 m/s; None where it does not fly.
    eaten_20_percent : float or None
        Share of the pitching authority that trim takes then.
    """

    name: str
    discs_above_mm: float
    roll_g_mm2: float
    pitch_g_mm2: float
    yaw_g_mm2: float
    product_g_mm2: float
    axis_deg: float
    yaw_of_roll_percent: float
    roll_rad_s2: float
    pitch_rad_s2: float
    yaw_rad_s2: float
    moment_20_n_mm: float | None
    eaten_20_percent: float | None


@dataclass(frozen=True)
class StepRow:
    """A rate that is asked for at once from hover, under the same rule of control for every frame.

    Parameters
    ----------
    axis : str
        roll, pitch or yaw.
    step_deg_s : float
        The rate.
    rise_ms : float or None
        From a tenth to nine tenths of it; None where that is not reached.
    overshoot_percent, missing_percent, cross_percent : float
        Beyond it, missing at the end, and the greatest rate about the other axes, over it.
    limited_ms : float
        Time in which a rotor is asked for all or the least that it can do.
    """

    axis: str
    step_deg_s: float
    rise_ms: float | None
    overshoot_percent: float
    missing_percent: float
    cross_percent: float
    limited_ms: float


@dataclass(frozen=True)
class DiveRow:
    """A pull-out from a dive, flown in time.

    Parameters
    ----------
    speed_m_s, angle_deg, load_g : float
        Along the path when it begins, of the path below the horizon, and what is asked for.
    height_m, duration_s : float or None
        Until the path is level; None where it never is.
    ideal_m : float
        Height that is lost where the load comes at once and there is no drag.
    limited_s : float
        Time in which a rotor is asked for all or the least that it can do.
    peak_load_g, tilt_deg, strayed_deg, end_speed_m_s : float
        Greatest load; tilt at the end, nose down; greatest angle between discs and path; speed at the end.
    """

    speed_m_s: float
    angle_deg: float
    load_g: float
    height_m: float | None
    duration_s: float | None
    ideal_m: float
    limited_s: float
    peak_load_g: float
    tilt_deg: float
    strayed_deg: float
    end_speed_m_s: float


@dataclass(frozen=True)
class HandlingReport:
    """How a frame handles.

    Parameters
    ----------
    is_balanced : bool
        Whether the rotors hold it level in hover with all axes free to be turned about; if not, the lists are empty.
    rotors : int
        Number of rotors.
    centre_ahead_mm, centre_left_mm : float
        Centre of gravity from the rotors' middle.
    spread_percent : float
        Thrust of the rotor that works hardest in hover over the mean, less one.
    lag_ms, gain_per_s : float
        Time constant of rotor speed about hover, and the rate controller's gain that follows from it.
    axes : tuple of AxisRow
        Roll, pitch, yaw.
    packs : tuple of PackRow
        The battery as it is, then on the other side.
    steps : tuple of StepRow
        Roll, pitch, yaw; empty unless flown in time.
    dives : tuple of DiveRow
        Empty unless flown in time.
    limits : tuple of str
        What was left out.
    """

    is_balanced: bool
    rotors: int
    centre_ahead_mm: float
    centre_left_mm: float
    spread_percent: float
    lag_ms: float
    gain_per_s: float
    axes: tuple[AxisRow, ...]
    packs: tuple[PackRow, ...]
    steps: tuple[StepRow, ...]
    dives: tuple[DiveRow, ...]
    limits: tuple[str, ...]
