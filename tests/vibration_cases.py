"""What the frame solver gives for the cases of vibration: a free bar, a mass on springs whose foot is shaken."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.structure.frame import Frame
from platewright.structure.laminate import section_of
from platewright.structure.mesh import mesh_outline
from platewright.structure.ply import isotropic_ply
from platewright.structure.points import Lump, PlacedPlate, Spring
from platewright.structure.reduce import group_ties, reduce_plate
from platewright.structure.stacks import single_stack
from platewright.structure.vibration import motion_amplitude, turning_response

__all__ = ["VIBRATION"]


def _free_bar(modulus: float, density: float, length: float, width: float, thickness: float, mode: int) -> float:
    """Return a frequency of a free strip with two small bolts [Hz]."""
    at = length / 4
    outline = Outline(rectangle_loop(0, 0, length, width), (), (Circle(-at, 0, 0.4), Circle(at, 0, 0.4)))
    mesh = mesh_outline(outline, thickness * 1.5)
    section = section_of(single_stack(isotropic_ply(modulus, 0.0), thickness, density), 0.0)
    plate = reduce_plate(mesh, section, group_ties(mesh, [(-at, 0.0), (at, 0.0)], ((0,), (1,))))
    frame = Frame([PlacedPlate("bar", plate, np.zeros(3), np.eye(3))])
    return float(frame.modes(mode).frequencies[mode - 1])


def _passed_on(mass: float, stiffness: float, loss: float, speed: float) -> float:
    """Return how far a mass on springs moves by how far its foot does [-]."""
    frame = Frame([], [np.zeros(3), np.zeros(3)])
    for n, own in enumerate((1000 * mass, mass)):
        frame.carry(Lump(frame.body(n), own, np.zeros(3), np.eye(3)))
    six = np.diag([stiffness, *[1e9] * 5])
    frame.join(Spring("grommet", frame.body(0), frame.body(1), np.zeros(3), six))
    found = turning_response(frame, [(frame.body(0), np.zeros(3))], speed, loss)
    foot, own = (float(motion_amplitude(frame.body(n), found)[0, 0]) for n in (0, 1))
    return own / foot


VIBRATION: dict[str, Callable[..., float]] = {"free_bar": _free_bar, "passed_on": _passed_on}
"""By name in the cases."""
