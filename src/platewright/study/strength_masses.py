"""What a frame's model carries: boards, camera and battery as bodies, everything else as masses at what holds it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.instances import Instance
from platewright.assembly.lines import Line
from platewright.assembly.mass import MassItem, mass_items
from platewright.model.catalogue.electronics import Board, Camera
from platewright.model.catalogue.power import Battery
from platewright.structure.frame import Frame
from platewright.structure.points import Lump, Point

__all__ = ["Masses", "patch_near"]

Floats = NDArray[np.float64]

_PATCH = 5.0  # radius over which a small thing without screws sits on its plate [mm]
_LEAST_INERTIA = 1e-6  # keeps a body that is drawn as a point from having none [t mm^2]
_SAME_LEVEL = 0.5  # plates that a battery rests on together differ by no more in height [mm]
_LEVEL = 0.9  # cosine of the tilt of a plate that lies level [-]


class Masses:
    """Puts the masses of an assembly on its frame.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    places : mapping of str to Instance
        Places that are modelled.
    """

    def __init__(self, assembly: Assembly, places: Mapping[str, Instance]) -> None:
        self.assembly, self.places = assembly, places
        self.items = mass_items(assembly)

    def bodies(
        self, lines: Sequence[Line], held_by: Mapping[tuple[str, str], int], numbers: Mapping[str, int]
    ) -> tuple[list[MassItem], list[tuple[MassItem, str]]]:
        """Return what moves as a body of its own, and what sits on a plate without screws, with that plate."""
        held = {
            f"{item.word.name}.{item.word.role}"
            for line in lines
            for item in line.items
            if isinstance(item.record, Board | Camera) and any((line.name, n) in held_by for n in numbers)
        }
        own = [i for i in self.items if i.name in held]
        on = {e.id: e.on for e in self.assembly.design.equipment if e.on}
        batteries = {
            f"{e.id}.{role}"
            for e in self.assembly.design.equipment
            for role, record in e.use.items()
            if e.on
            and self._place_named(e.on, numbers)
            and isinstance(self.assembly.catalogue.find(record)[0], Battery)
        }
        own += [i for i in self.items if i.name in batteries]
        taken = {i.name for i in own if i.name not in batteries}
        loose = []
        for item in self.items:
            owner = item.name.partition(".")[0]
            if item.group in ("equipment", "battery") and item.name not in taken and owner in on:
                plate = self._place_named(on[owner], numbers)
                if plate is not None:
                    loose.append((item, plate))
        return own, loose

    def carry(
        self,
        frame: Frame,
        bodies: Sequence[MassItem],
        loose: Sequence[tuple[MassItem, str]],
        numbers: Mapping[str, int],
        things: dict[str, Point],
    ) -> list[tuple[str, Point, dict[str, Point]]]:
        """Carry bodies, and what sits on a plate without screws, which becomes a thing as well.

        Returns
        -------
        list of (str, Point, dict of str to Point)
            Of each battery its name, its body, and by place the patches that it rests on.
        """
        for item in bodies:
            frame.carry(_lump(item, things[item.name]))
        pads = []
        for item, plate in loose:
            if item.name in things:
                pads.append((item.name, things[item.name], self._under(frame, item, numbers[plate])))
            else:
                things[item.name] = patch_near(frame, numbers[plate], item.centre)
                frame.carry(_lump(item, things[item.name]))
        return pads

    def carry_rest(
        self,
        frame: Frame,
        points: Mapping[tuple[str, str], Point],
        rotors: Mapping[int, Point],
        things: Mapping[str, Point],
    ) -> None:
        """Carry what has not been carried: hardware by its line, motors and propellers by their seat."""
        by_line: dict[str, list[Point]] = {}
        for (line, _), point in points.items():
            by_line.setdefault(line, []).append(point)
        seats = {n.name: rotors[n.rotor] for n in self.assembly.lines if n.rotor is not None and n.rotor in rotors}
        for item in self.items:
            if item.group == "plates" or item.name in things:
                continue
            line, mark, _ = item.name.partition("#")
            if mark and line in seats:
                near: Point | None = seats[line]
            elif mark and line in by_line:
                near = min(by_line[line], key=lambda p: float(np.linalg.norm(p.position - item.centre)))
            else:
                near = _nearest_rotor(item, rotors) or _nearest(frame, item)
            if near is not None:
                frame.carry(_lump(item, near))

    def _place_named(self, place: str, numbers: Mapping[str, int]) -> str | None:
        return next((n for n in numbers if self.places[n].place.id == place), None)

    def _under(self, frame: Frame, item: MassItem, carrier: int) -> dict[str, Point]:
        """Return what a battery rests on: its carrier, and every plate of the same height under its box."""
        # a box: I_x = m (b^2 + c^2) / 12 and so on
        squares = np.diag(item.inertia) * 12 / item.mass
        half = np.sqrt(np.maximum(squares.sum() / 2 - squares, 1.0)) / 2
        height = frame.plates[carrier].origin[2]
        patches = {}
        for number, placed in enumerate(frame.plates):
            if abs(placed.origin[2] - height) > _SAME_LEVEL or abs(placed.axes[2, 2]) < _LEVEL:
                continue
            nodes = placed.reduced.mesh.nodes
            places = placed.origin + np.column_stack([nodes, np.zeros(len(nodes))]) @ placed.axes.T
            under = np.flatnonzero((np.abs(places - item.centre) <= half)[:, :2].all(axis=1))
            if _spread(nodes[under]):
                patches[placed.name] = frame.patch(number, under)
        return patches or {frame.plates[carrier].name: patch_near(frame, carrier, item.centre)}


def patch_near(frame: Frame, plate: int, place: Floats) -> Point:
    """Return the mean motion of a plate within a small circle under a place, widened until it is one.

    Parameters
    ----------
    frame : Frame
        What holds the plate.
    plate : int
        Its number.
    place : (3,) float
        In the frame's axes; its distance from the plate does not count [mm].
    """
    placed = frame.plates[plate]
    local = placed.axes.T @ (place - placed.origin)
    nodes = placed.reduced.mesh.nodes
    away = np.hypot(nodes[:, 0] - local[0], nodes[:, 1] - local[1])
    nearest, count = np.argsort(away, kind="stable"), max(int((away <= _PATCH).sum()), 8)
    while not _spread(nodes[nearest[:count]]):
        count += 4
    return frame.patch(plate, np.sort(nearest[:count]))


def _nearest(frame: Frame, item: MassItem) -> Point:
    """Return the point of a plate nearest to a thing that names no carrier."""
    best = min(
        ((n, k) for n, p in enumerate(frame.plates) for k in range(p.reduced.n_points)),
        key=lambda nk: float(
            np.linalg.norm(frame.plates[nk[0]].place(*frame.plates[nk[0]].reduced.points[nk[1]].tolist()) - item.centre)
        ),
    )
    return frame.point(*best)


def _spread(nodes: Floats) -> bool:
    """Whether nodes do not lie in one line."""
    return len(nodes) >= 6 and float(np.linalg.svd(nodes - nodes.mean(axis=0), compute_uv=False)[1]) > 1.0


def _lump(item: MassItem, point: Point) -> Lump:
    inertia = item.inertia + np.eye(3) * _LEAST_INERTIA
    return Lump(point, item.mass, item.centre, inertia)


def _nearest_rotor(item: MassItem, rotors: Mapping[int, Point]) -> Point | None:
    """Return the seat whose axis a motor, propeller or nut stands on; of two on one axis the nearer one."""
    apart = [(item.centre - p.position, p) for p in rotors.values()]
    near = [(float(np.linalg.norm(d)), n) for n, (d, _) in enumerate(apart) if math.hypot(*d[:2].tolist()) < 1.0]
    return apart[min(near)[1]][1] if near else None
