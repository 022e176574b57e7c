"""What a camera sees of its own craft: propeller discs, plates and the rest, as shares of the image.

The eye is the middle of the lens's front. Image coordinates are in half widths of the image, x to the right and y up.
A *fisheye* image is equidistant, r = angle / (half the field of view); a *rectilinear* one is that of a pinhole,
r = tan(angle) / tan(half the field of view). Lengths in mm, angles in rad.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body
from platewright.fit.rays import first_hits
from platewright.fit.solids import Prism
from platewright.fit.things import Fitted, fitted
from platewright.geometry.curves import Bools, Floats
from platewright.model.catalogue.electronics import ActionCamera, Camera, CameraView

__all__ = ["PROJECTIONS", "Eye", "Seen", "eyes_of", "seen_by"]

PROJECTIONS = ("fisheye", "rectilinear")
_ASPECT = {"4:3": 3 / 4, "16:9": 9 / 16}
_COLUMNS = 48  # of the grid of rays: one for every 2.6 degrees of a wide view


@dataclass(frozen=True)
class Eye:
    """A camera in place.

    Parameters
    ----------
    camera : str
        The body it belongs to.
    view : str
        Name of the catalogue's view.
    point : (3,) float [mm]
        Middle of the lens's front.
    axes : (3, 3) float
        Rows: right, up, forward; unit vectors.
    half_angle : float
        Half of the horizontal field of view [rad].
    tolerance : float
        Of the whole field of view, plus or minus [rad].
    aspect : float
        Height of the image over its width [-].
    projection : str
        "fisheye" or "rectilinear".

    Examples
    --------
    >>> pinhole = Eye("", "", np.zeros(3), np.eye(3), math.pi / 4, 0.0, 0.75, "rectilinear")
    >>> round(math.degrees(pinhole.half_height_angle), 2)
    36.87
    """

    camera: str
    view: str
    point: Floats
    axes: Floats
    half_angle: float
    tolerance: float
    aspect: float
    projection: str

    @property
    def half_height_angle(self) -> float:
        """Half of the vertical field of view [rad]."""
        return self.angle(self.aspect)

    def angle(self, radius: float) -> float:
        """Return the angle from the axis at a distance from the middle of the image [rad]."""
        if self.projection == "fisheye":
            return radius * self.half_angle
        return math.atan(radius * math.tan(self.half_angle))

    def ways(self, x: Floats, y: Floats) -> Floats:
        """Return the directions of points of the image, (n, 3)."""
        radius = np.hypot(x, y)
        if self.projection == "fisheye":
            angle = radius * self.half_angle
        else:
            angle = np.arctan(radius * math.tan(self.half_angle))
        side = np.sin(angle) / np.where(radius > 0, radius, 1.0)
        made: Floats = np.stack([side * x, side * y, np.cos(angle)], axis=-1) @ self.axes
        return made

    def project(self, points: Floats) -> Floats:
        """Return where points in front of the eye [mm] lie in the image, (n, 2)."""
        right, up, forward = ((points - self.point) @ self.axes.T).T
        beside = np.hypot(right, up)
        if self.projection == "fisheye":
            radius = np.arctan2(beside, forward) / self.half_angle
        else:
            radius = beside / np.maximum(forward, 1e-9) / math.tan(self.half_angle)
        scale = radius / np.where(beside > 0, beside, 1.0)
        return np.stack([scale * right, scale * up], axis=-1)

    def as_seen(self, projection: str) -> Eye:
        """Return the same eye with another projection."""
        return replace(self, projection=projection)


@dataclass(frozen=True)
class Seen:
    """Shares of an image [-].

    Parameters
    ----------
    eye : Eye
        The camera.
    propellers : float
        Taken by discs with nothing in front of them.
    body : float
        Taken by everything else; turning propellers are seen through.
    either : float
        Taken by one or the other.
    owners : mapping
        By what the things belong to, the largest first.
    """

    eye: Eye
    propellers: float
    body: float
    either: float
    owners: Mapping[str, float]


def eyes_of(assembly: Assembly) -> list[Eye]:
    """Return the eyes of all cameras of a design, flight cameras first.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    """
    cameras: list[Fitted[Camera] | Fitted[ActionCamera]] = [*fitted(assembly, Camera), *fitted(assembly, ActionCamera)]
    made = []
    for camera in cameras:
        view = assembly.catalogue.get(CameraView, camera.record.view)
        for body in camera.bodies:
            point, forward = _front(body, isinstance(camera.record, Camera))
            right = np.cross(forward, (0.0, 0.0, 1.0))
            right /= np.linalg.norm(right)
            axes = np.array([right, np.cross(right, forward), forward])
            half = math.radians(view.field_of_view_h_deg) / 2
            tolerance, aspect = math.radians(view.tolerance_deg), _ASPECT[view.aspect]
            made.append(Eye(body.name, view.id, point, axes, half, tolerance, aspect, view.projection))
    return made


def seen_by(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], eye: Eye, columns: int = _COLUMNS) -> Seen:
    """Return what takes which share of an image, by an even grid of rays.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    eye : Eye
        From `eyes_of`.
    columns : int
        Rays in a row of the image.
    """
    rows = max(round(columns * eye.aspect), 1)
    x = (2 * np.arange(columns) + 1) / columns - 1
    y = eye.aspect * ((2 * np.arange(rows) + 1) / rows - 1)
    across, up = (grid.ravel() for grid in np.meshgrid(x, y))
    ways = eye.ways(across, up)
    solids = [
        (body, p, body.role == "propeller" and n == 1)
        for body in assembly.bodies
        if body.name != eye.camera
        for n, p in enumerate(prisms[body.name])
    ]
    seen = _may_be_seen(eye, np.array([p.box for _, p, _ in solids]).reshape(-1, 2, 3)).tolist()
    solids = [row for row, is_seen in zip(solids, seen, strict=True) if is_seen]
    discs, rest = ([(b, p) for b, p, is_disc in solids if is_disc is wanted] for wanted in (True, False))
    disc, disc_far = first_hits([p for _, p in discs], eye.point, ways)
    other, other_far = first_hits([p for _, p in rest], eye.point, ways)
    disc = np.where(disc_far < other_far, disc, -1)
    owners: dict[str, float] = {}
    for number, group in ((disc, discs), (other, rest)):
        for n, count in zip(*np.unique(number[number >= 0], return_counts=True), strict=True):
            owner = group[int(n)][0].owner
            owners[owner] = owners.get(owner, 0.0) + float(count) / len(ways)
    return Seen(
        eye,
        float(np.mean(disc >= 0)),
        float(np.mean(other >= 0)),
        float(np.mean((disc >= 0) | (other >= 0))),
        dict(sorted(owners.items(), key=lambda row: -row[1])),
    )


def _front(body: Body, with_lens: bool) -> tuple[Floats, Floats]:
    """Middle of the front of a camera, and where it looks."""
    if with_lens:
        lens = body.solids[1]
        return np.array(body.frame.point(0.0, 0.0, lens.offset + lens.shape.height)), np.array(body.frame.n)
    box = body.solids[0].shape  # a recording camera stands on its frame: it looks along its first axis
    length = getattr(box, "length", 0.0)
    return np.array(body.frame.point(length / 2, 0.0, box.height / 2)), np.array(body.frame.u)


def _may_be_seen(eye: Eye, boxes: Floats) -> Bools:
    """Return which boxes, (n, 2, 3), may reach into the cone about the image's corners, by the spheres about them."""
    middle, half = boxes.mean(axis=1) - eye.point, np.linalg.norm(boxes[:, 1] - boxes[:, 0], axis=1) / 2
    away = np.maximum(np.linalg.norm(middle, axis=1), 1e-9)
    corner = eye.angle(math.hypot(1.0, eye.aspect))
    off_axis = np.arccos(np.clip(middle @ eye.axes[2] / away, -1.0, 1.0))
    seen: Bools = (away <= half) | (off_axis - np.arcsin(np.minimum(half / away, 1.0)) < corner)
    return seen
