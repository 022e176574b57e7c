"""A battery in its place: what it lies on, its share of the inertia, and what can hurt it.

A pack lies on the level plates under its face; with a pad (the third value of its place) it does not touch them.
Lengths in mm, masses in t.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Box
from platewright.assembly.mass import MassItem, total_mass
from platewright.fit.proximity import box_gap, boxes_near, distance
from platewright.fit.solids import Prism
from platewright.fit.things import Fitted, fitted
from platewright.geometry.curves import Floats
from platewright.model.catalogue.power import Battery

__all__ = ["Hazard", "Pack", "hazards", "inertia_shares", "packs_of"]

_LEVEL = 0.999  # cosine of the angle up to which two faces are parallel
_FACE = 0.6  # how much nearer than the pad a face may be, for bowed and tilted plates [mm]


@dataclass(frozen=True)
class Pack:
    """A battery in its place.

    Parameters
    ----------
    battery : Fitted of Battery
        What it is.
    body : Body
        Where it is; its third axis points away from what carries it.
    length, width, height : float
        Along its own axes [mm].
    pad : float
        Between its face and the plate that carries it [mm].
    underneath : bool
        It hangs under its plate.
    bearing : tuple of str
        Level plates its face looks at, nearest first.
    borne : float
        Share of its face over plate [-].
    """

    battery: Fitted[Battery]
    body: Body
    length: float
    width: float
    height: float
    pad: float
    underneath: bool
    bearing: tuple[str, ...]
    borne: float

    @property
    def span(self) -> tuple[float, float]:
        """Lowest and highest point of its middle line [mm]."""
        ends = [self.body.frame.point(0.0, 0.0, c)[2] for c in (0.0, self.height)]
        return min(ends), max(ends)


@dataclass(frozen=True)
class Hazard:
    """Something hard near a pack: "tip", "nut" or "edge", and how far from it [mm]."""

    pack: Pack
    body: Body
    kind: str
    gap: float


def packs_of(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> list[Pack]:
    """Return all batteries of a design.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    """
    made = []
    for battery in fitted(assembly, Battery):
        place = battery.equipment.at_mm
        pad = float(place[2]) if len(place) > 2 else 0.0
        for body in battery.bodies:
            box = body.solids[0].shape
            assert isinstance(box, Box)
            bearing, borne = _bearing(assembly, prisms, body, pad)
            sizes = box.length, box.width, box.height
            made.append(Pack(battery, body, *sizes, pad, body.frame.n[2] < 0, bearing, borne))
    return made


def inertia_shares(items: Sequence[MassItem], pack: Pack) -> tuple[float, float, float]:
    """Return the share of a pack in each principal inertia of the whole, about the axes nearest to x, y and z [-].

    Parameters
    ----------
    items : sequence of MassItem
        Everything that weighs.
    pack : Pack
        The battery.
    """
    total = total_mass(items)
    own = next((i for i in items if i.name == pack.body.name), None)
    if own is None or total.mass <= 0:
        return 0.0, 0.0, 0.0
    offset = own.centre - total.centre
    tensor = own.inertia + own.mass * (np.dot(offset, offset) * np.eye(3) - np.outer(offset, offset))
    values, vectors = np.linalg.eigh(total.inertia)
    shares = [float(vectors[:, k] @ tensor @ vectors[:, k] / values[k]) for k in range(3)]
    left, order = [0, 1, 2], []
    for axis in range(3):
        k = max(left, key=lambda n, axis=axis: abs(vectors[axis, n]))  # type: ignore[misc]
        left.remove(k)
        order.append(shares[k])
    return order[0], order[1], order[2]


def hazards(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], pack: Pack, limit: float) -> list[Hazard]:
    """Return screw tips, nuts and plate edges that come nearer to a pack than a limit.

    The flat face of a plate is no hazard, nor is a head: a pad lies on both.

    Parameters
    ----------
    assembly, prisms
        As in `packs_of`.
    pack : Pack
        The battery.
    limit : float
        Least distance [mm].
    """
    own = prisms[pack.body.name][0]
    found = []
    near = boxes_near(np.array([p.box for b in assembly.bodies for p in prisms[b.name]]), own.box, limit).tolist()
    for body in assembly.bodies:
        solids = prisms[body.name]
        is_near, near = near[: len(solids)], near[len(solids) :]
        for kind, prism in _hard(body, solids, own) if any(is_near) else ():
            if box_gap(prism.box, own.box) >= limit:
                continue
            gap = distance(own, prism, limit)
            if gap < limit - 1e-6:
                found.append(Hazard(pack, body, kind, gap))
    return found


def _bearing(
    assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], body: Body, pad: float
) -> tuple[tuple[str, ...], float]:
    """Return the plates whose faces lie under a pack's face at its pad, and the share of that face over them."""
    own = prisms[body.name][0]
    shares = []
    for instance in assembly.instances.values():
        plate = prisms[instance.name][0]
        if instance.normal != "z" or box_gap(plate.box, own.box) > pad + 2 * _FACE:
            continue
        if abs(_top_under(plate, own) + pad) > _FACE:
            continue
        ring = shapely.polygons(np.stack([own.section.corners.real, own.section.corners.imag], -1))
        seen = _seen_from(plate, own)
        share = float(shapely.intersection(ring, seen).area / ring.area)
        if share > 1e-4:
            shares.append((share, instance.name))
    names = tuple(name for _, name in sorted(shares, reverse=True))
    return names, min(sum(share for share, _ in shares), 1.0)


