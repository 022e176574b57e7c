"""What is computed of a whole frame's structure, in mm, N, J, g and Hz."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.study.belief_results import Belief, ScrewChoice
from platewright.study.strength_judge import Judged
from platewright.study.strength_model import FrameModel

__all__ = [
    "ArmMode",
    "BoardPlaceRow",
    "BowRow",
    "BowScrewRow",
    "CaseRow",
    "CrashIndex",
    "FrameMode",
    "FrameStrength",
    "KindRow",
    "ScrewMaterialRow",
    "ShakeRow",
    "SlipRow",
    "SpeedRow",
    "StrengthStudy",
    "StrikeRow",
    "WithoutRow",
]

Floats = NDArray[np.float64]
Band = tuple[float, float]


@dataclass(frozen=True)
class CaseRow:
    """One load case.

    `margin` answers flight: by what its loads may be multiplied until the first failure. `energy_j` answers hits: what
    the frame takes up, as strain, until then. Bands cover plate strengths and joint models; that of an energy spans a
    factor 2 at least.
    """

    case: str
    text: str
    margin: float | None
    margin_band: Band | None
    energy_j: float | None
    energy_band_j: Band | None
    effective_mass_g: float | None
    first_failure: str
    how: str
    next_failure: str
    next_by: float
    first_failure_soft: str
    first_failure_stiff: str


@dataclass(frozen=True)
class KindRow:
    """What comes first of one kind of failure in one case, and by what the case may be multiplied until then.

    The band is for low and high strengths of plates. `by_first` is that factor by the one of the case's first failure.
    """

    case: str
    kind: str
    what: str
    times: float
    band: Band
    by_first: float


@dataclass(frozen=True)
class FrameMode:
    """One free vibration of the bolted frame, and the one of its number with soft and stiff joints."""

    frequency_hz: float
    soft_hz: float
    stiff_hz: float
    shape: str
    moves: str
    share_percent: float


@dataclass(frozen=True)
class ArmMode:
    """One free vibration of an arm alone, held at its bolts, with what its tip carries; numbers from 1."""

    place: str
    mode: int
    frequency_hz: float
    shape: str


@dataclass(frozen=True)
class SpeedRow:
    """A rotor speed with its band, and the modes whose range holds its rate or that of its blades, by number from 1."""

    state: str
    speed_rpm: float
    band_rpm: Band
    rate_hz: float
    blade_rate_hz: float
    modes_at_rate: tuple[int, ...]
    modes_at_blade_rate: tuple[int, ...]


@dataclass(frozen=True)
class WithoutRow:
    """What changes when the braces are left out, by case: displacement at the struck point per force, and energy."""

    case: str
    compliance_with: float
    compliance_without: float
    energy_with_j: float
    energy_without_j: float
    first_failure_without: str


@dataclass(frozen=True)
class ScrewMaterialRow:
    """What one screw of a thread carries in a material, and the work it takes until it breaks over 5 mm of thread."""

    screw: str
    material: str
    tension_n: float
    shear_n: float
    elongation_percent: float | None
    energy_j: float | None
    stiffness_n_per_mm: float
    mass_g: float


@dataclass(frozen=True)
class ShakeRow:
    """How a thing shakes at a rotor speed, all propellers unbalanced alike, and the plate that carries it.

    `edge_m_s2` is the largest acceleration at its own screws; its angular rate is the same all over it.
    """

    state: str
    thing: str
    acceleration_m_s2: float
    edge_m_s2: float
    rate_deg_s: float
    plate_m_s2: float
    plate_deg_s: float


@dataclass(frozen=True)
class BoardPlaceRow:
    """A bolt of the flight controller: how the plate shakes there.

    `bending_deg_s` is the part of its angular rate that is not common to all these bolts: local bending of the plate.
    """

    state: str
    line: str
    plate: str
    acceleration_m_s2: float
    rate_deg_s: float
    bending_deg_s: float


@dataclass(frozen=True)
class SlipRow:
    """Two plates that a screw clamps face to face: shear at full thrust against friction, by the torque that is shown.

    `share_percent` is the screw's share of all shear between its two plates under an edgewise hit on a tip.
    """

    line: str
    plates: str
    clamp_n: float
    shear_n: float
    safety: float
    wanted: float
    share_percent: float | None


@dataclass(frozen=True)
class StrikeRow:
    """A hit stepped in time: energy of the mass that the blow meets at the speed at which something fails first.

    The band covers contacts from soft to hard; `drift_percent` is by how much the energy of the steps is not kept.
    """

    case: str
    energy_j: float
    energy_band_j: Band
    first_failure: str
    how: str
    drift_percent: float


@dataclass(frozen=True)
class CrashIndex:
    """An index of our own: 100 times the geometric mean, over kinds of hits, of energy by flying mass, per 1 J/kg."""

    value: float
    band: Band
    kinds_of_hits: int


@dataclass(frozen=True)
class BowScrewRow:
    """What the bow of a plate does to the clamping of one line.

    `bow_n` pulls the faces apart, pressure is negative; `left_n` is what clamps them with the torque that is shown.
    `shear_n` is the force across at full thrust; safeties are of friction against it, with that clamping and by the bow
    alone, as if the screw were only finger-tight.
    """

    line: str
    gap_mm: float
    bow_n: float
    bow_band_n: Band
    clamp_n: float
    left_n: float
    shear_n: float | None
    safety: float | None
    safety_by_bow_alone: float | None
    wanted: float


@dataclass(frozen=True)
class BowRow:
    """A plate bowed over columns of different height: how much of its strength the bow uses, and its screws."""

    plate: str
    sagitta_mm: float
    used_percent: float
    used_band_percent: Band
    how: str
    screws: tuple[BowScrewRow, ...]


@dataclass(frozen=True)
class FrameStrength:
    """Structure of one frame."""

    frame: str
    mass_g: float
    thrust_ratio: float
    cases: tuple[CaseRow, ...]
    kinds: tuple[KindRow, ...]
    crash_index: CrashIndex | None
    strikes: tuple[StrikeRow, ...]
    modes: tuple[FrameMode, ...]
    arm_modes: tuple[ArmMode, ...]
    speeds: tuple[SpeedRow, ...]
    speeds_from: str
    shakes: tuple[ShakeRow, ...]
    board_places: tuple[BoardPlaceRow, ...]
    shaken_by: str
    without_braces: tuple[WithoutRow, ...]
    slip: tuple[SlipRow, ...]
    bows: tuple[BowRow, ...]
    screws: tuple[ScrewMaterialRow, ...]
    limits: tuple[str, ...]
    screw_choices: tuple[ScrewChoice, ...] = ()
    beliefs: tuple[Belief, ...] = ()


@dataclass(frozen=True)
class StrengthStudy:
    """Result with the frame, its model and the fields that pictures are drawn from, (n_cases, n) and (n_modes, n).

    `judged` says what may fail in each case.
    """

    strength: FrameStrength
    model: FrameModel
    freedoms: Floats
    shapes: Floats
    assembly: Assembly
    judged: Judged
