"""Propeller discs against each other and against everything else, and the largest propeller that fits each rotor.

A disc is a flat cylinder at the motor's seat, made higher both ways by what its blades flap and by the tolerance of the
seat. Distances are in space, so a disc may overlap another in plan when both stand far enough apart in height. What
belongs to the disc's own rotor (motor, nut, hub, screws of the motor) is left out. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Cylinder, Frame3
from platewright.fit.disc_field import DiscField
from platewright.fit.engaged import rotor_of
from platewright.fit.soft_bodies import NO_SOFT_BODIES, SoftBodies
from platewright.fit.solids import Prism, prism_of
from platewright.model.catalogue.power import Motor, Propeller

__all__ = [
    "BodyGap",
    "Disc",
    "DiscGap",
    "Limit",
    "body_gaps",
    "disc_gaps",
    "discs_of",
    "largest_propellers",
    "propeller_sizes",
]

_MM_PER_IN = 25.4
_LARGEST = 1000.0  # nothing larger is looked for [mm]
_EXACT = 1e-4  # to which a largest diameter is found [mm]


@dataclass(frozen=True)
class Disc:
    """A turning propeller.

    Parameters
    ----------
    rotor : int
        Number of its rotor.
    body : Body
        Its body.
    x, y, z : float
        Middle of the disc [mm].
    diameter, thickness : float
        As it is drawn, at rest [mm].
    flap_per_mm : float
        How far the tips move up or down, per mm of diameter [-].
    seat_tolerance : float
        Of the height of the motor's seat [mm].
    """

    rotor: int
    body: Body
    x: float
    y: float
    z: float
    diameter: float
    thickness: float
    flap_per_mm: float
    seat_tolerance: float

    @property
    def middle(self) -> tuple[float, float, float]:
        """Its middle [mm]."""
        return self.x, self.y, self.z

    def half_height(self, diameter: float | None = None) -> float:
        """Half of the height that its blades may pass through, for some diameter or its own [mm]."""
        return self.thickness / 2 + self.flap_per_mm * (diameter or self.diameter) + self.seat_tolerance

    def prism(self, diameter: float | None = None) -> Prism:
        """Return the room that its blades may pass through, for some diameter or its own [mm]."""
        half = self.half_height(diameter)
        shape = Cylinder((diameter or self.diameter) / 2, 2 * half)
        return prism_of(shape, Frame3((self.x, self.y, self.z - half)))


@dataclass(frozen=True)
class DiscGap:
    """Two discs: gap in plan, negative where they overlap, gap in height between the rooms of their blades [mm]."""

    one: Disc
    other: Disc
    in_plan: float
    in_height: float

    @staticmethod
    def between(one: Disc, other: Disc) -> DiscGap:
        """Return the gap between two discs.

        Notes
        -----
        In plan the distance of the axes less both radii; in height the distance of the middles less half of each
        disc's height, flap and seat tolerance.
        """
        in_plan = math.hypot(one.x - other.x, one.y - other.y) - (one.diameter + other.diameter) / 2
        return DiscGap(one, other, in_plan, abs(one.z - other.z) - one.half_height() - other.half_height())

    @property
    def gap(self) -> float:
        """Distance in space; negative where they meet [mm]."""
        return _in_space(self.in_plan, self.in_height)


@dataclass(frozen=True)
class BodyGap:
    """A disc and the body nearest to it: distance from the room of its blades, 0 where they meet [mm]."""

    disc: Disc
    body: Body
    gap: float


@dataclass(frozen=True)
class Limit:
    """The largest disc a rotor has room for, and what stands in the way of a larger one, with its role [mm]."""

    disc: Disc
    diameter: float
    by: str
    role: str


def discs_of(assembly: Assembly) -> tuple[Disc, ...]:
    """Return the discs of all propellers, by rotor."""
    catalogue, equipment = assembly.catalogue, {e.id: e for e in assembly.design.equipment}
    flap = catalogue.rule("propeller_clearance.blade_droop_allowance_mm_per_in").value / _MM_PER_IN
    made = []
    for body in assembly.bodies:
        if body.role != "propeller":
            continue
        fitted = equipment[body.owner]
        carrier = equipment.get(fitted.on or "")
        motors = [catalogue.find(i)[0] for i in carrier.use.values()] if carrier else []
        tolerance = next((m.seat_height_tolerance_mm for m in motors if isinstance(m, Motor)), 0.0)
        solid = body.solids[1]
        assert isinstance(solid.shape, Cylinder)
        x, y, z = body.frame.point(0.0, 0.0, solid.offset + solid.shape.height / 2)
        made.append(
            Disc(rotor_of(body) or 0, body, x, y, z, 2 * solid.shape.radius, solid.shape.height, flap, tolerance)
        )
    return tuple(sorted(made, key=lambda d: d.rotor))


def disc_gaps(discs: Sequence[Disc]) -> list[DiscGap]:
    """Return the gaps between all pairs of discs."""
    return [DiscGap.between(a, b) for n, a in enumerate(discs) for b in discs[n + 1 :]]


def body_gaps(
    assembly: Assembly,
    prisms: Mapping[str, Sequence[Prism]],
    discs: Sequence[Disc],
    within: float = 20.0,
    soft: SoftBodies = NO_SOFT_BODIES,
    known: DiscField | None = None,
) -> list[BodyGap]:
    """Return, for each disc and each role of bodies, the nearest one.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name, from `prisms_of`.
    discs : sequence of Disc
        From `discs_of`.
    within : float
        What is further away is left out [mm].
    soft : SoftBodies
        Straps and leads.
    known : DiscField, optional
        All this, where it is known.
    """
    field = known or DiscField(assembly, prisms, discs, soft)
    made = []
    for disc in discs:
        least = field.least_gaps(disc)
        at_least = least.tolist()
        nearest: dict[str, BodyGap] = {}
        for n in field.strangers(disc, least):
            body = field.bodies[n]
            best = nearest[body.role].gap if body.role in nearest else within
            if at_least[n] < best:
                gap = field.gap(disc, n, best)
                if gap < best:
                    nearest[body.role] = BodyGap(disc, body, gap)
        made += list(nearest.values())
    return made


def largest_propellers(
    assembly: Assembly,
    prisms: Mapping[str, Sequence[Prism]],
    discs: Sequence[Disc],
    tip_to_tip: float,
    tip_to_body: float,
    soft: SoftBodies = NO_SOFT_BODIES,
    tip_to_soft: Mapping[str, float] | None = None,
    known: DiscField | None = None,
) -> list[Limit]:
    """Return the largest disc that fits each rotor when all rotors get the same.

    Parameters
    ----------
    assembly, prisms, discs
        As in `body_gaps`.
    tip_to_tip, tip_to_body : float
        Least distances that must stay [mm].
    soft : SoftBodies
        Straps and leads.
    tip_to_soft : mapping of str to float, optional
        Least distance to each role of them, where it differs [mm].
    known : DiscField, optional
        All this, where it is known.
    """
    field = known or DiscField(assembly, prisms, discs, soft)
    wanted = [(tip_to_soft or {}).get(body.role, tip_to_body) for body in field.bodies]
    return [_limit(field, discs, disc, tip_to_tip, wanted) for disc in discs]


def propeller_sizes(assembly: Assembly) -> tuple[Propeller, ...]:
    """Return the propellers of the catalogue, the smallest first."""
    return tuple(sorted(assembly.catalogue.of_class(Propeller), key=lambda p: p.diameter_mm))


def _limit(
    field: DiscField,
    discs: Sequence[Disc],
    disc: Disc,
    tip_to_tip: float,
    wanted: Sequence[float],
) -> Limit:
    best = Limit(disc, _LARGEST, "", "")
    for other in (d for d in discs if d is not disc):
        apart, lift = math.hypot(disc.x - other.x, disc.y - other.y), abs(disc.z - other.z)

        def stay_apart(diameter: float, other: Disc = other, apart: float = apart, lift: float = lift) -> bool:
            halves = disc.half_height(diameter) + other.half_height(diameter)
            return _in_space(apart - diameter, lift - halves) >= tip_to_tip

        diameter = _largest(stay_apart, best.diameter)
        if diameter < best.diameter:
            best = Limit(disc, diameter, other.body.name, other.body.role)
    least = field.least_gaps(replace(disc, diameter=best.diameter))
    for n in field.strangers(disc, field.least_gaps(disc)):  # the nearest first: they leave few of the others
        if least[n] >= wanted[n]:
            continue
        gap = field.gap_by_diameter(disc, n)
        diameter = _largest(lambda d, gap=gap, n=n: gap(d) >= wanted[n], best.diameter)  # type: ignore[misc]
        if diameter < best.diameter:
            best = Limit(disc, diameter, field.bodies[n].name, field.bodies[n].role)
            least = field.least_gaps(replace(disc, diameter=diameter))
    return best


def _in_space(in_plan: float, in_height: float) -> float:
    """Distance of two flat cylinders from their gaps in plan and in height; negative where both are."""
    return math.hypot(in_plan, in_height) if in_plan > 0 and in_height > 0 else max(in_plan, in_height)


def _largest(fits: Callable[[float], bool], up_to: float) -> float:
    """Return the largest diameter, up to some, that fits; found by halving, as what is larger needs more room [mm]."""
    if fits(up_to):
        return up_to
    low, high = 0.0, up_to
    while high - low > _EXACT:
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
