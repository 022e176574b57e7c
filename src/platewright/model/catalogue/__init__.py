"""The parts catalogue: frozen records with their sources, shipped ones and a user's own laid over them."""

from platewright.model.catalogue.base import Estimate, Provenance, Record
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
from platewright.model.catalogue.kinds import KINDS
from platewright.model.catalogue.load import load_catalogue
from platewright.model.catalogue.materials import Laminate, Material, Sheet, SheetSize
from platewright.model.catalogue.power import (
    Battery,
    Capacitor,
    Motor,
    MotorPattern,
    PowerConnector,
    Propeller,
    PropellerNut,
    Winding,
)
from platewright.model.catalogue.rotor import (
    GeometryRow,
    MeasuredPropeller,
    PerformanceRow,
    PredictionBand,
    PropellerClass,
    RotorRows,
    SectionRow,
    ThrustStandRow,
    load_prediction_bands,
    load_rotor_rows,
    load_section_rows,
)
from platewright.model.catalogue.rows import record_rows
from platewright.model.catalogue.rules import FrameClass, Rule
from platewright.model.catalogue.store import Catalogue

__all__ = [
    "KINDS",
    "ActionCamera",
    "Antenna",
    "Battery",
    "Board",
    "BoardPattern",
    "Camera",
    "CameraView",
    "Capacitor",
    "Catalogue",
    "ClearanceHole",
    "Cutter",
    "Estimate",
    "FrameClass",
    "GeometryRow",
    "Grommet",
    "Laminate",
    "Material",
    "MeasuredPropeller",
    "Motor",
    "MotorPattern",
    "Nut",
    "NutClass",
    "PerformanceRow",
    "PowerConnector",
    "PredictionBand",
    "PrevailingTorque",
    "Propeller",
    "PropellerClass",
    "PropellerNut",
    "Provenance",
    "Record",
    "RotorRows",
    "Rule",
    "Screw",
    "ScrewClass",
    "ScrewLengths",
    "SectionRow",
    "Sheet",
    "SheetSize",
    "SignalConnector",
    "Spacer",
    "Standoff",
    "Strap",
    "Thread",
    "ThrustStandRow",
    "Washer",
    "Winding",
    "load_catalogue",
    "load_prediction_bands",
    "load_rotor_rows",
    "load_section_rows",
    "record_rows",
]
