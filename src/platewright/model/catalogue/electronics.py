"""Records of boards, cameras, antennas and plugs.

A board pattern is the side of a square of holes: 20x20 has a diagonal of 28.3 mm. A motor pattern is not: see `power`.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field

from platewright.model.catalogue.base import NonNegative, Positive, Range, Record, middle

__all__ = ["ActionCamera", "Antenna", "Board", "BoardPattern", "Camera", "CameraView", "SignalConnector"]


class BoardPattern(Record):
    """A square of four holes; `hole_d_with_grommet_mm` is None where grommets are not used."""

    kind: ClassVar[str] = "board_pattern"
    side_mm: Positive
    diagonal_mm: Positive
    outer_range_mm: Range
    thread: str
    screws: str
    hole_d_without_grommet_mm: Positive
    hole_d_with_grommet_mm: Positive | None = None
    mass_range_g: dict[str, Range]


class Board(Record):
    """A circuit board; width is across the craft and length along it when it faces forward.

    `pattern` is None for what is taped or tied on. Parts stand out from the bare board on both faces; `height_mm` is
    given instead where the thing is one block.
    """

    kind: ClassVar[str] = "board"
    pattern: str | None = None
    width_mm: Positive
    length_mm: Positive
    pcb_thickness_mm: Positive | None = None
    pcb_thickness_tolerance_mm: Positive | None = None
    underside_parts_mm: NonNegative = 0.0
    topside_parts_mm: NonNegative = 0.0
    height_mm: Positive | None = None
    hole_d_without_grommet_mm: Positive | None = None
    hole_d_with_grommet_mm: Positive | None = None
    mass_g: Positive
    mass_range_g: Range
    plugs: str = ""
    motor_pads: str = ""
    battery_pads: str = ""
    current_continuous_a: Positive | None = None
    current_burst_a: Positive | None = None
    cells_series_range: tuple[int, int] | None = None
    heat_w: Positive | None = None
    needs_airflow: bool = False
    sky_view_needed: bool = False
    power_lead_distance_min_mm: Positive | None = None

    @property
    def total_height_mm(self) -> float:
        """From the lowest part to the highest."""
        if self.height_mm is not None:
            return self.height_mm
        return self.underside_parts_mm + (self.pcb_thickness_mm or 0.0) + self.topside_parts_mm


class Camera(Record):
    """A flight camera between side plates; where only a range is known its middle stands for the typical member."""

    kind: ClassVar[str] = "camera"
    size: str
    body_width_mm: Positive
    body_width_range_mm: Range
    body_height_range_mm: Range
    body_depth_with_lens_range_mm: Range
    lens_protrusion_range_mm: Range
    mass_range_g: Range
    mount_thread: str
    mount: str
    screws_per_side: tuple[int, ...] = Field(min_length=1)
    side_plate_gap_mm: Positive
    tilt_range_deg: Range
    clear_height_diagonal_mm: Positive
    view: str

    @property
    def body_height_mm(self) -> float:
        """Middle of the range."""
        return middle(self.body_height_range_mm)

    @property
    def body_depth_with_lens_mm(self) -> float:
        """Middle of the range."""
        return middle(self.body_depth_with_lens_range_mm)

    @property
    def lens_protrusion_mm(self) -> float:
        """Middle of the range."""
        return middle(self.lens_protrusion_range_mm)

    @property
    def body_depth_mm(self) -> float:
        """Depth behind the lens."""
        return self.body_depth_with_lens_mm - self.lens_protrusion_mm

    @property
    def mass_g(self) -> float:
        """Middle of the range."""
        return middle(self.mass_range_g)

    @property
    def title(self) -> str:
        """Class and width."""
        return f"camera {self.size}, {self.body_width_mm:g} mm wide"


class CameraView(Record):
    """What a camera sees: its horizontal field of view, plus or minus `tolerance_deg`."""

    kind: ClassVar[str] = "camera_view"
    name: str
    field_of_view_h_deg: float = Field(gt=0, lt=180)
    tolerance_deg: NonNegative
    aspect: Literal["4:3", "16:9"]
    projection: Literal["fisheye", "rectilinear"] = "fisheye"

    @property
    def title(self) -> str:
        """Its name."""
        return f"view, {self.name}"


class ActionCamera(Record):
    """A recording camera: width, height and depth seen from the front."""

    kind: ClassVar[str] = "action_camera"
    name: str
    width_mm: Positive
    height_mm: Positive
    depth_mm: Positive
    mass_range_g: Range
    view: str

    @property
    def mass_g(self) -> float:
        """Middle of the range."""
        return middle(self.mass_range_g)

    @property
    def title(self) -> str:
        """Its name."""
        return f"action camera, {self.name}"


class Antenna(Record):
    """An antenna: a tube that holds a wire, or a head on a cable.

    What radiates is the head, or the wire at the end of its tube; the stem is the tube or cable under it, down to the
    face that carries it.
    """

    kind: ClassVar[str] = "antenna"
    name: str
    frequency_mhz: Positive
    stem_range_mm: Range
    tube_outer_d_range_mm: Range | None = None
    cable_d_range_mm: Range | None = None
    head_d_range_mm: Range | None = None
    head_height_mm: Positive | None = None
    wire_length_2400mhz_mm: Positive | None = None
    wire_length_900mhz_mm: Positive | None = None
    thread: str | None = None
    panel_hole_d_mm: Positive | None = None
    across_flats_mm: Positive | None = None
    mass_range_g: Range

    @property
    def mass_g(self) -> float:
        """Middle of the range."""
        return middle(self.mass_range_g)

    @property
    def stem_mm(self) -> float:
        """Middle of the range."""
        return middle(self.stem_range_mm)

    @property
    def wavelength_mm(self) -> float:
        """Of its frequency, in free space."""
        return 299_792.458 / self.frequency_mhz

    @property
    def active_d_mm(self) -> float:
        """Of what radiates; a tube is drawn as wide as it is sold."""
        if self.head_d_range_mm is not None:
            return middle(self.head_d_range_mm)
        return self.tube_outer_d_range_mm[1] if self.tube_outer_d_range_mm is not None else 2.0

    @property
    def active_length_mm(self) -> float:
        """Of what radiates: a head's height, or a quarter of a wave."""
        return self.head_height_mm if self.head_height_mm is not None else self.wavelength_mm / 4

    @property
    def title(self) -> str:
        """Its name."""
        return f"antenna, {self.name}"


class SignalConnector(Record):
    """A plug between boards, and the room beside it."""

    kind: ClassVar[str] = "signal_connector"
    name: str
    side_clearance_mm: Positive | None = None

    @property
    def title(self) -> str:
        """Its name."""
        return self.name
