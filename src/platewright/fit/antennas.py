"""Antennas: what their tubes clear, what conducts beside them, what stands in their lines of sight; sky over a GPS.

Straight rays from the middle of what radiates, spread evenly over the sphere: geometry only, neither diffraction nor
reflection. What stands in the way is carbon, packs and metal large beside a wave: plates, batteries, motors, boards,
cameras and standoffs; screws and nuts are left out, and so are turning propellers. Lengths in mm, frame axes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body
from platewright.fit.carbon import NearCarbon, nearest_carbon
from platewright.fit.loose import Near, nearest
from platewright.fit.rays import Fan, blocked_share, directions_about, first_hits_of
from platewright.fit.solids import Prism
from platewright.fit.things import Fitted, fitted
from platewright.geometry.curves import Bools, Floats
from platewright.model.catalogue.electronics import Antenna, Board

__all__ = ["N_DIRECTIONS", "AntennaPlace", "Shadow", "Sky", "antenna_places", "middle_of", "shadow", "skies"]

N_DIRECTIONS = 600  # over the whole sphere
_OPAQUE = frozenset(("plate", "battery", "motor", "board", "camera", "standoff"))


@dataclass(frozen=True)
class Shadow:
    """What hides an antenna.

    Parameters
    ----------
    antenna : str
        Body.
    all_round, behind, below : float
        Share of all directions, of those of the rear hemisphere, and of those of the lower one, that are hidden [-].
    owners : mapping
        What is met first, with its share of all directions [-]; the largest first.
    """

    antenna: str
    all_round: float
    behind: float
    below: float
    owners: Mapping[str, float]


@dataclass(frozen=True)
class AntennaPlace:
    """An antenna in its place.

    Parameters
    ----------
    antenna : Fitted of Antenna
        What it is.
    body : Body
        Where it is: its stem, then what radiates.
    active : Prism
        What radiates.
    clears : Near or None
        The nearest plate beside those that carry it or that it goes through.
    carbon : NearCarbon or None
        The plate of carbon nearest to what radiates, whichever it is.
    pack : Near or None
        The battery nearest to what radiates.
    shadow : Shadow
        What hides it.
    """

    antenna: Fitted[Antenna]
    body: Body
    active: Prism
    clears: Near | None
    carbon: NearCarbon | None
    pack: Near | None
    shadow: Shadow

    @property
    def span(self) -> tuple[float, float]:
        """Lowest and highest point of what radiates [mm]."""
        return float(self.active.box[0, 2]), float(self.active.box[1, 2])


@dataclass(frozen=True)
class Sky:
    """The share of the upper hemisphere that a receiver of satellites sees [-]."""

    receiver: str
    free: float


def antenna_places(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> tuple[AntennaPlace, ...]:
    """Return every antenna of a frame in its place, in the order of the design.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    """
    antennas = list(fitted(assembly, Antenna))
    if not antennas:
        return ()
    solid, owners = _opaque(assembly, prisms)
    packs = [b for b in assembly.bodies if b.role == "battery"]
    middles = {body.name: middle_of(prisms[body.name][-1:]) for antenna in antennas for body in antenna.bodies}
    shadows = _shadows(middles, solid, owners)
    made = []
    for antenna in antennas:
        carries = {antenna.equipment.on, *antenna.equipment.through}
        own = {i.name for i in assembly.instances.values() if i.place.id in carries}
        plates = [b for b in assembly.bodies if b.role == "plate" and b.name not in own]
        for body in antenna.bodies:
            active = prisms[body.name][-1]
            made.append(
                AntennaPlace(
                    antenna,
                    body,
                    active,
                    nearest(body, prisms, plates),
                    nearest_carbon(assembly, prisms, body.name, (active,)),
                    nearest(body, prisms, packs, last=True),
                    shadows[body.name],
                )
            )
    return tuple(made)


def shadow(antenna: str, place: Floats, prisms: Sequence[Prism], owners: Sequence[str]) -> Shadow:
    """Return what hides one antenna.

    Parameters
    ----------
    antenna : str
        What to call it.
    place : (3,) float [mm]
        Its middle.
    prisms : sequence of Prism
        What may stand in the way.
    owners : sequence of str
        To whom each of them belongs.

    Examples
    --------
    >>> from platewright.assembly.bodies import Box, Frame3
    >>> from platewright.fit.solids import prism_of
    >>> floor = prism_of(Box(1e6, 1e6, 1), Frame3((0, 0, -11)))
    >>> found = shadow("whip", np.zeros(3), [floor], ["deck"])
    >>> round(found.all_round, 2), round(found.below, 2)
    (0.5, 1.0)
    """
    return _shadows({antenna: place}, prisms, owners)[antenna]


def skies(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> tuple[Sky, ...]:
    """Return the free sky over the top of everything that needs it.

    Parameters
    ----------
    assembly, prisms
        As in `antenna_places`.
    """
    ways = directions_about((0.0, 0.0, 1.0), math.pi / 2, N_DIRECTIONS // 2)
    found = []
    for thing in fitted(assembly, Board):
        for body in thing.bodies if thing.record.sky_view_needed else ():
            own = prisms[body.name]
            place = middle_of(own)
            place[2] = max(float(p.box[1, 2]) for p in own)
            others, _ = _opaque(assembly, prisms, but=body)
            found.append(Sky(body.name, 1.0 - blocked_share(others, place, ways)))
    return tuple(found)


def middle_of(prisms: Sequence[Prism]) -> Floats:
    """Return the middle of the box about some prisms [mm]."""
    boxes = np.array([p.box for p in prisms])
    middle: Floats = (boxes[:, 0].min(axis=0) + boxes[:, 1].max(axis=0)) / 2
    return middle


def _shadows(places: Mapping[str, Floats], prisms: Sequence[Prism], owners: Sequence[str]) -> dict[str, Shadow]:
    """Return what hides each of some antennas by its name."""
    ways = directions_about((0.0, 0.0, 1.0), math.pi, N_DIRECTIONS)
    found = {}
    hits = first_hits_of([Fan(prisms, place, ways) for place in places.values()]) if places else []
    for antenna, (number, _) in zip(places, hits, strict=True):
        hidden: Bools = number >= 0
        counts: dict[str, int] = {}
        for n in number[hidden].tolist():
            counts[owners[n]] = counts.get(owners[n], 0) + 1
        ranked = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
        found[antenna] = Shadow(
            antenna,
            float(hidden.mean()),
            float(hidden[ways[:, 0] < 0].mean()),
            float(hidden[ways[:, 2] < 0].mean()),
            {owner: count / len(ways) for owner, count in ranked},
        )
    return found


def _opaque(
    assembly: Assembly, prisms: Mapping[str, Sequence[Prism]], but: Body | None = None
) -> tuple[list[Prism], list[str]]:
    """Return the prisms that hide, and to whom each belongs."""
    pairs = [(p, b.owner) for b in assembly.bodies if b.role in _OPAQUE and b is not but for p in prisms[b.name]]
    return [p for p, _ in pairs], [owner for _, owner in pairs]
