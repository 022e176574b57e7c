"""Records of motors, propellers, batteries and what connects them.

A motor pattern is measured between opposite holes: 16x16 lies on a circle of 16 mm. A board pattern (see `electronics`)
is the side of a square. Mixing them up is a factor 1.414.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field

from platewright.model.catalogue.base import Frozen, NonNegative, Positive, Provenance, Range, Record

__all__ = [
    "Battery",
    "Capacitor",
    "Motor",
    "MotorPattern",
    "PowerConnector",
    "Propeller",
    "PropellerNut",
    "Winding",
]

Fixing = Literal["m5_nut", "t_mount", "press"]


class MotorPattern(Record):
    """Holes of a motor's base: one bolt circle for each pair of opposite holes, the pairs at 90 degrees.

    One distance and three holes is a triangle at 120 degrees.
    """

    kind: ClassVar[str] = "motor_pattern"
    opposite_hole_distances_mm: tuple[Positive, ...] = Field(min_length=1, max_length=2)
    holes: int = Field(ge=2, le=8)
    thread: str
    plate_hole_d_mm: Positive
    used_by: str = ""


class Winding(Frozen):
    """The winding of a typical member of a motor class, between two leads at 20 deg C."""

    kv_rpm_per_v: Positive
    resistance_mohm: Positive
    no_load_current_a: NonNegative
    provenance: Provenance
    source: str = Field(min_length=1)
    note: str = ""


class Motor(Record):
    """A motor class, named by its stator: 2207 is 22 mm in diameter and 7 mm high.

    `seat_height_mm` is from the plate to the underside of the propeller's hub, where the propeller stands;
    `overall_height_mm` reaches the shaft's end. `patterns` names the usual base first. Screws may enter the base by
    `engagement_range_mm`: beyond it they may touch the winding.
    """

    kind: ClassVar[str] = "motor"
    size: str
    patterns: tuple[str, ...] = Field(min_length=1)
    base_thread: str
    base_thickness_range_mm: Range
    engagement_range_mm: Range
    engagement_min_diameters: Positive
    winding_clearance_min_mm: Positive
    bell_d_mm: Positive
    overall_height_mm: Positive
    seat_height_mm: Positive
    seat_height_tolerance_mm: Positive
    shaft_d_mm: Positive
    shaft_thread: str | None = None
    shaft_thread_length_range_mm: Range | None = None
    fixings: tuple[Fixing, ...] = Field(min_length=1)
    propeller_mount: str
    mass_g: Positive
    mass_range_g: Range
    kv_range_rpm_per_v: dict[str, Range]
    lead_awg: int
    propeller_d_range_in: Range
    static_thrust_max_n: Positive
    current_max_a: Positive
    winding: Winding | None = None

    @property
    def title(self) -> str:
        """Its size."""
        return f"motor {self.size}"


class Propeller(Record):
    """A propeller class; `bore_d_mm` 5.0 takes an M5 shaft and nut.

    `typical_class` names the thrust and power of the usual propeller of this size.
    """

    kind: ClassVar[str] = "propeller"
    size: str
    diameter_in: Positive
    diameter_mm: Positive
    pitch_range_in: Range
    blades: tuple[int, ...] = Field(min_length=1)
    bore_d_mm: Positive
    hub_d_mm: Positive
    hub_height_mm: Positive
    fixings: tuple[Fixing, ...] = Field(min_length=1)
    mass_g: Positive
    mass_range_g: Range
    typical_class: str | None = None

    @property
    def title(self) -> str:
        """Its size."""
        return f"propeller {self.size}"


class PropellerNut(Record):
    """The nut that holds a propeller; some motors have left-hand threads on one turning direction."""

    kind: ClassVar[str] = "propeller_nut"
    thread: str
    hand: Literal["right", "left"]
    material: str
    height_max_mm: Positive
    height_min_mm: Positive
    metal_height_min_mm: Positive | None = None
    across_flats_mm: Positive
    flange_d_max_mm: Positive
    mass_g: Positive

    @property
    def height_mm(self) -> float:
        """Nominal height: the middle of minimum and maximum."""
        return (self.height_min_mm + self.height_max_mm) / 2


class Battery(Record):
    """A battery pack: length, width and height over its wrap, leads not counted."""

    kind: ClassVar[str] = "battery"
    chemistry: Literal["LiPo", "Li-ion"]
    cells_series: int = Field(ge=1, le=14)
    capacity_mah: Positive
    nominal_v: Positive
    energy_wh: Positive
    length_mm: Positive
    width_mm: Positive
    height_mm: Positive
    mass_g: Positive
    mass_range_g: Range
    specific_energy_wh_kg: Positive
    cell_resistance_range_mohm: Range
    c_rating_realistic_range: Range
    c_rating_on_label_range: Range
    lead_awg: int
    connector: str


class Capacitor(Record):
    """A filter capacitor: diameter and length of its can, smallest and largest of the class."""

    kind: ClassVar[str] = "capacitor"
    name: str
    voltage_v: Positive
    capacitance_range_uf: Range
    d_range_mm: Range
    length_range_mm: Range
    mass_range_g: Range

    @property
    def title(self) -> str:
        """Its name."""
        return self.name


class PowerConnector(Record):
    """A battery connector: width, height and length of one housing, mass of a pair."""

    kind: ClassVar[str] = "power_connector"
    name: str
    current_continuous_a: Positive
    width_mm: Positive
    height_mm: Positive
    length_mm: Positive
    pair_mass_g: Positive
    lead_awg_range: Range

    @property
    def title(self) -> str:
        """Its name."""
        return self.name
