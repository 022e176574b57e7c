"""A battery in its place: what it lies on, its straps, its share of the inertia, and what can hurt it.

A pack lies on the level plates under its face; with a pad (the third value of its place) it does not touch them. Its
leads leave at the middle of one end: that nearer to the connector of the frame, else the rear one. Lengths in mm,
masses in t, angles in rad.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Box
from platewright.assembly.mass import MassItem, total_mass
from platewright.fit.discs import Disc
from platewright.fit.proximity import box_gap, distance
from platewright.fit.solids import Prism
from platewright.fit.things import Fitted, connector_point, fitted
from platewright.geometry.curves import Floats
from platewright.model.catalogue.hardware import Strap
from platewright.model.catalogue.power import Battery

__all__ = [
    "Hazard",
    "LeadReach",
    "Pack",
    "StrapPath",
    "balance_reach",
    "hazards",
    "inertia_shares",
    "packs_of",
    "power_reach",
    "strap_paths",
    "taut_length",
]

_LEVEL = 0.999  # cosine of the angle up to which two faces are parallel
_FACE = 0.6  # how much nearer than the pad a face may be, for bowed and tilted plates [mm]
_RINGS, _TURNS = 12, 72  # points of a disc at which a lead may meet it


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
class StrapPath:
    """A strap round a pack: its way from slot to slot and back, and the longest it is sold in [mm]."""

    strap: Fitted[Strap]
    length: float
    longest: float

    @property
    def spare(self) -> float:
        """What is left to close it with [mm]."""
        return self.longest - self.length


@dataclass(frozen=True)
class Hazard:
    """Something hard near a pack: "tip", "nut" or "edge", and how far from it [mm]."""

    pack: Pack
    body: Body
    kind: str
    gap: float


@dataclass(frozen=True)
class LeadReach:
    """How far a lead of a pack stays from the nearest disc: negative by how much it reaches into it [mm].

    `rest` is the distance of the lead as it lies, `gap` that of the farthest it can stand out once tied, `loose` that
    of the whole lead, not tied at all; `lacks` is what a power lead lacks to its connector.
    """

    pack: Pack
    lead: str
    disc: Disc
    rest: float
    gap: float
    loose: float
    lacks: float


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


def strap_paths(assembly: Assembly, pack: Pack) -> list[StrapPath]:
    """Return the straps that go round a pack: those whose slots lie beside it.

    Notes
    -----
    A taut strap follows the convex hull of the pack's section and its two slots, and its own middle line lies half its
    thickness outside: that adds pi times half the thickness twice.
    """
    made = []
    for strap in fitted(assembly, Strap):
        e = strap.equipment
        if e.spacing_mm is None:
            continue
        frame = pack.body.frame
        away = np.array([float(e.at_mm[0]), float(e.at_mm[1]), frame.origin[2]]) - frame.origin
        along, aside = float(away @ frame.u), float(away @ frame.v)
        if abs(along) > pack.length / 2 or abs(aside) > pack.width / 2 or strap.equipment.face != _face(pack):
            continue
        plates = [i for i in assembly.instances.values() if i.place.id in e.through]
        thickness = max((i.part.thickness_mm for i in plates), default=0.0)
        turn = math.radians(e.turn_deg) - math.atan2(frame.u[1], frame.u[0])
        across = abs(pack.width * math.cos(turn)) + abs(pack.length * math.sin(turn))
        own = sum(strap.record.thickness_range_mm) / 2
        path = taut_length(across, pack.height, pack.pad, e.spacing_mm, thickness, aside) + math.pi * own
        made.append(StrapPath(strap, path, max(strap.record.lengths_mm)))
    return made


def taut_length(width: float, height: float, pad: float, spacing: float, thickness: float, aside: float = 0.0) -> float:
    """Return the length of a thin strap drawn round a pack and through two slots of its plate [mm].

    Parameters
    ----------
    width, height : float
        Of the pack's section [mm].
    pad : float
        Between pack and plate [mm].
    spacing : float
        Between the two slots, middle to middle [mm].
    thickness : float
        Of the plate [mm].
    aside : float
        How far the middle of the slots lies beside the middle of the pack [mm].

    Examples
    --------
    >>> taut_length(40, 30, 0, 40, 0)
    140.0
    """
    half, slot = width / 2, spacing / 2
    points = [(-half, pad), (half, pad), (half, pad + height), (-half, pad + height)]
    points += [(aside - slot, -thickness), (aside + slot, -thickness)]
    return float(shapely.length(shapely.boundary(shapely.convex_hull(shapely.multipoints(points)))))


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
    for body in assembly.bodies:
        for kind, prism in _hard(body, prisms[body.name], own):
            if box_gap(prism.box, own.box) >= limit:
                continue
            gap = distance(own, prism, limit)
            if gap < limit - 1e-6:
                found.append(Hazard(pack, body, kind, gap))
    return found


def balance_reach(
    assembly: Assembly, pack: Pack, discs: Sequence[Disc], length: float, tied: float
) -> LeadReach | None:
    """Return how far a balance lead, folded back under the strap, stays from the nearest disc; None without discs.

    Notes
    -----
    What stands out of a tied lead is a loop, held at both ends: it reaches half its own length away.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    pack : Pack
        The battery.
    discs : sequence of Disc
        All discs.
    length, tied : float
        Of the whole lead, and of the loop that stands out once it is tied [mm].
    """
    exits = _exits(assembly, pack)
    gaps = [(float(disc.prism().gap(exits).min()), disc) for disc in discs]
    if not gaps:
        return None
    gap, disc = min(gaps, key=lambda row: row[0])
    return LeadReach(pack, "balance lead", disc, gap, gap - tied / 2, gap - length, 0.0)


def power_reach(assembly: Assembly, pack: Pack, discs: Sequence[Disc], length: float, slack: float) -> LeadReach | None:
    """Return how far a power lead, held at the pack and at the frame's connector, stays from the nearest disc.

    Notes
    -----
    A lead bends, it does not kink: longer by s than its chord d, it bows out by b = sqrt(3 d s / 8), the sagitta of a
    flat arc. It may bow to any side, within a spindle of half axis b about the chord. None without discs or connector.

    Parameters
    ----------
    assembly, pack, discs
        As in `balance_reach`.
    length : float
        Of the whole lead [mm].
    slack : float
        By which it is longer than the straight line between both ends once it is tied [mm].
    """
    plug = connector_point(assembly)
    if plug is None or not discs:
        return None
    start = _exits(assembly, pack).mean(axis=0)
    direct = float(np.linalg.norm(plug - start))
    tied, loose = (math.sqrt(3 * direct * extra / 8) for extra in (slack, max(length - direct, 0.0)))
    gaps = [[_spindle_gap(_disc_points(d), start, plug, bow) for bow in (0.0, tied, loose)] for d in discs]
    nearest = min(range(len(discs)), key=lambda n: gaps[n][1])
    rest, gap, untied = gaps[nearest]
    return LeadReach(pack, "power lead", discs[nearest], rest, gap, untied, max(direct - length, 0.0))


def _face(pack: Pack) -> str:
    return "bottom" if pack.underneath else "top"


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


def _exits(assembly: Assembly, pack: Pack) -> Floats:
    """Both sides of the end at which a pack's leads leave, at half its height."""
    ends = [
        [pack.body.frame.point(s * pack.length / 2, t * pack.width / 4, pack.height / 2) for t in (-1, 1)]
        for s in (-1, 1)
    ]
    plug = connector_point(assembly)
    target = np.array([-1e6, 0.0, 0.0]) if plug is None else plug
    return min((np.array(end) for end in ends), key=lambda end: float(np.linalg.norm(end.mean(axis=0) - target)))


def _spindle_gap(points: Floats, start: Floats, end: Floats, half: float) -> float:
    """Least distance of points from an ellipsoid about the line from start to end, measured across it [mm]."""
    chord = end - start
    size = float(np.linalg.norm(chord))
    along = (points - start) @ chord / max(size, 1e-9) ** 2
    aside = np.linalg.norm(points - start - np.clip(along, 0.0, 1.0)[:, None] * chord, axis=1)
    bow = half * np.sqrt(np.clip(1.0 - (2 * along - 1.0) ** 2, 0.0, None))
    return float((aside - bow).min())


def _disc_points(disc: Disc) -> Floats:
    """Points of the room of a disc's blades, upper and lower face."""
    radii = disc.diameter / 2 * np.sqrt(np.linspace(0.1, 1.0, _RINGS))
    turns = np.linspace(0.0, 2 * math.pi, _TURNS, endpoint=False)
    x = disc.x + np.outer(radii, np.cos(turns)).ravel()
    y = disc.y + np.outer(radii, np.sin(turns)).ravel()
    half = disc.half_height()
    return np.concatenate([np.stack([x, y, np.full_like(x, disc.z + s * half)], axis=-1) for s in (-1.0, 0.0, 1.0)])
