"""Structure of a whole frame: load cases with what fails first, vibration against rotor speeds, braces, screws."""

from __future__ import annotations

import math

from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import StructureError
from platewright.foundation.units import G_PER_T, KG_PER_G, MM_PER_M
from platewright.model.catalogue.power import Motor
from platewright.rotor.air import STANDARD_GRAVITY
from platewright.study.hover_results import HoverReport
from platewright.study.propulsion import carried_records
from platewright.study.strength_bow import RELAXED, bow_rows
from platewright.study.strength_cases import FULL_THRUST, built_in_cases
from platewright.study.strength_impact import index_of, strike_rows
from platewright.study.strength_joints import SOFT, STIFF, TYPICAL
from platewright.study.strength_kinds import kind_rows
from platewright.study.strength_loads import case_of
from platewright.study.strength_model import frame_model, frame_models
from platewright.study.strength_modes import arm_rows, mode_rows
from platewright.study.strength_parts import PartCache
from platewright.study.strength_results import FrameStrength, SlipRow, StrengthStudy, WithoutRow
from platewright.study.strength_runs import Run, case_row, energy_at_failure, solve_run
from platewright.study.strength_screws import screw_rows
from platewright.study.strength_slip import slip_rows
from platewright.study.strength_speeds import speed_rows
from platewright.study.strength_vibration import SHAKEN_BY, shaken
from platewright.study.strength_without import without_places

__all__ = ["frame_strength"]

_MODES = 40
_LIMITS = (
    "Joints are springs that neither slip nor open; the soft and stiff models bound what is not known of them.",
    "Energies are strain energies of a slow load that the craft's own inertia balances, known within a factor 2 at "
    "best; stress waves, crushing where the blow lands and damage from earlier blows are left out. They say what fails "
    "first and rank designs; what a craft survives does not follow from them.",
    "Plies are judged 1 mm or more off holes and other rims that curve inwards; delamination and crushing under heads "
    "are left out. Elements of 0.6 of the size move margins by up to 2 %, energies by up to 12 % and frequencies by up "
    "to 3 %.",
    "Screws are judged by tension with the moment that opens the joint, and shear as if friction held nothing; "
    "shear-out runs to the next edge or opening ahead of the force. Net tension, shear-out and pull-through are means "
    "over a section, within a quarter to a half of tests.",
    f"A plate that is kept bowed loses {100 * RELAXED[0]:.0f} to {100 * RELAXED[1]:.0f} % of the force of its bow in "
    "months at room temperature, more near the softening temperature of its resin, as in a hot car; then it stays "
    "bent (from memory, no test known).",
    "Without its braces a frame lacks their spacers too, its screws clamp what is left, and what the braces carry "
    "stays where it is, resting as before on the plate that they were bolted to; a belly lands on the lowest plates "
    "that are left.",
)


def frame_strength(
    assembly: Assembly,
    thrust_ratio: float | None = None,
    cache: PartCache | None = None,
    in_time: bool = False,
    hover: HoverReport | None = None,
    size_factor: float = 1.0,
) -> StrengthStudy:
    """Solve a frame.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    thrust_ratio : float or None
        Full static thrust by weight; that of the motor's class when None [-].
    cache : mutable mapping or None
        Keeps reduced parts from one call to the next.
    in_time : bool
        Whether hits are stepped in time as well.
    hover : HoverReport or None
        Where it is known already.
    size_factor : float
        Size of the plates' elements by the usual size [-]; a cache holds one size.

    Raises
    ------
    StructureError
        If the ratio is below 1, a plate cannot be modelled, or something hangs together by nothing.
    """
    if thrust_ratio is not None and not (thrust_ratio >= 1 and math.isfinite(thrust_ratio)):
        msg = f"the thrust ratio must be 1 or more, or the craft cannot hover (got {thrust_ratio:g})."
        raise StructureError(msg)
    kept = {} if cache is None else cache
    model, *others = frame_models(assembly, (TYPICAL, SOFT, STIFF), kept, size_factor)
    ratio = _thrust_ratio(assembly, model.mass) if thrust_ratio is None else thrust_ratio
    records = (*built_in_cases(assembly, model, ratio), *assembly.design.load_case)
    loads = [case_of(assembly, model, record) for record in records]
    typical = solve_run(assembly, model, loads, ("low", "high"))
    runs = {"typical": typical} | {other.joints.name: solve_run(assembly, other, loads) for other in others}
    modes = [run.model.frame.modes(_MODES) for run in runs.values()]
    rows = mode_rows(assembly, typical.model, modes)
    speeds, speeds_from = speed_rows(assembly, rows, hover)
    cases = tuple(case_row(n, runs) for n in range(len(typical.cases)))
    own = frozenset(case.name for case in typical.cases if case.record in assembly.design.load_case)
    strength = FrameStrength(
        assembly.design.frame.name,
        typical.model.mass * G_PER_T,
        ratio,
        cases,
        kind_rows(typical),
        index_of(cases, own, typical.model.mass * G_PER_T * KG_PER_G),
        strike_rows(assembly, typical) if in_time else (),
        rows,
        arm_rows(assembly, typical.model),
        speeds,
        speeds_from,
        *shaken(assembly, typical.model, speeds),
        SHAKEN_BY,
        _without_braces(assembly, typical, ratio, kept, size_factor),
        _slip(assembly, typical),
        bow_rows(assembly, runs),
        screw_rows(assembly),
        _LIMITS,
    )
    return StrengthStudy(strength, typical.model, typical.static.freedoms, modes[0].shapes, assembly, typical.judged)


def _thrust_ratio(assembly: Assembly, mass: float) -> float:
    motor = next((r for r in carried_records(assembly) if isinstance(r, Motor)), None)
    if motor is None:
        return FULL_THRUST
    weight = mass * STANDARD_GRAVITY * MM_PER_M
    return max(motor.static_thrust_max_n * len(assembly.rotors) / weight, 1.0)


def _without_braces(
    assembly: Assembly, run: Run, ratio: float, kept: PartCache, size_factor: float
) -> tuple[WithoutRow, ...]:
    braces = frozenset(i.place.id for i in assembly.instances.values() if i.part.kind == "brace")
    if not braces:
        return ()
    left = without_places(assembly, braces)
    model = frame_model(left, TYPICAL, kept, size_factor)
    bare = solve_run(left, model, [case_of(left, model, record) for record in built_in_cases(left, model, ratio)])
    names = {c.name: n for n, c in enumerate(bare.cases)}
    rows = []
    for n, case in enumerate(run.cases):
        other = names.get(case.name)
        if case.is_hit and other is not None:
            rows.append(
                WithoutRow(
                    case.name,
                    2 * float(run.static.energy[n]),
                    2 * float(bare.static.energy[other]),
                    energy_at_failure(run, n),
                    energy_at_failure(bare, other),
                    bare.judged.first(other).what,
                )
            )
    return tuple(rows)


def _slip(assembly: Assembly, run: Run) -> tuple[SlipRow, ...]:
    at = {case.name: n for n, case in enumerate(run.cases)}
    if "full thrust" not in at:
        return ()
    struck = next((n for n, case in enumerate(run.cases) if case.name.startswith("tip edgewise")), None)
    hit = None if struck is None else run.static.freedoms[struck]
    return slip_rows(assembly, run.model, run.static.freedoms[at["full thrust"]], hit)
