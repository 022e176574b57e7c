"""Where cameras sit: the width between their side plates, what is in their way, how the lens is kept. mm and rad."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body
from platewright.assembly.equipment import camera_frame, camera_solids
from platewright.assembly.instances import Instance
from platewright.assembly.lines import Line
from platewright.assembly.standing import standing_faces
from platewright.fit.proximity import boxes_near, common
from platewright.fit.solids import CHORD, Prism, prisms_of_body
from platewright.fit.things import Fitted, fitted
from platewright.model.catalogue.electronics import Camera

__all__ = ["CameraRoom", "camera_rooms", "in_the_way"]

_BESIDE = 6.0  # plates that reach so far out beside the gap still shield the lens [mm] (common practice, no source)


@dataclass(frozen=True)
class CameraRoom:
    """Where a camera sits.

    Parameters
    ----------
    camera : Fitted of Camera
        The camera of the design.
    body : Body
        In place.
    tilt : float
        Nose up [rad].
    x, z : float
        The line about which it tilts [mm].
    plates : tuple of str
        The two standing plates that hold it; none where it is held otherwise.
    gap : float or None
        Between their near faces, as built [mm].
    lens_behind : float or None
        How far the middle of the lens stands behind the foremost plate; negative in front of it [mm].
    foremost : str
        That plate.
    """

    camera: Fitted[Camera]
    body: Body
    tilt: float
    x: float
    z: float
    plates: tuple[str, ...]
    gap: float | None
    lens_behind: float | None
    foremost: str


def camera_rooms(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> list[CameraRoom]:
    """Return where every flight camera of a design sits.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    """
    made = []
    for camera in fitted(assembly, Camera):
        line = next((x for x in assembly.lines if x.owner == camera.equipment.id and x.axis == "y"), None)
        plates = _side_plates(line)
        for body in camera.bodies:
            x, _, z = body.frame.origin
            tilt = math.asin(body.frame.n[2])
            gap = _gap(assembly, plates)
            foremost, front = _foremost(assembly, prisms, camera.record.body_width_mm if gap is None else gap)
            lens = body.solids[1]
            reach = body.frame.point(0.0, 0.0, lens.offset + lens.shape.height)[0]
            names = tuple(p.name for p in plates)
            behind = front - reach if foremost else None
            made.append(CameraRoom(camera, body, tilt, x, z, names, gap, behind, foremost))
    return made


def in_the_way(
    assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], room: CameraRoom, record: Camera, tilt: float
) -> tuple[str, ...]:
    """Return the bodies that a camera of some class would overlap in the place of the design's own.

    Its side plates and the screws and washers of its own line are left out: they follow its width.
    """
    body = Body("", "camera", "", camera_frame(room.x, room.z, tilt), camera_solids(record), "")
    own = prisms_of_body(body)
    skipped = {room.body.name, *room.plates}
    others = [
        (b, p)
        for b in assembly.bodies
        if b.name not in skipped and b.role != "propeller" and b.owner != room.camera.equipment.id
        for p in prisms[b.name]
    ]
    boxes = np.array([p.box for _, p in others]).reshape(-1, 2, 3)
    found: dict[str, None] = {}
    for p in own:
        for other, q in (others[n] for n in np.nonzero(boxes_near(boxes, p.box))[0].tolist()):
            met = None if other.name in found else common(p, q)
            if met is not None and met.depth > 2 * CHORD:
                found[other.name] = None
    return tuple(b.name for b in assembly.bodies if b.name in found)


def _side_plates(line: Line | None) -> tuple[Instance, ...]:
    """Return the two standing plates of a camera's line, those next to it."""
    if line is None:
        return ()
    middle = next((n for n, i in enumerate(line.items) if isinstance(i.record, Camera)), None)
    if middle is None:
        return ()
    items = [(n, i.instance) for n, i in enumerate(line.items) if i.instance is not None and not i.is_access]
    before = [i for n, i in items if n < middle and i.normal == "y"]
    after = [i for n, i in items if n > middle and i.normal == "y"]
    return (before[-1], after[0]) if before and after else ()


def _gap(assembly: Assembly, plates: Sequence[Instance]) -> float | None:
    if not plates:
        return None
    faces = sorted(standing_faces(p, assembly.levels) for p in plates)
    return faces[1][0] - faces[0][1]


def _foremost(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], gap: float) -> tuple[str, float]:
    """Return the plate that reaches farthest forward beside or in front of the lens, and how far."""
    best = ("", -math.inf)
    band = gap / 2 + _BESIDE
    for instance in assembly.instances.values():
        box = prisms[instance.name][0].box
        if box[1][0] <= best[1] or box[0][1] > band or box[1][1] < -band:
            continue
        corners = prisms[instance.name][0].corners
        near = corners[np.abs(corners[:, 1]) <= band]
        if len(near) and float(near[:, 0].max()) > best[1]:
            best = instance.name, float(near[:, 0].max())
    return best
