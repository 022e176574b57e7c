"""Bodies of equipment: motors, propellers, boards, cameras, batteries and the rest, where their mounting puts them.

Sizes come from the catalogue; what it does not say is drawn as the smallest plain body and named here. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from platewright.assembly.bodies import Body, Box, Cylinder, Frame3, Hexagon, Solid, upright
from platewright.assembly.heights import Levels
from platewright.assembly.hub_screws import HUB_SCREW_SPACING, N_HUB_SCREWS, hub_screws
from platewright.assembly.instances import Instance, mirror_signs
from platewright.assembly.lines import Line
from platewright.assembly.stance import Rotor
from platewright.assembly.standing import top_height
from platewright.model.catalogue import Catalogue
from platewright.model.catalogue.base import Record
from platewright.model.catalogue.electronics import ActionCamera, Antenna, Board, Camera
from platewright.model.catalogue.fasteners import Screw
from platewright.model.catalogue.power import Battery, Capacitor, Motor, PowerConnector, Propeller, PropellerNut
from platewright.model.design import Design, Equipment

__all__ = ["camera_frame", "camera_solids", "equipment_bodies"]

_DISC_THICKNESS = 1.0  # a turning propeller drawn as a thin disc [mm]
_LENS_SHARE = 0.3  # lens radius as a share of the camera's width, for pictures only [-]
_CABLE = 2.0  # of a stem whose cable has no size in the catalogue, for pictures only [mm]


def equipment_bodies(
    design: Design,
    catalogue: Catalogue,
    instances: Mapping[str, Instance],
    lines: Sequence[Line],
    levels: Levels,
    rotors: Sequence[Rotor],
) -> tuple[Body, ...]:
    """Return bodies of all fitted equipment, in the order of the design."""
    place = _Placer(design, catalogue, instances, lines, levels, rotors)
    return tuple(body for e in design.equipment if e.fitted for body in place.bodies(e))


def camera_frame(x: float, z: float, tilt: float) -> Frame3:
    """Return the frame of a camera that turns about a line at (x, z) [mm]: across, up and where it looks; tilt [rad].

    Examples
    --------
    >>> camera_frame(50.0, 20.0, 0.0).n
    (1.0, -0.0, 0.0)
    """
    return Frame3((x, 0.0, z), (0.0, 1.0, 0.0), (-math.sin(tilt), 0.0, math.cos(tilt)))


def camera_solids(record: Camera) -> tuple[Solid, Solid]:
    """Return the body of a camera, about the line it turns on, and its lens."""
    back = -record.body_depth_mm / 2
    return (
        Solid(Box(record.body_width_mm, record.body_height_mm, record.body_depth_mm), back),
        Solid(Cylinder(record.body_width_mm * _LENS_SHARE, record.lens_protrusion_mm), -back),
    )


class _Placer:
    """Knows the design; gives each kind of record its bodies."""

    def __init__(
        self,
        design: Design,
        catalogue: Catalogue,
        instances: Mapping[str, Instance],
        lines: Sequence[Line],
        levels: Levels,
        rotors: Sequence[Rotor],
    ) -> None:
        self._equipment = {e.id: e for e in design.equipment}
        self._catalogue = catalogue
        self._instances = instances
        self._lines = lines
        self._levels = levels
        self._rotors = rotors

    def bodies(self, equipment: Equipment) -> list[Body]:
        """Return the bodies of one piece of equipment."""
        made: list[Body] = []
        for role, record_id in equipment.use.items():
            record = self._catalogue.find(record_id)[0]
            build = self._builder(record)
            if build is not None:
                made += build(equipment, role, record)
        return made

    def _builder(self, record: Record) -> Callable[[Equipment, str, Record], list[Body]] | None:
        if isinstance(record, Motor):
            return self._motors
        if isinstance(record, Propeller | PropellerNut | Screw):
            return self._propellers
        if isinstance(record, Board) and record.pattern is not None:
            return self._board
        if isinstance(record, Camera):
            return self._camera
        if isinstance(record, Board | Battery | ActionCamera | Antenna | Capacitor | PowerConnector):
            return self._loose
        return None  # straps are soft: they have slots and a mass, no body

    def _motors(self, equipment: Equipment, role: str, record: Record) -> list[Body]:
        assert isinstance(record, Motor)
        made = []
        for rotor in self._rotors:
            seat = self.motor_face(equipment.id, rotor.number)
            if seat is None:
                continue
            frame = upright(rotor.x, rotor.y, seat, down=rotor.below)
            solids = (
                Solid(Cylinder(record.bell_d_mm / 2, record.seat_height_mm)),
                Solid(
                    Cylinder(record.shaft_d_mm / 2, record.overall_height_mm - record.seat_height_mm),
                    record.seat_height_mm,
                ),
            )
            name = f"{equipment.id}.{rotor.number}"
            made.append(Body(name, "motor", f"{equipment.id}.{role}", frame, solids, equipment.id))
        return made

    def motor_face(self, equipment: str, rotor: int) -> float | None:
        """Height of the face a motor stands on at a rotor [mm]; None if it is not there."""
        line = next((x for x in self._lines if x.owner == equipment and x.rotor == rotor), None)
        if line is None:
            return None
        n = next(k for k, i in enumerate(line.items) if isinstance(i.record, Motor))
        span = self._levels.spans[line.name][n]
        if span is None:
            return None
        return (span.end if self._rotors[rotor - 1].below else span.start).nominal

    def _propellers(self, equipment: Equipment, role: str, record: Record) -> list[Body]:
        """Hub and disc at the motor's seat height, the nut on top of the hub."""
        carrier = self._equipment.get(equipment.on or "")
        motors = [self._catalogue.find(i)[0] for i in carrier.use.values()] if carrier else []
        motor = next((m for m in motors if isinstance(m, Motor)), None)
        hub = next((r for i in equipment.use.values() if isinstance(r := self._catalogue.find(i)[0], Propeller)), None)
        if carrier is None or motor is None or hub is None:
            return []
        made = []
        for rotor in self._rotors:
            face = self.motor_face(carrier.id, rotor.number)
            if face is None:
                continue
            up = -1.0 if rotor.below else 1.0
            frame = upright(rotor.x, rotor.y, face + up * motor.seat_height_mm, down=rotor.below)
            name = f"{equipment.id}.{role}.{rotor.number}"
            if isinstance(record, Propeller):
                disc = Solid(
                    Cylinder(record.diameter_mm / 2, _DISC_THICKNESS), (record.hub_height_mm - _DISC_THICKNESS) / 2
                )
                solids: tuple[Solid, ...] = (Solid(Cylinder(record.hub_d_mm / 2, record.hub_height_mm)), disc)
                made.append(Body(name, "propeller", f"{equipment.id}.{role}", frame, solids, equipment.id))
            elif isinstance(record, PropellerNut):
                nut = Solid(Hexagon(record.across_flats_mm, record.height_mm), hub.hub_height_mm)
                made.append(Body(name, "nut", f"{equipment.id}.{role}", frame, (nut,), equipment.id))
            else:
                made += self._hub_screws(equipment, role, rotor, face + up * (motor.seat_height_mm + hub.hub_height_mm))
        return made

    def _hub_screws(self, equipment: Equipment, role: str, rotor: Rotor, top: float) -> list[Body]:
        """Two screws from the top of the hub into the bell."""
        fit = hub_screws(equipment, self._catalogue)
        if fit is None:
            return []
        head = Solid(Cylinder(fit.screw.head_d_max_mm / 2, fit.screw.head_h_max_mm), -fit.screw.head_h_max_mm)
        shank = Solid(Cylinder(self._catalogue.thread(fit.screw.thread).d_mm / 2, fit.length))
        made = []
        for n in range(N_HUB_SCREWS):
            x = rotor.x + (n - 0.5) * HUB_SCREW_SPACING
            frame = upright(x, rotor.y, top, down=not rotor.below)
            name = f"{equipment.id}.{role}{n + 1}.{rotor.number}"
            made.append(Body(name, "screw", f"{equipment.id}.{role}", frame, (head, shank), equipment.id))
        return made

    def _board(self, equipment: Equipment, role: str, record: Record) -> list[Body]:
        """Return the bare board at the middle of its grommets, parts on both faces within the hole pattern."""
        assert isinstance(record, Board)
        line = next((x for x in self._lines if x.owner == equipment.id), None)
        if line is None:
            return self._loose(equipment, role, record)
        n = next((k for k, i in enumerate(line.items) if i.word.role == role and i.record is record), None)
        span = self._levels.spans[line.name][n] if n is not None else None
        if span is None:
            return []
        thickness = record.pcb_thickness_mm or 0.0
        bottom = (span.start.nominal + span.end.nominal - thickness) / 2
        frame = upright(float(equipment.at_mm[0]), float(equipment.at_mm[1]), bottom, math.radians(equipment.turn_deg))
        clear = (
            self._catalogue.board_pattern(record.pattern or "").side_mm - (record.hole_d_with_grommet_mm or 4.0) * 1.6
        )
        solids = [Solid(Box(record.length_mm, record.width_mm, thickness))]
        if record.underside_parts_mm:
            solids.append(Solid(Box(clear, clear, record.underside_parts_mm), -record.underside_parts_mm))
        if record.topside_parts_mm:
            solids.append(Solid(Box(clear, clear, record.topside_parts_mm), thickness))
        name = f"{equipment.id}.{role}"
        return [Body(name, "board", name, frame, tuple(solids), equipment.id)]

    def _camera(self, equipment: Equipment, role: str, record: Record) -> list[Body]:
        """Body about its mounting line, the lens in front of it, tilted up by `tilt_deg`."""
        assert isinstance(record, Camera)
        x, height = float(equipment.at_mm[0]), float(equipment.at_mm[1])
        z = top_height(equipment.foot, self._instances, self._levels, (x, 0.0)) + height
        frame, solids = camera_frame(x, z, math.radians(equipment.tilt_deg)), camera_solids(record)
        name = f"{equipment.id}.{role}"
        return [Body(name, "camera", name, frame, solids, equipment.id)]

    def _loose(self, equipment: Equipment, role: str, record: Record) -> list[Body]:
        """Return what lies on a face, or hangs under one: a box or a cylinder about its own middle."""
        solids = _loose_solids(record)
        if not solids:
            return []
        made = []
        extra = float(equipment.at_mm[2]) if len(equipment.at_mm) > 2 else 0.0
        signs = mirror_signs(equipment.mirror)
        for n, (sx, sy) in enumerate(signs):
            x, y = sx * float(equipment.at_mm[0]), sy * float(equipment.at_mm[1])
            z = self._face(equipment, x, y)
            down = equipment.face == "bottom"
            turn = math.radians(equipment.turn_deg) * sx * sy
            slope = self._carrier_slope(equipment)
            frame = upright(x, y, z - extra if down else z + extra, turn, down, slope)
            name = f"{equipment.id}.{role}" + (f".{n + 1}" if len(signs) > 1 else "")
            made.append(Body(name, _role(record), f"{equipment.id}.{role}", frame, solids, equipment.id))
        return made

    def _carrier_slope(self, equipment: Equipment) -> tuple[float, float]:
        """Return how the plate that carries a thing rises along x and y."""
        carrier = next((i for i in self._instances.values() if i.place.id == equipment.on and i.normal == "z"), None)
        return self._levels.built[carrier.name].slope if carrier else (0.0, 0.0)

    def _face(self, equipment: Equipment, x: float, y: float) -> float:
        top = top_height(equipment.on, self._instances, self._levels, (x, y))
        if equipment.face == "top" or equipment.on is None:
            return top
        carrier = next((i for i in self._instances.values() if i.place.id == equipment.on), None)
        return top - (carrier.part.thickness_mm if carrier else 0.0)


