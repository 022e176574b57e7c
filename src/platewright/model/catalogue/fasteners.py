"""Records of threads, screws, nuts, washers, clearance holes and the materials that screws are made of.

Heights carry their minimum and maximum, because a nut named only by its thread may be any of several: an M3
nylon-insert nut is 4.0 mm high by DIN 985 and 4.5 mm by ISO 7040. `height_mm` is the middle of the two; a screw's
length is chosen with `height_max_mm`.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field, model_validator

from platewright.model.catalogue.base import NonNegative, Positive, Range, Record

__all__ = [
    "ClearanceHole",
    "Nut",
    "NutClass",
    "PrevailingTorque",
    "Screw",
    "ScrewClass",
    "ScrewLengths",
    "Thread",
    "Washer",
]


class Thread(Record):
    """A coarse metric thread; `mass_g_per_mm` is a steel shank of the mean thread section."""

    kind: ClassVar[str] = "thread"
    d_mm: Positive
    pitch_mm: Positive
    stress_area_mm2: Positive
    pitch_d_mm: Positive
    minor_d_ext_mm: Positive
    minor_d_int_mm: Positive
    mass_g_per_mm: Positive


class Screw(Record):
    """A screw head on a thread.

    `style` is socket, button, countersunk (DIN 7991, the one mostly sold) or countersunk-iso (ISO 10642). The head of
    a countersunk screw counts into its length and `head_d_max_mm` is the theoretical sharp edge. `load_factor` is the
    share of the thread's ultimate load that the head carries. `head_d_knurled_max_mm` is the larger of the two heads
    that the standard allows: clearances need it.
    """

    kind: ClassVar[str] = "screw"
    thread: str
    style: str
    standard: str
    head_d_max_mm: Positive
    head_d_min_mm: Positive | None = None
    head_d_knurled_max_mm: Positive | None = None
    head_h_max_mm: Positive
    head_h_min_mm: Positive | None = None
    bearing_d_min_mm: Positive | None = None
    head_angle_deg: Positive | None = None
    drive: str = "hex socket"
    drive_size_mm: Positive
    drive_depth_min_mm: Positive | None = None
    load_factor: float = Field(gt=0, le=1)
    length_includes_head: bool = False
    head_mass_g: NonNegative

    @property
    def head_d_clear_mm(self) -> float:
        """Largest head diameter that may turn up."""
        return max(self.head_d_max_mm, self.head_d_knurled_max_mm or 0.0)

    @property
    def title(self) -> str:
        """Thread, style and standard."""
        return f"{self.thread} {self.style} head screw, {self.standard}"


class ScrewLengths(Record):
    """The lengths in which screws of a thread are sold; off-series lengths exist in the trade, in no standard."""

    kind: ClassVar[str] = "screw_lengths"
    thread: str
    series_mm: tuple[Positive, ...]
    off_series_mm: tuple[Positive, ...] = ()

    @property
    def all_mm(self) -> tuple[float, ...]:
        """Every length on sale, shortest first."""
        return tuple(sorted({*self.series_mm, *self.off_series_mm}))

    @property
    def title(self) -> str:
        """Thread and what it is."""
        return f"{self.thread} screw lengths"


class Nut(Record):
    """A nut.

    `style` is hex, hex-din934, thin, insert (DIN 985, the one mostly sold), insert-high (ISO 7040), insert-asme,
    insert-thin (ISO 10511), flanged, flanged-insert, flanged-insert-as-5 (sold as "5 mm"), press; a user's own record
    may name its own. `metal_height_min_mm` is the threaded part of an insert nut. The plate fields and
    `shank_length_mm` are for press nuts only, whose height is what stands above the plate.
    """

    kind: ClassVar[str] = "nut"
    thread: str
    style: str
    standard: str
    height_max_mm: Positive
    height_min_mm: Positive
    metal_height_min_mm: Positive | None = None
    across_flats_max_mm: Positive | None = None
    across_flats_min_mm: Positive | None = None
    corner_min_mm: Positive | None = None
    flange_d_max_mm: Positive | None = None
    flange_edge_min_mm: Positive | None = None
    bearing_d_min_mm: Positive | None = None
    has_insert: bool = False
    plate_hole_d_mm: Positive | None = None
    plate_hole_d_range_mm: Range | None = None
    plate_thickness_min_mm: Positive | None = None
    edge_distance_min_mm: Positive | None = None
    shank_length_mm: Positive | None = None
    mass_g: Positive

    @model_validator(mode="after")
    def _heights_in_order(self) -> Nut:
        if self.height_min_mm > self.height_max_mm:
            message = f"height_min_mm {self.height_min_mm} must not be above height_max_mm {self.height_max_mm}"
            raise ValueError(message)
        if self.across_flats_max_mm is None and self.flange_d_max_mm is None:
            message = "needs across_flats_max_mm, flange_d_max_mm or both"
            raise ValueError(message)
        return self

    @property
    def height_mm(self) -> float:
        """Nominal height: the middle of minimum and maximum."""
        return (self.height_min_mm + self.height_max_mm) / 2

    @property
    def height_tolerance_mm(self) -> float:
        """Plus or minus, about the nominal height."""
        return (self.height_max_mm - self.height_min_mm) / 2

    @property
    def outer_d_mm(self) -> float:
        """Diameter of the circle round it: the flange or the corners."""
        corners = 0.0 if self.across_flats_max_mm is None else self.across_flats_max_mm * 2 / 3**0.5
        return max(corners, self.flange_d_max_mm or 0.0)

    @property
    def title(self) -> str:
        """Thread, style and standard."""
        return f"{self.thread} {self.style} nut, {self.standard}"


class Washer(Record):
    """A washer; `style` is plain (ISO 7089), small (ISO 7092) or large (ISO 7093-1)."""

    kind: ClassVar[str] = "washer"
    thread: str
    style: str
    standard: str
    inner_d_min_mm: Positive
    inner_d_max_mm: Positive | None = None
    outer_d_max_mm: Positive
    outer_d_min_mm: Positive | None = None
    thickness_mm: Positive
    thickness_min_mm: Positive
    thickness_max_mm: Positive
    mass_g: Positive

    @property
    def thickness_tolerance_mm(self) -> float:
        """The larger deviation from the nominal thickness."""
        return max(self.thickness_max_mm - self.thickness_mm, self.thickness_mm - self.thickness_min_mm)

    @property
    def title(self) -> str:
        """Thread, style and standard."""
        return f"{self.thread} {self.style} washer, {self.standard}"


class ClearanceHole(Record):
    """A clearance hole of one class of fit; `upper_deviation_mm` is what its tolerance field allows above it."""

    kind: ClassVar[str] = "clearance_hole"
    thread: str
    fit: Literal["fine", "medium", "coarse"]
    d_mm: Positive
    tolerance_field: str
    upper_deviation_mm: NonNegative

    @property
    def title(self) -> str:
        """Thread and fit."""
        return f"{self.thread} clearance hole, {self.fit}"


class ScrewClass(Record):
    """The strength of a screw: a property class, or a material that has none."""

    kind: ClassVar[str] = "screw_class"
    material: str
    strength_min_mpa: Positive
    strength_nominal_mpa: Positive
    yield_min_mpa: Positive | None = None
    proof_stress_mpa: Positive | None = None
    elongation_min_pct: Positive | None = None
    elastic_modulus_mpa: Positive
    density_g_cm3: Positive
    shear_strength_mpa: Positive
    toughness: str = ""

    @property
    def allowed_stress_mpa(self) -> float:
        """Proof stress where the standard has one, else the least yield, else (polymers) the least strength."""
        return self.proof_stress_mpa or self.yield_min_mpa or self.strength_min_mpa

    @property
    def title(self) -> str:
        """Class and material."""
        return f"{self.material}, {self.id}"


class NutClass(Record):
    """The strength of a nut: stress under proof load, on the stress area of its thread."""

    kind: ClassVar[str] = "nut_class"
    proof_stress_mpa: Positive


class PrevailingTorque(Record):
    """The torque of a nylon-insert nut before it clamps; it adds to the clamping torque."""

    kind: ClassVar[str] = "prevailing_torque"
    thread: str
    standard: str
    first_assembly_max_nm: Positive
    first_removal_min_nm: Positive
    fifth_removal_min_nm: Positive

    @property
    def title(self) -> str:
        """Thread and what it is."""
        return f"{self.thread} nylon-insert prevailing torque"
