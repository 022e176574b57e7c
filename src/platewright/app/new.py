"""Write a complete starting design from a brief."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from platewright.app.brief.brief import Brief, BriefError, CameraClass, Style
from platewright.app.brief.kit import Kit, choose_kit
from platewright.app.brief.layout import Layout, lay_out
from platewright.app.brief.text import design_text
from platewright.foundation.errors import OutputError
from platewright.io.files import write_whole
from platewright.model.catalogue import Catalogue, load_catalogue

__all__ = ["Brief", "BriefError", "CameraClass", "Choice", "NewDesign", "Style", "new_design", "write_new"]


@dataclass(frozen=True)
class Choice:
    """One thing that was chosen, and why."""

    what: str
    chosen: str
    reason: str


@dataclass(frozen=True)
class NewDesign:
    """A starting design: the text of its file and what was chosen for it."""

    text: str
    choices: tuple[Choice, ...]


def new_design(brief: Brief, catalogue: Catalogue | None = None) -> NewDesign:
    """Write the text of a starting design.

    Parameters
    ----------
    brief : Brief
        What the maker asks for.
    catalogue : Catalogue or None
        The shipped one when None.

    Raises
    ------
    BriefError
        If nothing in the catalogue fits the brief, or propellers would touch.

    Examples
    --------
    >>> new_design(Brief(5.0)).text.splitlines()[0]
    '# Unnamed: a 5 inch freestyle frame with four separate arms, keyed between two base plates.'
    """
    records = catalogue or load_catalogue()
    kit = choose_kit(brief, records)
    layout = lay_out(brief, kit, records)
    return NewDesign(design_text(brief, kit, layout), _choices(kit, layout))


def write_new(path: Path, brief: Brief, catalogue: Catalogue | None = None) -> NewDesign:
    """Write a starting design to a new file, whole or not at all.

    Raises
    ------
    BriefError
        As `new_design`.
    OutputError
        If the file exists, or cannot be written.
    """
    if path.exists():
        msg = f"{path} exists already and was left as it is; give a new name, or move the old file away."
        raise OutputError(msg)
    design = new_design(brief, catalogue)
    try:
        write_whole(path, design.text.encode())
    except OSError as error:
        msg = f"{path} cannot be written ({error.strerror}); give a place where you may write."
        raise OutputError(msg) from error
    return design


def _choices(kit: Kit, layout: Layout) -> tuple[Choice, ...]:
    v = layout.values
    rows = [
        Choice("frame class", kit.frame_class.id, "its propellers (catalogue)"),
        Choice("rotors", f"{v['fore_aft_mm']:g} x {v['lateral_mm']:g} mm", layout.reasons["rotors"]),
        Choice("arms", f"{v['arm_mm']:g} mm thick, {v['arm_width_mm']:g} wide", layout.reasons["arm"]),
        Choice("standoffs", f"{layout.post} x {layout.standoff_mm:g}", layout.reasons["standoff"]),
        Choice("motor", kit.motor.title, kit.reasons["motor"]),
        Choice("propeller", kit.propeller.title, kit.reasons["propeller"]),
        Choice("propeller fixing", kit.nut.title if kit.nut else "two M2 screws", kit.reasons["nut"]),
        Choice("boards", " + ".join(b.title for _, b in kit.boards), kit.reasons["boards"]),
        Choice("camera", kit.camera.title, kit.reasons["camera"]),
        Choice("battery", kit.battery.title, kit.reasons["battery"]),
    ]
    return tuple(rows)
