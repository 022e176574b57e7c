"""The catalogue: its records, found by what a design calls them."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

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
from platewright.model.catalogue.lookup import RecordStore, missing
from platewright.model.catalogue.materials import Laminate, Material, Sheet
from platewright.model.catalogue.power import (
    Battery,
    Capacitor,
    Motor,
    MotorPattern,
    PowerConnector,
    Propeller,
    PropellerNut,
)
from platewright.model.catalogue.rules import FrameClass, Rule

__all__ = ["Catalogue"]


@dataclass(frozen=True)
class Catalogue(RecordStore):
    """Every record of a catalogue; a look-up that finds nothing raises `CatalogueError` with the nearest names."""

    # Fasteners

    def thread(self, thread: str) -> Thread:
        """Return a thread such as M3."""
        return self.get(Thread, thread)

    def screw(self, thread: str, style: str) -> Screw:
        """Return the head of a screw; style socket, button, countersunk (DIN 7991) or countersunk-iso."""
        return self.of_thread(Screw, thread, "style", style)

    def nut(self, thread: str, style: str) -> Nut:
        """Return a nut; style as in `Nut`, where insert is DIN 985."""
        return self.of_thread(Nut, thread, "style", style)

    def washer(self, thread: str, style: str = "plain") -> Washer:
        """Return a washer; style plain, small or large."""
        return self.of_thread(Washer, thread, "style", style)

    def clearance_hole(self, thread: str, fit: str = "fine") -> ClearanceHole:
        """Return the clearance hole of a thread; fit fine, medium or coarse."""
        return self.of_thread(ClearanceHole, thread, "fit", fit)

    def lengths(self, thread: str) -> ScrewLengths:
        """Return the lengths in which screws of a thread are sold."""
        return self.of_thread(ScrewLengths, thread)

    def prevailing_torque(self, thread: str) -> PrevailingTorque:
        """Return the prevailing torque of a nylon-insert nut."""
        return self.of_thread(PrevailingTorque, thread)

    def screw_class(self, name: str) -> ScrewClass:
        """Return a property class such as 12.9, or a screw material such as titanium-5."""
        return self.get(ScrewClass, name)

    def nut_class(self, name: str) -> NutClass:
        """Return the strength of a nut, nut-8 or nut-10."""
        return self.get(NutClass, name)

    # Materials

    def laminate(self, record_id: str) -> Laminate:
        """Return a plate material."""
        return self.get(Laminate, record_id)

    def material(self, record_id: str) -> Material:
        """Return a material of hardware or a single ply."""
        return self.get(Material, record_id)

    def sheets(self) -> tuple[Sheet, ...]:
        """Return the sheet thicknesses, thinnest first."""
        found = [self.get(Sheet, r.id) for r in self.records(Sheet.kind)]
        return tuple(sorted(found, key=lambda sheet: sheet.thickness_mm))

    def thickness_tolerance_mm(self, thickness_mm: float) -> float:
        """Return how far a sheet may be off, plus or minus; between two records by a straight line.

        Parameters
        ----------
        thickness_mm : float
            Nominal thickness [mm].

        Returns
        -------
        float
            Typical tolerance [mm]; outside the records it is that of the nearest, above them in proportion.

        Examples
        --------
        >>> from platewright.model.catalogue import load_catalogue
        >>> round(load_catalogue().thickness_tolerance_mm(3.5), 4)
        0.175
        """
        sheets = self.sheets()
        if thickness_mm <= sheets[0].thickness_mm:
            return sheets[0].tolerance_mm
        for thinner, thicker in itertools.pairwise(sheets):
            if thickness_mm <= thicker.thickness_mm:
                share = (thickness_mm - thinner.thickness_mm) / (thicker.thickness_mm - thinner.thickness_mm)
                return thinner.tolerance_mm + share * (thicker.tolerance_mm - thinner.tolerance_mm)
        return sheets[-1].tolerance_mm * thickness_mm / sheets[-1].thickness_mm

    def cutters(self) -> tuple[Cutter, ...]:
        """Return the router bits, thinnest first."""
        return tuple(sorted(self.of_class(Cutter), key=lambda cutter: cutter.diameter_mm))

    def cutter(self, record_id: str) -> Cutter:
        """Return a router bit, cutter_2.0."""
        return self.get(Cutter, record_id)

    # Hardware

    def standoff(self, thread: str, style: str = "plain") -> Standoff:
        """Return a standoff; style plain or studded."""
        return self.of_thread(Standoff, thread, "style", style)

    def spacer(self, thread: str, outer_d_mm: float | None = None, material: str | None = None) -> Spacer:
        """Return the first spacer of a thread with this outer diameter and material (id or word); None for any."""
        of_thread = [s for s in self.of_class(Spacer) if s.thread == thread]
        for spacer in of_thread:
            if outer_d_mm in (None, spacer.outer_d_mm) and material in (None, spacer.material, spacer.material_word):
                return spacer
        wanted = " ".join([thread, *([] if outer_d_mm is None else [f"{outer_d_mm:g} mm"]), *filter(None, [material])])
        raise missing("spacer", wanted, {s.title for s in of_thread or self.of_class(Spacer)})

    def grommet(self, screw: str) -> Grommet:
        """Return the grommet for a screw, M2 or M3."""
        return self.of_thread(Grommet, screw, thread_key="screw")

    def strap(self, record_id: str) -> Strap:
        """Return a battery strap, strap_20 for 20 mm."""
        return self.get(Strap, record_id)

    # Equipment

    def motor(self, record_id: str) -> Motor:
        """Return a motor class, motor_2207."""
        return self.get(Motor, record_id)

    def motor_pattern(self, record_id: str) -> MotorPattern:
        """Return a motor pattern, measured between opposite holes."""
        return self.get(MotorPattern, record_id)

    def propeller(self, record_id: str) -> Propeller:
        """Return a propeller class, prop_5in."""
        return self.get(Propeller, record_id)

    def propeller_nut(self, record_id: str) -> PropellerNut:
        """Return a propeller nut, prop_nut_m5_right."""
        return self.get(PropellerNut, record_id)

    def board(self, record_id: str) -> Board:
        """Return a board."""
        return self.get(Board, record_id)

    def board_pattern(self, record_id: str) -> BoardPattern:
        """Return a board pattern, the side of a square."""
        return self.get(BoardPattern, record_id)

    def camera(self, record_id: str) -> Camera:
        """Return a flight camera class, camera_micro."""
        return self.get(Camera, record_id)

    def camera_view(self, record_id: str) -> CameraView:
        """Return what a camera sees."""
        return self.get(CameraView, record_id)

    def action_camera(self, record_id: str) -> ActionCamera:
        """Return a recording camera class, action_thumb."""
        return self.get(ActionCamera, record_id)

    def battery(self, record_id: str) -> Battery:
        """Return a battery pack."""
        return self.get(Battery, record_id)

    def antenna(self, record_id: str) -> Antenna:
        """Return an antenna."""
        return self.get(Antenna, record_id)

    def capacitor(self, record_id: str) -> Capacitor:
        """Return a filter capacitor."""
        return self.get(Capacitor, record_id)

    def power_connector(self, record_id: str) -> PowerConnector:
        """Return a battery connector."""
        return self.get(PowerConnector, record_id)

    def signal_connector(self, record_id: str) -> SignalConnector:
        """Return a plug between boards."""
        return self.get(SignalConnector, record_id)

    def frame_class(self, record_id: str) -> FrameClass:
        """Return what frames of one size usually are."""
        return self.get(FrameClass, record_id)

    def rule(self, key: str) -> Rule:
        """Return a rule by its key, `topic.name_unit`."""
        return self.get(Rule, key)
