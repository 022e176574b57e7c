"""Mass, centre of gravity and inertia of every thing, and of the frame bare, without and with its battery.

Plates are exact prisms of their outlines; screws, nuts and equipment are uniform bodies of their catalogue mass. Bands:
the density of a sheet is one unknown for the whole frame, thicknesses and bought masses are independent of one another.
Masses in t, lengths in mm, inertia in t mm^2.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Box, Cylinder, Frame3, Hexagon, Shape, Solid
from platewright.assembly.hardware import Weighed, equipment_mass, hardware_mass
from platewright.assembly.instances import Instance
from platewright.assembly.lines import Line
from platewright.foundation.units import G_PER_CM3_TO_T_PER_MM3
from platewright.geometry.loops import outline_properties
from platewright.model.catalogue.power import Battery
from platewright.model.design import Equipment

__all__ = ["MassItem", "MassTotal", "bare_lines", "mass_items", "total_mass"]

Matrix = NDArray[np.float64]


@dataclass(frozen=True)
class MassItem:
    """One thing with its mass.

    Parameters
    ----------
    name, group : str
        The thing; "plates", "hardware", "equipment" or "battery".
    bare : bool
        It belongs to the bare frame.
    mass, low, high : float
        Nominal and band [t].
    density_low, density_high : float
        Share of the band that comes from the density of the sheet [t]; 0 for bought things.
    centre : (3,) array
        Centre of gravity [mm].
    inertia : (3, 3) array
        About its own centre [t mm^2].
    """

    name: str
    group: str
    bare: bool
    mass: float
    low: float
    high: float
    density_low: float
    density_high: float
    centre: Matrix
    inertia: Matrix


@dataclass(frozen=True)
class MassTotal:
    """Mass [t] with band, centre of gravity [mm] and inertia tensor about it [t mm^2] of several things."""

    mass: float
    low: float
    high: float
    centre: Matrix
    inertia: Matrix


def mass_items(assembly: Assembly) -> tuple[MassItem, ...]:
    """Return everything that weighs, plates first."""
    bare = bare_lines(assembly)
    frames = {b.name: b.frame for b in assembly.bodies if b.role == "plate"}
    plates = [_plate(assembly, i, frames[i.name]) for i in assembly.instances.values()]
    screws = {(s.line.name, s.index): s for s in assembly.screws}
    hardware = []
    bodies = {(b.line, b.name): b for b in assembly.bodies if b.line}
    for line in assembly.lines:
        for n, item in enumerate(line.items):
            body = bodies.get((line.name, f"{line.name}#{n + 1}"))
            weighed = hardware_mass(item, screws.get((line.name, n)))
            if body is not None and weighed is not None:
                hardware.append(_body_item(body, "hardware", line.name in bare, weighed))
    return (*plates, *hardware, *_equipment(assembly))


def bare_lines(assembly: Assembly) -> frozenset[str]:
    """Return the lines whose hardware belongs to the bare frame: columns that hold two plate places or more."""
    return frozenset(
        line.name for line in assembly.lines if line.fitted and not line.is_equipment and _n_places(line) >= 2
    )


def total_mass(items: Iterable[MassItem]) -> MassTotal:
    """Mass, band, centre and inertia of several things together.

    Examples
    --------
    >>> from dataclasses import replace
    >>> a = MassItem("a", "plates", True, 1.0, 0.9, 1.1, 0.0, 0.0, np.array([1.0, 0, 0]), np.zeros((3, 3)))
    >>> both = total_mass([a, replace(a, centre=np.array([-1.0, 0, 0]))])
    >>> both.mass, float(both.inertia[1, 1]), round(both.high, 4)
    (2.0, 2.0, 2.1414)
    """
    things = list(items)
    mass = sum(i.mass for i in things)
    if mass <= 0:
        return MassTotal(0.0, 0.0, 0.0, np.zeros(3), np.zeros((3, 3)))
    masses, centres = np.array([i.mass for i in things]), np.array([i.centre for i in things])
    centre = masses @ centres / mass
    away = centres - centre
    spread = masses[:, None] * away
    moved = np.einsum("ij,ij", spread, away) * np.eye(3) - spread.T @ away
    inertia = np.sum([i.inertia for i in things], axis=0) + moved
    return MassTotal(mass, mass - _band(things, -1), mass + _band(things, 1), centre, inertia)


def _band(items: Sequence[MassItem], side: int) -> float:
    density = sum(i.density_low if side < 0 else i.density_high for i in items)
    own = [(i.mass - i.low if side < 0 else i.high - i.mass) for i in items]
    return math.sqrt(density**2 + sum(v * v for v in own))


def _n_places(line: Line) -> int:
    return sum(1 for i in line.items if i.instance is not None and not i.is_access)


def _plate(assembly: Assembly, instance: Instance, frame: Frame3) -> MassItem:
    part = instance.part
    figure = assembly.parts[part.id].figure
    density = assembly.catalogue.laminate(part.material).density_g_cm3
    low, high = density.band
    t = part.thickness_mm
    mass = figure.area * t * density.typical * G_PER_CM3_TO_T_PER_MM3
    share = assembly.catalogue.thickness_tolerance_mm(t) / t
    scale = mass / figure.area
    ixx, iyy, ixy = scale * figure.ixx, scale * figure.iyy, scale * figure.ixy
    own = np.diag([ixx, iyy, ixx + iyy]) + mass * t**2 / 12 * np.diag([1.0, 1.0, 0.0])
    own[0, 1] = own[1, 0] = -ixy
    axes = _axes(frame)
    return MassItem(
        instance.name,
        "plates",
        True,
        mass,
        mass * (1 - share),
        mass * (1 + share),
        mass * (1 - low / density.typical),
        mass * (high / density.typical - 1),
        np.array(frame.point(figure.cx, figure.cy, t / 2)),
        axes @ own @ axes.T,
    )


def _equipment(assembly: Assembly) -> list[MassItem]:
    made: list[MassItem] = []
    by_key: dict[tuple[str, str], list[Body]] = {}
    for body in assembly.bodies:
        by_key.setdefault((body.owner, body.key), []).append(body)
    for equipment in assembly.design.equipment:
        if not equipment.fitted:
            continue
        for role, record_id in equipment.use.items():
            record = assembly.catalogue.find(record_id)[0]
            weighed = equipment_mass(equipment, role, record, assembly.catalogue)
            if weighed is None:
                continue
            group = "battery" if isinstance(record, Battery) else "equipment"
            bodies = by_key.get((equipment.id, f"{equipment.id}.{role}"), [])
            made += [_body_item(b, group, False, weighed) for b in bodies]
            if not bodies:
                made.append(_point_item(assembly, equipment, role, group, weighed))
    return made


def _point_item(assembly: Assembly, equipment: Equipment, role: str, group: str, weighed: Weighed) -> MassItem:
    """Weigh a thing without a body, such as a strap: at its point, at the height of what carries it."""
    x, y = float(equipment.at_mm[0]), float(equipment.at_mm[1])
    name = equipment.on or next(iter(equipment.through), None)
    plates = [b for b in assembly.bodies if b.role == "plate" and b.owner == name]
    z = plates[0].frame.origin[2] if plates else 0.0
    return MassItem(
        f"{equipment.id}.{role}",
        group,
        False,
        weighed.mass,
        weighed.low,
        weighed.high,
        0.0,
        0.0,
        np.array([x, y, z]),
        np.zeros((3, 3)),
    )


def _body_item(body: Body, group: str, bare: bool, weighed: Weighed) -> MassItem:
    """Spread a mass over the solids of a body in proportion to their volumes."""
    middle, per_mass = _uniform(body.solids)
    own = weighed.mass * per_mass
    axes = _axes(body.frame)
    centre = np.array(body.frame.point(0.0, 0.0, middle))
    return MassItem(
        body.name, group, bare, weighed.mass, weighed.low, weighed.high, 0.0, 0.0, centre, axes @ own @ axes.T
    )


@lru_cache(maxsize=1024)  # by content: screws and nuts come in dozens
def _uniform(solids: tuple[Solid, ...]) -> tuple[float, Matrix]:
    """Height of the centre of some solids of one density [mm], and inertia about it per unit of mass [mm^2]."""
    volumes = [_volume(s.shape) for s in solids]
    shares = [v / sum(volumes) for v in volumes]
    heights = [s.offset + s.shape.height / 2 for s in solids]
    middle = sum(m * h for m, h in zip(shares, heights, strict=True))
    own = np.zeros((3, 3))
    for solid, share, height in zip(solids, shares, heights, strict=True):
        own += share * (_shape_inertia(solid.shape) + _parallel(np.array([0.0, 0.0, height - middle])))
    own.setflags(write=False)
    return middle, own


def _volume(shape: Shape) -> float:
    if isinstance(shape, Box):
        return shape.length * shape.width * shape.height
    if isinstance(shape, Cylinder):
        return math.pi * (shape.radius**2 - shape.bore**2) * shape.height
    if isinstance(shape, Hexagon):
        return (math.sqrt(3) / 2 * shape.across_flats**2 - math.pi * shape.bore**2) * shape.height
    return outline_properties(shape.outline).area * shape.height


def _shape_inertia(shape: Shape) -> Matrix:
    """Inertia per unit of mass about the shape's own centre [mm^2]; a hexagon as the circle of its area."""
    h = shape.height**2 / 12
    if isinstance(shape, Box):
        a, b = shape.length**2 / 12, shape.width**2 / 12
        return np.diag([b + h, a + h, a + b])
    if isinstance(shape, Cylinder | Hexagon):
        radius2 = shape.radius**2 if isinstance(shape, Cylinder) else math.sqrt(3) / 2 * shape.across_flats**2 / math.pi
        side = (radius2 + shape.bore**2) / 4
        return np.diag([side + h, side + h, 2 * side])
    figure = outline_properties(shape.outline)
    a, b, c = figure.ixx / figure.area, figure.iyy / figure.area, figure.ixy / figure.area
    own = np.diag([a + h, b + h, a + b])
    own[0, 1] = own[1, 0] = -c
    return own


def _axes(frame: Frame3) -> Matrix:
    return np.column_stack([frame.u, frame.v, frame.n])


def _parallel(offset: Matrix) -> Matrix:
    moved: Matrix = np.dot(offset, offset) * np.eye(3) - np.outer(offset, offset)
    return moved
