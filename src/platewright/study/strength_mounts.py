"""Screws that mount motors, boards and cameras on a frame, from what their seats pass on in each case."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.screws import ScrewFit
from platewright.model.catalogue.power import Motor
from platewright.structure.screws import ScrewLimits, screw_uses
from platewright.study.strength_holes import Used, thread_use
from platewright.study.strength_model import FrameModel

__all__ = ["limits_of", "mount_uses"]

Floats = NDArray[np.float64]


def mount_uses(assembly: Assembly, model: FrameModel, freedoms: Floats) -> Iterator[Used]:
    """Yield how much the screws of motors, boards and cameras use of themselves and their threads.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Its model.
    freedoms : (n_cases, n) float
        As solved.

    Notes
    -----
    A motor's n screws at radius r share force and moment as a ring: N = F_n / n + 2 M / (n r), V = F_t / n + M_n /
    (n r); only what pulls the motor off its seat counts. The plate's own inertia at the seat is left out.
    """
    for rotor in model.rotor_points:
        yield from _motor(assembly, model, rotor, freedoms)
    between = {joint.spring.name for joint in model.bolted}
    lines = {line.name: line for line in assembly.lines}
    for spring in model.frame.springs:
        line = lines.get(spring.name.partition(":")[0])
        fit = next((s for s in assembly.screws if line is not None and s.line.name == line.name), None)
        if spring.name in between or line is None or fit is None:
            continue
        axis = {"x": 0, "y": 1, "z": 2}[line.axis]
        force = spring.force(freedoms)[:, :3]
        pull = np.abs(force[:, axis])  # a rubber or a spacer passes both ways on to the screw
        yield from _uses(assembly, fit, pull, np.linalg.norm(np.delete(force, axis, axis=1), axis=1))


def limits_of(fit: ScrewFit) -> ScrewLimits:
    """Return what a screw carries."""
    return ScrewLimits.of(
        fit.thread.stress_area_mm2,
        fit.thread.minor_d_ext_mm,
        fit.material.strength_min_mpa,
        fit.material.shear_strength_mpa,
        fit.screw.load_factor,
    )


def _motor(assembly: Assembly, model: FrameModel, rotor: int, freedoms: Floats) -> Iterator[Used]:
    lines = [
        n for n in assembly.lines if n.rotor == rotor and n.fitted and any(isinstance(i.record, Motor) for i in n.items)
    ]
    fits = [s for s in assembly.screws if s.line.name in {n.name for n in lines}]
    if not fits:
        return
    point = model.rotor_points[rotor]
    number = int(np.searchsorted(model.frame.starts, point.columns[0], side="right")) - 1
    placed, start = model.frame.plates[number], int(model.frame.starts[number])
    own = freedoms[:, start : start + len(placed.reduced.stiffness)]
    six = own @ placed.reduced.stiffness[:, point.columns - start]
    turned = lines[0].items
    where = [n for n, i in enumerate(turned) if isinstance(i.record, Motor)]
    plates = [n for n, i in enumerate(turned) if i.instance is not None and i.instance.name == placed.name]
    side = np.sign(where[0] - plates[0]) * np.sign(placed.axes[2, 2])
    radius = float(np.mean([np.hypot(n.a - point.position[0], n.b - point.position[1]) for n in lines]))
    count = len(fits)
    pull = np.maximum(side * six[:, 2], 0.0) / count + 2 * np.hypot(six[:, 3], six[:, 4]) / (count * radius)
    shear = np.hypot(six[:, 0], six[:, 1]) / count + np.abs(six[:, 5]) / (count * radius)
    yield from _uses(assembly, fits[0], pull, shear)


def _uses(assembly: Assembly, fit: ScrewFit, pull: Floats, shear: Floats) -> Iterator[Used]:
    limits = limits_of(fit)
    yield f"screw {fit.name}", "tension and shear", screw_uses(limits, pull, shear)
    thread = thread_use(assembly, fit, pull)
    if thread is not None:
        yield thread
