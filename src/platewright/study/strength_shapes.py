"""Words for the shapes of a vibrating frame: arms that bend or twist and in which pattern, plates, carried things."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.structure.points import Point
from platewright.structure.vibration import motion_shares
from platewright.study.strength_model import FrameModel

__all__ = ["arm_motion", "counted", "frame_shape", "limb_axes", "limb_place", "rotor_place"]

Floats = NDArray[np.float64]

ARM_WAYS = ("along itself", "edgewise bending", "bending", "twist", "bending", "edgewise bending")
"""Of a seat: moving along the arm, across it, up; turning about the same. An arm that bends up also tilts its seat."""
_THING_WAYS = ("fore and aft", "sideways", "up and down", "rolling", "pitching", "yawing")
_ALONE = 0.8  # share of one limb from which the mode is called its own [-]
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")


def rotor_place(model: FrameModel, rotor: int) -> str:
    """Return the place that carries a rotor."""
    first = int(model.rotor_points[rotor].columns[0])
    number = int(np.searchsorted(model.frame.starts, first, side="right")) - 1
    return model.frame.plates[number].name


def limb_place(model: FrameModel, rotor: int) -> str:
    """Return the arm that a rotor's plate hangs on by bolts, where it hangs on nothing else; otherwise that plate."""
    plate = rotor_place(model, rotor)
    beside: dict[str, str] = {}
    for joint in model.bolted:
        pair = [i for n in (joint.near, joint.far) if (i := joint.line.items[n].instance) is not None]
        if plate in [i.name for i in pair]:
            beside |= {i.name: i.part.kind for i in pair if i.name != plate}
    return next(iter(beside)) if list(beside.values()) == ["arm"] else plate


def limb_axes(model: FrameModel, rotor: int) -> Floats:
    """Return a rotor's limb as axes in the frame, columns: outwards along it, across it, up, (3, 3)."""
    seat = model.rotor_points[rotor].position
    plate = limb_place(model, rotor)
    roots = [p.position for (_, place), p in model.line_points.items() if place == plate]
    shared = sum(limb_place(model, other) == plate for other in model.rotor_points) > 1
    modal = model.frame.rigid_mass
    centre = np.array([modal[1, 5], -modal[0, 5], modal[0, 4]]) / modal[0, 0]
    root = centre if shared or not roots else np.mean(roots, axis=0)
    up = np.array([0.0, 0.0, 1.0])
    out = (seat - root) * np.array([1.0, 1.0, 0.0])
    out = out / (np.linalg.norm(out) or 1.0)
    return np.column_stack([out, np.cross(up, out), up])


def arm_motion(motion: Floats, mass: Floats, axes: Floats) -> tuple[str, int]:
    """Return the way in which an arm moves its seat most, in words, and the one of six motions that shows it.

    Parameters
    ----------
    motion : (6,) float
        Of the seat.
    mass : (6, 6) float
        That it carries.
    axes : (3, 3) float
        Of the arm.
    """
    shares = motion_shares(motion, mass, axes)
    ways: dict[str, float] = {}
    for way, share in zip(ARM_WAYS, shares.tolist(), strict=True):
        ways[way] = ways.get(way, 0.0) + share
    way = max(ways, key=lambda name: ways[name])
    return way, ARM_WAYS.index(way)


def frame_shape(assembly: Assembly, model: FrameModel, shape: Floats, mover: str) -> str:
    """Return a mode of the whole frame in words.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    model : FrameModel
        Its model.
    shape : (n,) float
        The mode.
    mover : str
        The place, all its instances together, or the thing that moves most.
    """
    if mover in model.things and len(model.things[mover].columns) == 6:
        point = model.things[mover]
        shares = motion_shares(point.motion(shape), _carried(model, point), np.eye(3))
        return f"{mover.partition('.')[2] or mover} {_THING_WAYS[int(np.argmax(shares))]}"
    places = [n for n in model.plates if n.partition(".")[0] == mover]
    rotors = [r for r in model.rotor_points if {rotor_place(model, r), limb_place(model, r)} & set(places)]
    if rotors:
        return _limbs(assembly, model, shape, rotors)
    moved = np.concatenate([_moved(model, shape, n) for n in places])
    across = float((moved[:, 2] ** 2).sum()) > 0.5 * float((moved**2).sum())
    return f"{mover} {'bending' if across else 'in its plane'}"


def counted(names: Sequence[str]) -> list[str]:
    """Return names with how many of the same came before, as words.

    Examples
    --------
    >>> counted(["deck bending", "arm twist", "deck bending"])
    ['first deck bending', 'first arm twist', 'second deck bending']
    """
    seen = Counter[str]()
    found = []
    for name in names:
        n = seen[name]
        seen[name] += 1
        found.append(f"{_ORDINALS[n] if n < len(_ORDINALS) else f'{n + 1}th'} {name}")
    return found


def _limbs(assembly: Assembly, model: FrameModel, shape: Floats, rotors: Sequence[int]) -> str:
    """Name the way in which limbs move their seats, and which of them against which."""
    total, sizes = np.zeros(6), np.zeros((len(rotors), 6))
    for n, rotor in enumerate(rotors):
        point, axes = model.rotor_points[rotor], limb_axes(model, rotor)
        six, carried = point.motion(shape), _carried(model, point)
        weight = float(six @ carried @ six)
        total += weight * motion_shares(six, carried, axes)
        sizes[n, :3], sizes[n, 3:] = axes.T @ six[:3], axes.T @ six[3:]
    ways: dict[str, float] = {}
    for way, share in zip(ARM_WAYS, total.tolist(), strict=True):
        ways[way] = ways.get(way, 0.0) + share
    way = max(ways, key=lambda name: ways[name])
    limb = limb_place(model, rotors[0])
    noun = "arm" if assembly.instances[limb].part.kind == "arm" else f"{limb.partition('.')[0]} limb"
    size = sizes[:, ARM_WAYS.index(way)]
    return f"{noun} {way}, {_pattern(model, rotors, size)}"


def _pattern(model: FrameModel, rotors: Sequence[int], sizes: Floats) -> str:
    squares = sizes**2 / float((sizes**2).sum() or 1.0)
    if squares.max() > _ALONE:
        return f"at rotor {rotors[int(np.argmax(squares))]}"
    at = np.array([model.rotor_points[r].position[:2] for r in rotors])
    at = at / np.maximum(np.abs(at).max(axis=0), 1e-9)
    patterns = {
        "all alike": np.ones(len(rotors)),
        "front against rear": at[:, 0],
        "left against right": at[:, 1],
        "diagonals against each other": at[:, 0] * at[:, 1],
    }
    likeness = {n: abs(float(p @ sizes)) / (float(np.linalg.norm(p)) or 1.0) for n, p in patterns.items()}
    return max(likeness, key=lambda n: likeness[n])


def _carried(model: FrameModel, point: Point) -> Floats:
    """Return the mass at a point for its six motions in the frame's axes."""
    back = np.linalg.inv(point.matrix)
    found: Floats = back.T @ model.frame.mass[np.ix_(point.columns, point.columns)] @ back
    return found


def _moved(model: FrameModel, shape: Floats, name: str) -> Floats:
    """Return displacements of a plate's nodes in its own axes, (n_nodes, 3)."""
    frame, number = model.frame, model.plates[name]
    own = shape[int(frame.starts[number]) : int(frame.starts[number + 1])]
    found: Floats = frame.plates[number].reduced.displacements(own[None])[0, :, :3]
    return found
