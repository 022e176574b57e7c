"""Free vibration of a frame and of each of its arms alone, in hertz and in words."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.structure.frame import FrameModes
from platewright.structure.vibration import held_modes
from platewright.study.strength_model import FrameModel
from platewright.study.strength_results import ArmMode, FrameMode
from platewright.study.strength_shapes import arm_motion, counted, frame_shape, limb_axes, limb_place, rotor_place

__all__ = ["arm_rows", "mode_rows"]

Floats = NDArray[np.float64]

_ARM_MODES = 4


def mode_rows(assembly: Assembly, model: FrameModel, modes: Sequence[FrameModes]) -> tuple[FrameMode, ...]:
    """Return each mode with typical joints beside those of its number with other joints.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    model : FrameModel
        With typical joints.
    modes : sequence of FrameModes
        With typical, soft and stiff joints.
    """
    typical, *others = modes
    heavy = typical.shapes @ model.frame.mass
    movers = [_mover(model, shape, own) for shape, own in zip(typical.shapes, heavy, strict=True)]
    names = counted(
        [frame_shape(assembly, model, shape, name) for shape, (name, _) in zip(typical.shapes, movers, strict=True)]
    )
    rows = []
    for n, (name, share) in enumerate(movers):
        # the n-th frequency rises with every stiffness: a range by number is one of bounds
        ends = [float(other.frequencies[n]) for other in others]
        rows.append(FrameMode(float(typical.frequencies[n]), ends[0], ends[1], names[n], name, 100 * share))
    return tuple(rows)


def arm_rows(assembly: Assembly, model: FrameModel) -> tuple[ArmMode, ...]:
    """Return the modes of each arm alone, held at its bolts, with what its tip carries; like arms once.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    model : FrameModel
        Any joints: none of them moves here.

    Notes
    -----
    An arm is a part of kind `arm` that hangs on bolts and carries rotors, on itself or on plates that hang on nothing
    else; one that carries several is named by the motion of the first.
    """
    by_place: dict[str, list[int]] = {}
    for rotor in model.rotor_points:
        by_place.setdefault(limb_place(model, rotor), []).append(rotor)
    found: dict[tuple[object, ...], tuple[str, list[tuple[float, str]]]] = {}
    for place, rotors in by_place.items():
        pads = list(dict.fromkeys(p for r in rotors if (p := rotor_place(model, r)) != place))
        held = _held(model, place, rotors, pads)
        if not held or assembly.instances[place].part.kind != "arm":
            continue
        modes = held_modes(model.frame, [model.plates[p] for p in (place, *pads)], held, _ARM_MODES)
        rows = _named(model, rotors[0], modes)
        key = (assembly.instances[place].part.id, *(round(f, 1) for f, _ in rows))
        if key not in found:
            found[key] = (place, rows)
    return tuple(
        ArmMode(place, n + 1, frequency, name)
        for place, rows in found.values()
        for n, (frequency, name) in enumerate(rows)
    )


def _held(model: FrameModel, place: str, rotors: Sequence[int], pads: Sequence[str]) -> list[int]:
    """Return the numbers of an arm's points that bolts hold, but those of its own rotors and of lines to its pads."""
    number = model.plates[place]
    plate = model.frame.plates[number].reduced
    at = {int(model.frame.point(number, k).columns[0]): k for k in range(plate.n_points)}
    own = {int(model.rotor_points[r].columns[0]) for r in rotors}
    own |= {int(model.line_points[line, place].columns[0]) for line in _lines_to(model, place, pads)}
    return sorted(
        {at[c] for (_, n), p in model.line_points.items() if n == place and (c := int(p.columns[0])) not in own}
    )


def _lines_to(model: FrameModel, place: str, pads: Sequence[str]) -> set[str]:
    found = set()
    for joint in model.bolted:
        pair = [i.name for n in (joint.near, joint.far) if (i := joint.line.items[n].instance) is not None]
        if place in pair and set(pair) & set(pads):
            found.add(joint.line.name)
    return found


def _named(model: FrameModel, rotor: int, modes: FrameModes) -> list[tuple[float, str]]:
    frame, point, axes = model.frame, model.rotor_points[rotor], limb_axes(model, rotor)
    back = np.linalg.inv(point.matrix)
    carried = back.T @ frame.mass[np.ix_(point.columns, point.columns)] @ back
    ways = [arm_motion(point.motion(shape), carried, axes)[0] for shape in modes.shapes]
    return list(zip((float(f) for f in modes.frequencies), counted([f"arm {way}" for way in ways]), strict=True))


def _mover(model: FrameModel, shape: Floats, heavy: Floats) -> tuple[str, float]:
    """Return which places together hold most of the kinetic energy, and their share."""
    frame, shares = model.frame, dict[str, float]()
    for name, number in model.plates.items():
        own = slice(int(frame.starts[number]), int(frame.starts[number + 1]))
        place = name.partition(".")[0]
        shares[place] = shares.get(place, 0.0) + float(shape[own] @ heavy[own])
    bodies = {int(p.columns[0]): n for n, p in model.things.items() if len(p.columns) == 6}
    for start, name in bodies.items():
        shares[name] = shares.get(name, 0.0) + float(shape[start : start + 6] @ heavy[start : start + 6])
    best = max(shares, key=lambda k: shares[k])
    return best, shares[best] / sum(shares.values())
