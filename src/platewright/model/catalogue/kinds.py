"""The record class of each kind, by the name that catalogue files use."""

from __future__ import annotations

from platewright.model.catalogue.base import Record
from platewright.model.catalogue.electronics import (
    ActionCamera,
    Antenna,
    Board,
    BoardPattern,
    Camera,
    CameraView,
    SignalConnector,
)
from platewright.model.catalogue.fabrication import Cutter
from platewright.model.catalogue.fasteners import (
    ClearanceHole,
    Nut,
    NutClass,
    PrevailingTorque,
    Screw,
    ScrewClass,
    ScrewLengths,
    Thread,
    Washer,
)
from platewright.model.catalogue.hardware import Grommet, Spacer, Standoff, Strap
from platewright.model.catalogue.materials import Laminate, Material, Sheet, SheetSize
from platewright.model.catalogue.power import (
    Battery,
    Capacitor,
    Motor,
    MotorPattern,
    PowerConnector,
    Propeller,
    PropellerNut,
)
from platewright.model.catalogue.rotor import MeasuredPropeller, PropellerClass
from platewright.model.catalogue.rules import FrameClass, Rule

__all__ = ["KINDS"]

KINDS: dict[str, type[Record]] = {
    record.kind: record
    for record in (
        Thread, Screw, ScrewLengths, Nut, Washer, ClearanceHole, ScrewClass, NutClass, PrevailingTorque,
        Laminate, Material, Sheet, SheetSize, Cutter,
        Standoff, Spacer, Grommet, Strap,
        MotorPattern, Motor, Propeller, PropellerClass, MeasuredPropeller, PropellerNut,
        Battery, Capacitor, PowerConnector,
        BoardPattern, Board, Camera, CameraView, ActionCamera, Antenna, SignalConnector,
        FrameClass, Rule,
    )
}  # fmt: skip
"""Kind to class, in the order of a listing."""
