"""What a check gives: frozen records with units in their names, ready for tables, pages and JSON."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.foundation.findings import Finding, Severity
from platewright.study.battery_results import BatteryRow
from platewright.study.board_results import BoardReport
from platewright.study.camera_results import CameraRow, ViewRow
from platewright.study.clearance_results import ClearanceReport
from platewright.study.flight_summary import FlightSummary
from platewright.study.hover_results import HoverReport
from platewright.study.signal_results import SignalReport
from platewright.study.strength_results import FrameStrength

__all__ = [
    "CheckResult",
    "Contribution",
    "Level",
    "MassReport",
    "MassState",
    "ScrewRow",
    "ServiceRow",
    "ServiceStep",
    "StackRow",
    "StackUp",
    "StepRow",
    "StudRow",
    "ToolRow",
]


@dataclass(frozen=True)
class MassState:
    """Mass with its band, centre of gravity (x, y, z) and inertia tensor about it (rows of a 3 x 3 matrix)."""

    mass_g: float
    low_g: float
    high_g: float
    centre_mm: tuple[float, float, float]
    inertia_g_mm2: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True)
class Contribution:
    """Mass of one kind of thing in the bare frame: a part with all its places, or one item of hardware."""

    name: str
    quantity: int
    mass_g: float
    share_percent: float


@dataclass(frozen=True)
class MassReport:
    """Masses of the bare frame, of the build without and with its battery, and the heaviest things."""

    bare: MassState
    without_battery: MassState
    with_battery: MassState
    heaviest: tuple[Contribution, ...]
    target_g: float | None


@dataclass(frozen=True)
class StackRow:
    """One item of a stack: from where to where it lies, with the tolerance of its far face."""

    item: str
    start_mm: float
    end_mm: float
    worst_mm: float
    rss_mm: float


@dataclass(frozen=True)
class ScrewRow:
    """One screw of a stack.

    `engagement` is thread in a standoff or body, or screw past the nut; torque is what to set on the driver, prevailing
    torque included; `governs` says which of screw, thread and plate limits it.
    """

    item: str
    length_mm: float
    ends_in: str
    grip_mm: float
    engagement_mm: float
    engagement_low_mm: float
    engagement_rss_mm: float
    chance_below_percent: float
    required_mm: float
    limit_mm: float | None
    preload_n: float
    torque_nm: float
    prevailing_nm: float
    governs: str
    full_thread: bool


@dataclass(frozen=True)
class StudRow:
    """The stud of a studded standoff: thread in a standoff or body, or stud past the nut."""

    item: str
    length_mm: float
    ends_in: str
    grip_mm: float
    engagement_mm: float
    engagement_low_mm: float
    required_mm: float
    limit_mm: float | None


@dataclass(frozen=True)
class StackUp:
    """One column or equipment stack: how many there are, its items, its screws and the studs of its standoffs."""

    owner: str
    count: int
    axis: str
    fitted: bool
    rows: tuple[StackRow, ...]
    screws: tuple[ScrewRow, ...]
    studs: tuple[StudRow, ...]


@dataclass(frozen=True)
class Level:
    """Height of the underside of one placed plate at its own origin."""

    place: str
    part: str
    bottom_mm: float
    worst_mm: float
    rss_mm: float
    set_by: tuple[str, ...]


@dataclass(frozen=True)
class StepRow:
    """One step of the assembly: what comes on and which screws are driven, with key and torque."""

    number: int
    owner: str
    fits: tuple[str, ...]
    screws: tuple[str, ...]
    tools: tuple[str, ...]
    torque_nm: float | None


@dataclass(frozen=True)
class ToolRow:
    """A hex key or spanner the kit needs."""

    tool: str
    size_mm: float
    used_for: tuple[str, ...]


@dataclass(frozen=True)
class ServiceStep:
    """One step of a removal: what is done, to what, which screws come out, and the bodies it is about."""

    number: int
    action: str
    what: str
    screws: tuple[str, ...]
    bodies: tuple[str, ...]


@dataclass(frozen=True)
class ServiceRow:
    """How a thing comes off and goes back.

    `copies` are those that come off alike; `own_screws` hold the thing itself, the others belong to `other_joints`;
    `loosened` hangs free while the thing is off, `eased` keeps some of its screws. Minutes are out and back, with their
    range; `basis` is how they were counted. `proven`: no smaller set of screws exists.
    """

    thing: str
    copies: tuple[str, ...]
    possible: bool
    held_by: str
    screws: int
    own_screws: int
    other_joints: tuple[str, ...]
    set_aside: tuple[str, ...]
    loosened: tuple[str, ...]
    eased: tuple[str, ...]
    boards_stay: bool
    tools: tuple[str, ...]
    minutes: float
    minutes_low: float
    minutes_high: float
    basis: tuple[str, ...]
    proven: bool
    steps: tuple[ServiceStep, ...]


@dataclass(frozen=True)
class CheckResult:
    """Everything `platewright check` says about a design."""

    frame: str
    revision: str
    findings: tuple[Finding, ...]
    mass: MassReport
    levels: tuple[Level, ...]
    stack_ups: tuple[StackUp, ...]
    steps: tuple[StepRow, ...]
    tools: tuple[ToolRow, ...]
    service: tuple[ServiceRow, ...]
    clearances: ClearanceReport
    cameras: tuple[CameraRow, ...]
    views: tuple[ViewRow, ...]
    batteries: tuple[BatteryRow, ...]
    boards: BoardReport
    signals: SignalReport
    hover: HoverReport | None = None
    strength: FrameStrength | None = None
    flight: FlightSummary | None = None

    @property
    def status(self) -> str:
        """Return "fails" if one finding fails, else "ok"."""
        return "fails" if any(f.severity is Severity.FAIL for f in self.findings) else "ok"
