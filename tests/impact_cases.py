"""What the product gives for blows and bows of `tests/verification/cases`: bodies collide, beams are struck."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from plates import DENSITY, on_line, rectangle
from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.structure.bow import Misfit, drawn_together, force_of
from platewright.structure.frame import Frame
from platewright.structure.impact import ModalBody, Strike, strike
from platewright.structure.laminate import section_of
from platewright.structure.mesh import Mesh
from platewright.structure.plate import plate_systems
from platewright.structure.ply import isotropic_ply
from platewright.structure.points import Lump, PlacedPlate, Spring
from platewright.structure.reduce import Reductions
from platewright.structure.solve import PlateModel
from platewright.structure.stacks import single_stack
from platewright.structure.supports import Tie, fixed_freedoms

__all__ = ["IMPACT"]

Floats = NDArray[np.float64]

MODULUS, LENGTH, WIDTH, THICKNESS = 70_000.0, 200.0, 10.0, 2.0
BEAM = single_stack(isotropic_ply(MODULUS, 0.0), THICKNESS, DENSITY)
BEAM_MASS = DENSITY * LENGTH * WIDTH * THICKNESS
SPEED = 1000.0


def _collision(what: str, first: float, second: float) -> float:
    """Return what two free masses [g] do after the first has run into the second at 1 m/s."""
    roots = np.sqrt(np.array([first, second]) * 1e-6)
    body = ModalBody(np.zeros(2), np.diag(1 / roots))
    found = strike(body, np.array([1, -1]) / roots, np.array([-SPEED * roots[0], 0.0]), 1000.0)
    after = -_speeds(found) / roots / SPEED
    return {
        "first": float(after[0]),
        "second": float(after[1]),
        "momentum": float(after @ [first, second]) / first,
        "energy": float(after**2 @ [first, second]) / first,
        "contact": 1e3 * found.contact_time,
    }[what]


def _speeds(found: Strike) -> Floats:
    """Return what each mode does once all have parted."""
    speeds: Floats = (found.motion[-1] - found.motion[-2]) / (found.times[-1] - found.times[-2])
    return speeds


def _beam(mass: float) -> tuple[Mesh, PlateModel]:
    """Return a strip on two simple supports with a mass [t] across its middle."""
    mesh = rectangle(LENGTH, WIDTH, 2.5)
    ends = [(on_line(mesh, 0, x), "pinned") for x in (-LENGTH / 2, LENGTH / 2)]
    held = fixed_freedoms(len(mesh.nodes), ends)
    middle = Tie(on_line(mesh, 0, 0.0), (0.0, 0.0), mass=mass)
    return mesh, PlateModel(mesh.nodes, plate_systems(mesh, section_of(BEAM)), held, [middle])


def _beam_share() -> float:
    """Return the share of a beam's mass that moves as much as its middle, by the plate's own mass matrix."""
    mesh, model = _beam(0.0)
    found = model.solve(None, np.array([[[0.0, 0.0, 1.0, 0.0, 0.0, 0.0]]]))
    (shape,), middle = found.displacements, float(found.ties[0, 0, 2])
    moving = 0.0
    for system in plate_systems(mesh, section_of(BEAM)):
        own = shape[:, list(system.freedoms)].ravel()
        moving += float(own @ (system.mass @ own))
    return moving / middle**2 / BEAM_MASS


def _struck_beam(ratio: float) -> float:
    """Return for how long a mass, `ratio` times the beam's, presses on a beam it has struck: half a period [ms]."""
    _, model = _beam(ratio * BEAM_MASS)
    return 1e3 / (2 * float(model.modes(1).frequencies[0]))


def _bowed(rise: float) -> float:
    """Return the force on the middle support of a strip whose middle support stands higher than its ends [N]."""
    holes = tuple(Circle(x, 0.0, 0.5) for x in (-LENGTH / 2, 0.0, LENGTH / 2))
    outline = Outline(rectangle_loop(0, 0, LENGTH + 4, WIDTH), (), holes)
    reduced = Reductions().get(outline, BEAM, 0.0, ((0,), (1,), (2,)), 2.5)
    frame = Frame([PlacedPlate("strip", reduced, np.zeros(3), np.eye(3))], [np.zeros(3)])
    frame.carry(Lump(frame.body(0), 1.0, np.zeros(3), np.eye(3) * 1e4))
    misfits = []
    for n, (hole, up) in enumerate(zip(holes, (0.0, rise, 0.0), strict=True)):
        simple = np.diag([1e-2, 1e-2, 1e6, 1e-2, 1e-2, 1e-2])
        spring = Spring(f"post {n}", frame.body(0), frame.point(0, n), np.array([hole.x, 0.0, 0.0]), simple)
        frame.join(spring)
        misfits.append(Misfit(spring, np.array([0.0, 0.0, up])))
    return -float(force_of(misfits[1].spring, drawn_together(frame, misfits), misfits)[2])


IMPACT: dict[str, Callable[..., float]] = {
    "beam_share": _beam_share,
    "bowed": _bowed,
    "collision": _collision,
    "struck_beam": _struck_beam,
}
"""By name in the cases."""
