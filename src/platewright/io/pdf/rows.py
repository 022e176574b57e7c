"""What the sheets print, ready for paper: plain words and numbers that the application fills in."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["FrameFacts", "HardwareRow", "PartFacts", "StackRow", "StepRow"]


@dataclass(frozen=True)
class PartFacts:
    """What a part's sheet says beside its geometry.

    Parameters
    ----------
    workshop, frame, revision : str
        For the title block.
    material : str
        Laminate, in words.
    thickness_tolerance_mm : float
        Half-width [mm].
    mass_g, mass_band_g : float
        One part, and the half-width of its band [g].
    places : tuple of str
        Places it fills, with their counts: `base_lower`, `4 × arm`.
    notes : tuple of str
        Sentences of this part alone.
    """

    workshop: str
    frame: str
    revision: str
    material: str
    thickness_tolerance_mm: float
    mass_g: float
    mass_band_g: float = 0.0
    places: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class StepRow:
    """One step of the assembly; texts ready to print.

    Parameters
    ----------
    number : int
        From 1.
    fitted : str
        What comes on.
    screws : str
        Count, thread, length, head and class.
    key : str
        Hex key and spanner.
    torque : str
        Tightening torque and what governs it.
    note : str
        What else to mind.
    """

    number: int
    fitted: str
    screws: str
    key: str
    torque: str
    note: str = ""


@dataclass(frozen=True)
class StackRow:
    """One kind of column: what it goes through and the thread its screw finds; texts ready to print."""

    column: str
    count: int
    through: str
    height: str
    screw: str
    engagement: str
    wanted: str


@dataclass(frozen=True)
class HardwareRow:
    """One item of the kit."""

    item: str
    quantity: int
    spares: int
    where: str


@dataclass(frozen=True)
class FrameFacts:
    """What the sheets of a whole frame say beside its pictures.

    Parameters
    ----------
    workshop, frame, revision : str
        For the title block.
    bare_mass_g : float or None
        Mass of the bare frame [g].
    steps, stacks, hardware : tuple of rows
        In the order to print.
    tools : tuple of str
        Hex keys and spanners the kit needs.
    notes : tuple of str
        Sentences of this frame alone.
    """

    workshop: str
    frame: str
    revision: str
    bare_mass_g: float | None = None
    steps: tuple[StepRow, ...] = ()
    stacks: tuple[StackRow, ...] = ()
    hardware: tuple[HardwareRow, ...] = ()
    tools: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
