"""Decks bowed over columns of different height: what the bow does to the clamping of each screw, and to the plate."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.structure.bow import Misfit, drawn_together, force_of
from platewright.structure.slip import ALTERNATING, slip_safety
from platewright.study.level_findings import bows
from platewright.study.strength_joints import Bolted
from platewright.study.strength_judge import plate_limits
from platewright.study.strength_model import FrameModel
from platewright.study.strength_results import BowRow, BowScrewRow
from platewright.study.strength_runs import Run
from platewright.study.strength_slip import FACE_FRICTION
from platewright.study.tightening import tightening_of

__all__ = ["LASTING", "RELAXED", "bow_rows"]

Floats = NDArray[np.float64]

RELAXED = (0.05, 0.2)
"""Share of its force that a bent laminate loses in months at room temperature (from memory, no test known) [-]."""
LASTING = 0.4
"""Share of its strength that a laminate should carry for years (common practice, no source) [-]."""
_SEEN = 1e-3  # gaps below this are none [mm]


def bow_rows(assembly: Assembly, runs: Mapping[str, Run]) -> tuple[BowRow, ...]:
    """Return every plate that columns of different height bow.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    runs : mapping of str to Run
        By joint model.
    """
    return tuple(
        _row(assembly, runs, bow.instance, bow.sagitta) for bow in bows(assembly) if _joints(runs, bow.instance)
    )


def _joints(runs: Mapping[str, Run], plate: str) -> list[Bolted]:
    """Return the link of each line that holds a plate: to what is before it on the line, else to what is after."""
    found: dict[str, Bolted] = {}
    for joint in runs["typical"].model.bolted:
        near, far = (joint.line.items[n].instance for n in (joint.near, joint.far))
        if (far is not None and far.name == plate) or (near is not None and near.name == plate):
            found.setdefault(joint.line.name, joint)
    return list(found.values())


def _row(assembly: Assembly, runs: Mapping[str, Run], plate: str, sagitta: float) -> BowRow:
    solved = {name: _drawn(assembly, run.model, plate) for name, run in runs.items()}
    typical = runs["typical"]
    state = solved["typical"][0][None]
    levels = plate_limits(assembly, typical.model, state, plate, ("typical", "low", "high"))
    used = [1 / cases[0].ratio for cases in levels]
    flight = next((n for n, case in enumerate(typical.cases) if case.name == "full thrust"), None)
    rows = []
    for joint in _joints(runs, plate):
        pulls = {name: _pull(runs[name].model, solved[name], joint.spring.name) for name in runs}
        rows.append(
            _screw_row(assembly, joint, plate, pulls, None if flight is None else typical.static.freedoms[flight])
        )
    ordered = tuple(sorted(rows, key=lambda r: r.bow_n))
    return BowRow(plate, sagitta, 100 * used[0], (100 * min(used), 100 * max(used)), levels[0][0].how, ordered)


def _drawn(assembly: Assembly, model: FrameModel, plate: str) -> tuple[Floats, list[Misfit]]:
    gaps = {g.line: g.gap.nominal for g in assembly.levels.gaps if g.instance == plate and abs(g.gap.nominal) > _SEEN}
    misfits = []
    done: set[str] = set()
    for joint in model.bolted:
        near, far = (joint.line.items[n].instance for n in (joint.near, joint.far))
        is_far, is_near = far is not None and far.name == plate, near is not None and near.name == plate
        if joint.line.name in gaps and joint.line.name not in done and (is_far or is_near):
            done.add(joint.line.name)
            # a plate that stands above its support comes down to it
            way = -gaps[joint.line.name] if is_far else gaps[joint.line.name]
            misfits.append(Misfit(joint.spring, way * joint.axis))
    # a tab slides in its slot: nothing says how deep it sat before
    normal = model.frame.plates[model.plates[plate]].axes[:, 2]
    tabs = {f"tab {t.tab.id} of {t.standing.name} in {t.plate.name}" for t in assembly.tabs if t.plate.name == plate}
    sliding = [(spring, normal) for spring in model.frame.springs if spring.name in tabs]
    return drawn_together(model.frame, misfits, sliding), misfits


def _pull(model: FrameModel, solved: tuple[Floats, list[Misfit]], name: str) -> float:
    """Return what pulls the two sides of a link apart; pressure is negative [N]."""
    joint = next(j for j in model.bolted if j.spring.name == name)
    return float(force_of(joint.spring, *solved)[:3] @ joint.axis)


def _screw_row(
    assembly: Assembly, joint: Bolted, plate: str, pulls: Mapping[str, float], flight: Floats | None
) -> BowScrewRow:
    item = joint.far if _named(joint, joint.far) == plate else joint.near
    fits = [s for s in assembly.screws if s.line.name == joint.line.name]
    fit = next((s for s in fits if item in s.path), None)
    clamp = tightening_of(fit, assembly).preload if fit is not None else 0.0
    pull = pulls["typical"]
    shear = None
    if flight is not None:
        force = joint.spring.force(flight)[:3]
        shear = float(np.linalg.norm(force - (force @ joint.axis) * joint.axis))
    gap = next((g.gap.nominal for g in assembly.levels.gaps if g.instance == plate and g.line == joint.line.name), 0.0)
    return BowScrewRow(
        joint.line.name,
        gap,
        pull,
        (min(pulls.values()), max(pulls.values())),
        clamp,
        clamp - pull,
        shear,
        None if shear is None else slip_safety(clamp - min(pull, 0.0), FACE_FRICTION, shear, pull),
        None if shear is None else slip_safety(abs(pull), FACE_FRICTION, shear),
        ALTERNATING,
    )


def _named(joint: Bolted, item: int) -> str:
    instance = joint.line.items[item].instance
    return "" if instance is None else instance.name