def _role(record: Record) -> str:
    if isinstance(record, Battery):
        return "battery"
    if isinstance(record, ActionCamera):
        return "camera"
    if isinstance(record, Antenna):
        return "antenna"
    return "board" if isinstance(record, Board) else "other"


def _loose_solids(record: Record) -> tuple[Solid, ...]:
    if isinstance(record, Battery):
        return (Solid(Box(record.length_mm, record.width_mm, record.height_mm)),)
    if isinstance(record, Board):
        return (Solid(Box(record.length_mm, record.width_mm, record.total_height_mm)),)
    if isinstance(record, ActionCamera):
        return (Solid(Box(record.depth_mm, record.width_mm, record.height_mm)),)
    if isinstance(record, PowerConnector):
        return (Solid(Box(record.length_mm, record.width_mm, record.height_mm)),)
    if isinstance(record, Capacitor):
        d, length = sum(record.d_range_mm) / 2, sum(record.length_range_mm) / 2
        return (Solid(Box(length, d, d)),)  # lies along its own x; a box is its tightest plain body
    if isinstance(record, Antenna):
        return _antenna_solids(record)
    return ()


def _antenna_solids(record: Antenna) -> tuple[Solid, ...]:
    """Return the stem of an antenna and, above it, what radiates."""
    cable = record.cable_d_range_mm[1] if record.cable_d_range_mm is not None else _CABLE
    thick = record.tube_outer_d_range_mm[1] if record.tube_outer_d_range_mm is not None else cable
    head = Solid(Cylinder(record.active_d_mm / 2, record.active_length_mm), record.stem_mm)
    return Solid(Cylinder(thick / 2, record.stem_mm)), head
