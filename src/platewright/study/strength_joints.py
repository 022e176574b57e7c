"""How stiff the joints of a frame are taken, from its bolt lines: screws, standoffs, spacers, grommets, tabs, pad.

Shear of bolted plates is Huth's, with three multiples for soft, typical and stiff; no test of joints like these is
known to us, so every answer is given for all three.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.lines import Item, Line
from platewright.model.catalogue.electronics import Board, Camera
from platewright.model.design import Part
from platewright.structure.links import (
    Tube,
    beam_flexibility,
    clamped_flexibility,
    huth_flexibility,
    moved_flexibility,
    rigid_arm,
    series_stiffness,
)
from platewright.structure.points import Point, Spring
from platewright.study.strength_stacks import STEEL, THROUGH, Stacks, screw_size

__all__ = ["SOFT", "STIFF", "TYPICAL", "Bolted", "JointModel", "Joints"]

Floats = NDArray[np.float64]

_PAD = (100.0, 300.0)  # battery on its pad under the strap, sideways and up, 1/3 to 3 times (no source) [N/mm]
_PAD_RADIUS = 20.0  # at which the pad resists turning (no source) [mm]
_TAB = 5_000.0  # a tab in its slot, each way, 1/3 to 3 times (no source) [N/mm]
_TAB_TURN = 1e4  # and against turning [N mm/rad]
_GROMMET_SIDE = 0.6  # sideways stiffness of a rubber grommet by its axial one (no source) [-]


@dataclass(frozen=True)
class JointModel:
    """One choice of joint stiffness.

    Parameters
    ----------
    name : str
        `soft`, `typical` or `stiff`.
    shear : float
        Multiple of Huth's flexibility [-].
    turning : float
        Multiple of the flexibility of clamped faces against opening and turning [-].
    pad : float
        Multiple of the stiffness of pads, grommets and tabs [-].
    """

    name: str
    shear: float
    turning: float
    pad: float


@dataclass(frozen=True)
class Bolted:
    """A link between two plates on a line.

    Parameters
    ----------
    spring : Spring
        The link; its place is the near face of the far plate.
    line : Line
        The bolt line.
    near, far : int
        Positions of the plates among its items.
    near_face : (3,) float
        Far face of the near plate [mm].
    axis : (3,) float
        Along the line, from near to far.
    radius : float
        Of the smaller face that the link opens about [mm].
    """

    spring: Spring
    line: Line
    near: int
    far: int
    near_face: Floats
    axis: Floats
    radius: float

    def opening(self, six: Floats) -> tuple[Floats, Floats, tuple[Floats, Floats]]:
        """Return what pulls the faces apart, the force across, and the moments at the near and the far face.

        Parameters
        ----------
        six : (n_cases, 6) float
            Force and moment on the near side.
        """
        force, moment = six[:, :3], six[:, 3:]
        pull = force @ self.axis
        shear = np.linalg.norm(force - pull[:, None] * self.axis, axis=1)
        bent = []
        for face in (self.near_face, self.spring.position):
            here = moment + np.cross(self.spring.position - face, force)
            bent.append(np.linalg.norm(here - (here @ self.axis)[:, None] * self.axis, axis=1))
        return pull, shear, (bent[0], bent[1])


SOFT = JointModel("soft", 1.6, 3.0, 1 / 3)
TYPICAL = JointModel("typical", 1.0, 1.0, 1.0)
STIFF = JointModel("stiff", 0.6, 0.5, 3.0)


class Joints:
    """Makes the links of an assembly.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : JointModel
        How stiff.
    stacks : Stacks
        Of the same assembly.
    """

    def __init__(self, assembly: Assembly, model: JointModel, stacks: Stacks) -> None:
        self.assembly, self.model, self.stacks = assembly, model, stacks

    def of_line(
        self,
        line: Line,
        points: Mapping[tuple[str, str], Point],
        things: Mapping[str, Point],
        numbers: Mapping[str, int],
    ) -> tuple[list[Bolted], list[Spring]]:
        """Return the links along one line: between plates, and of boards and cameras on plates.

        Parameters
        ----------
        line : Line
            A fitted line.
        points : mapping of (str, str) to Point
            By line and place.
        things : mapping of str to Point
            Bodies by name.
        numbers : mapping of str to int
            Places that are modelled.
        """
        plates = [
            n
            for n, i in enumerate(line.items)
            if i.instance is not None and (line.name, i.instance.name) in points and i.instance.name in numbers
        ]
        bolted, held = [], []
        for a, b in itertools.pairwise(plates):
            if not any(isinstance(i.record, Camera) for i in line.items[a:b]):
                bolted.append(self._between(line, a, b, points, plates))
        for n, item in enumerate(line.items):
            name = _body_name(item, things)
            if name is not None and plates:
                carriers = [min(plates, key=lambda k: abs(k - n))]
                if isinstance(item.record, Camera):
                    carriers = [k for k in (_last(plates, n), _first(plates, n)) if k is not None]
                held += [self._held(line, k, n, points, things[name]) for k in carriers]
        return bolted, held

    def battery(self, name: str, body: Point, patches: Mapping[str, Point]) -> list[Spring]:
        """Return the links of a battery on its pad, which rests on patches of plates, by place, in equal shares."""
        side, up = _PAD[0] * self.model.pad, _PAD[1] * self.model.pad
        turn = up * _PAD_RADIUS**2
        stiffness = np.diag([side, side, up, turn, turn, side * _PAD_RADIUS**2]) / len(patches)
        return [Spring(f"{name} on {plate}", p, body, p.position, stiffness) for plate, p in patches.items()]

    def tab(self) -> Floats:
        """Return the stiffness of a tab in its slot, (6, 6): against shifts each way, hardly against turning."""
        shift, turn = _TAB * self.model.pad, _TAB_TURN * self.model.pad
        return np.diag([shift, shift, shift, turn, turn, turn])

    def _between(
        self, line: Line, a: int, b: int, points: Mapping[tuple[str, str], Point], plates: Sequence[int]
    ) -> Bolted:
        """Return the link between two plates: face to face, or over what stands between them."""
        first, second = line.items[a], line.items[b]
        assert first.instance is not None
        assert second.instance is not None
        near, far = points[line.name, first.instance.name], points[line.name, second.instance.name]
        spans = self.assembly.levels.spans[line.name]
        between = [(i, spans[n]) for n, i in enumerate(line.items) if a < n < b and spans[n] is not None and i.touches]
        t1, t2 = first.instance.part.thickness_mm, second.instance.part.thickness_mm
        screw = self.stacks.screw(line, a)
        axis = _axes(line)[:, 2]
        arm = rigid_arm(_axes(line))
        ring = self.stacks.ring(line, a)
        if not between:
            # an arm between two plates is in double shear: each face carries half of it
            inner = [k for k in (a, b) if plates[0] < k < plates[-1] and self._faces(line, k, plates)]
            double = bool(inner)
            if double and inner[0] == b:
                t1, t2 = t2, t1
            e1, e2 = self.stacks.modulus(first.instance.part), self.stacks.modulus(second.instance.part)
            shear = huth_flexibility(t1, e1, t2, e2, screw.outer, screw.elastic_modulus, double)
            shear *= self.model.shear * (2 if double else 1)
            flexibility = clamped_flexibility(shear, (t1 + t2) / 2, ring, screw)
            flexibility[2:, 2:] *= self.model.turning
            stiffness = arm @ series_stiffness([flexibility]) @ arm.T
            position = near.position + axis * (first.instance.part.thickness_mm / 2)
            name = f"{line.name}: {first.instance.name} on {second.instance.name}"
            return Bolted(Spring(name, near, far, position, stiffness), line, a, b, position, axis, ring.outer / 2)
        end = far.position - axis * (t2 / 2)
        flexibility = self._seat(first.instance.part, t1, screw)
        for item, span in between:
            assert span is not None
            length = abs(span.end.nominal - span.start.nominal)
            tubes = self.stacks.tubes(item, screw, line, a, b)
            if length > 0 and tubes:
                flexibility = moved_flexibility(flexibility, np.array([0.0, 0.0, length]))
                flexibility = flexibility + beam_flexibility(length, tubes)
        flexibility = flexibility + self._seat(second.instance.part, t2, screw)
        name = f"{line.name}: {first.instance.name} to {second.instance.name}"
        outers = [tube.outer for item, _ in between for tube in self.stacks.tubes(item, screw, line, a, b)[:1]]
        spring = Spring(name, near, far, end, arm @ series_stiffness([flexibility]) @ arm.T)
        return Bolted(spring, line, a, b, near.position + axis * (t1 / 2), axis, min(outers, default=ring.outer) / 2)

    def _faces(self, line: Line, k: int, plates: Sequence[int]) -> bool:
        """Whether a plate lies face to face with plates on both sides."""
        spans = self.assembly.levels.spans[line.name]

        def touch(p: int, q: int) -> bool:
            return not any(spans[n] is not None and line.items[n].touches for n in range(p + 1, q))

        at = list(plates).index(k)
        return touch(plates[at - 1], k) and touch(k, plates[at + 1])

    def _seat(self, part: Part, thickness: float, screw: Tube) -> Floats:
        """Return the flexibility where a standoff stands on a plate: Huth's of the screw end in one plate."""
        e = self.stacks.modulus(part)
        shear = huth_flexibility(thickness, e, thickness, STEEL, screw.outer, screw.elastic_modulus, False)
        ring = Tube(1.7 * screw.outer, screw.outer, THROUGH)
        found = clamped_flexibility(shear * self.model.shear, thickness / 2, ring, screw)
        found[2:, 2:] *= self.model.turning
        return found

    def _held(self, line: Line, plate: int, n: int, points: Mapping[tuple[str, str], Point], body: Point) -> Spring:
        """Return the link of a board or camera to the plate that holds it, on this line."""
        item, instance = line.items[n], line.items[plate].instance
        assert instance is not None
        near = points[line.name, instance.name]
        span = self.assembly.levels.spans[line.name][n]
        axes = _axes(line)
        axis = axes[:, 2]
        screw = self.stacks.screw(line, plate)
        face = near.position + axis * np.sign(n - plate) * instance.part.thickness_mm / 2
        if isinstance(item.record, Camera) or span is None:
            end, length = face, 1.0
        else:
            middle = (span.start.nominal + span.end.nominal) / 2
            end = near.position + axis * (middle - float(axis @ near.position))
            length = max(float(np.linalg.norm(end - face)), 0.5)
        flexibility = self._seat(instance.part, instance.part.thickness_mm, screw)
        flexibility = moved_flexibility(flexibility, np.array([0.0, 0.0, length]))
        flexibility = flexibility + beam_flexibility(length, [screw])
        if isinstance(item.record, Board) and item.word.in_grommet:
            rubber = self.assembly.catalogue.grommet(screw_size(line)).stiffness_n_per_mm * self.model.pad
            side, turn = 1 / (rubber * _GROMMET_SIDE), 1 / (rubber * 4.0)
            flexibility = flexibility + np.diag([side, side, 1 / rubber, turn, turn, turn])
        arm = rigid_arm(axes)
        return Spring(
            f"{line.name}: {item.label} on {instance.name}",
            near,
            body,
            end,
            arm @ series_stiffness([flexibility]) @ arm.T,
        )


def _axes(line: Line) -> Floats:
    """Return axes whose third is the line's."""
    if line.axis == "z":
        return np.eye(3)
    if line.axis == "y":
        return np.array([[1.0, 0, 0], [0, 0, 1], [0, -1, 0]]).T
    return np.array([[0.0, 1, 0], [0, 0, 1], [1, 0, 0]]).T


def _body_name(item: Item, things: Mapping[str, Point]) -> str | None:
    name = f"{item.word.name}.{item.word.role}"
    return name if name in things else None


def _last(plates: Sequence[int], n: int) -> int | None:
    return max((k for k in plates if k < n), default=None)


def _first(plates: Sequence[int], n: int) -> int | None:
    return min((k for k in plates if k > n), default=None)