def _top_under(plate: Prism, own: Prism) -> float:
    """Height of a plate's nearer face in the pack's own axes, at the pack's origin [mm]."""
    (flat,), _ = plate.local(own.origin[None])
    ends = np.array([plate.point(complex(flat), h) for h in (plate.low, plate.high)])
    return float(((ends - own.origin) @ own.axes[2]).max())


def _seen_from(plate: Prism, own: Prism) -> shapely.Geometry:
    """Return a plate's section in the pack's plane."""

    def move(points: Floats) -> Floats:
        world = plate.origin + points @ plate.axes[:2] + plate.high * plate.axes[2]
        flat, _ = own.local(world)
        return np.stack([flat.real, flat.imag], axis=-1)

    return shapely.make_valid(shapely.transform(plate.section.polygon, move))


def _hard(body: Body, solids: Sequence[Prism], pack: Prism) -> Iterator[tuple[str, Prism]]:
    """Yield what of a body is hard and pointed or edged towards a pack."""
    if body.role == "nut":
        yield "nut", solids[0]
    elif (body.role == "screw" and len(solids) > 1) or (body.role == "standoff" and len(solids) > 1):
        if _points_at(solids[0], solids[1], pack):
            yield "tip", solids[1]
    elif body.role == "plate" and not _is_face(solids[0], pack):
        yield "edge", solids[0]


def _points_at(head: Prism, shank: Prism, pack: Prism) -> bool:
    """Whether a screw's tip, not its head, is the end nearer to a pack."""
    middle = pack.point(0j, (pack.low + pack.high) / 2)
    body = (head.low + head.high) / 2
    tip = shank.high if shank.high > head.high else shank.low
    ends = [shank.origin + height * shank.axes[2] for height in (tip, body)]
    across = pack.axes[2]
    apart = [abs(float((end - middle) @ across)) for end in ends]
    return apart[0] < apart[1] or abs(apart[0] - apart[1]) < 1e-6


def _is_face(plate: Prism, pack: Prism) -> bool:
    """Whether a pack looks at a plate's flat face: parallel, and wholly under or over it."""
    if abs(float(plate.axes[2] @ pack.axes[2])) < _LEVEL:
        return False
    nearer = _top_under(plate, pack)
    return nearer <= _FACE or nearer - (plate.high - plate.low) >= pack.high - _FACE
