"""Records of standoffs, spacers, grommets and straps."""

from __future__ import annotations

from typing import ClassVar, Literal

from platewright.model.catalogue.base import NonNegative, Positive, Range, Record

__all__ = ["Grommet", "Spacer", "Standoff", "Strap"]


class Standoff(Record):
    """A tapped round pillar that takes a screw from each end; a studded one has a screw of its own at one end.

    `thread_depth_range_mm` holds for each end; shorter standoffs are tapped through. The mass is of a body tapped
    through; `stud_length_mm` and `stud_mass_g` are None without a stud.
    """

    kind: ClassVar[str] = "standoff"
    thread: str
    style: Literal["plain", "studded"] = "plain"
    outer_d_mm: Positive
    outer_d_range_mm: Range
    lengths_mm: tuple[Positive, ...]
    length_tolerance_mm: Positive
    thread_depth_range_mm: Range
    material: str
    mass_g_per_mm: Positive
    stud_length_mm: Positive | None = None
    stud_mass_g: NonNegative | None = None

    def mass_g(self, length_mm: float) -> float:
        """Mass of one of this length, its stud included.

        Parameters
        ----------
        length_mm : float
            Length of the body [mm].

        Returns
        -------
        float
            Mass [g].
        """
        return self.mass_g_per_mm * length_mm + (self.stud_mass_g or 0.0)

    @property
    def title(self) -> str:
        """Thread and style."""
        return f"{self.thread} {self.style} standoff"


class Spacer(Record):
    """A tube that a screw passes through; `tapped` ones are nuts used as spacers.

    `material_word` is what a stack calls the material, `material` the id of its record.
    """

    kind: ClassVar[str] = "spacer"
    thread: str
    outer_d_mm: Positive
    bore_d_mm: Positive
    tapped: bool = False
    lengths_mm: tuple[Positive, ...]
    length_tolerance_mm: Positive
    material: str
    material_word: str
    mass_g_per_mm: Positive

    def mass_g(self, length_mm: float) -> float:
        """Mass of one of this length.

        Parameters
        ----------
        length_mm : float
            Length [mm].

        Returns
        -------
        float
            Mass [g].
        """
        return self.mass_g_per_mm * length_mm

    @property
    def title(self) -> str:
        """Thread, diameter and material."""
        return f"{self.thread} spacer {self.outer_d_mm:g} mm {self.material_word}"


class Grommet(Record):
    """A rubber grommet in a board's hole, squeezed by its screw."""

    kind: ClassVar[str] = "grommet"
    screw: str
    hole_d_mm: Positive
    free_height_mm: Positive
    groove_mm: Positive
    compressed_height_mm: Positive
    height_tolerance_mm: Positive
    stiffness_n_per_mm: Positive
    mass_g: Positive

    @property
    def title(self) -> str:
        """Screw and hole."""
        return f"{self.screw} grommet for a {self.hole_d_mm:g} mm hole"


class Strap(Record):
    """A battery strap and the slots it needs."""

    kind: ClassVar[str] = "strap"
    width_mm: Positive
    thickness_range_mm: Range
    slot_length_range_mm: Range
    slot_width_range_mm: Range
    lengths_mm: tuple[Positive, ...]
    mass_g_per_mm: Positive
    used_by: str = ""

    @property
    def title(self) -> str:
        """Its width."""
        return f"battery strap {self.width_mm:g} mm wide"
