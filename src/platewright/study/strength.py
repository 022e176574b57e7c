"""Structure of a whole frame: load cases with what fails first, vibration against rotor speeds, braces, screws."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.mass import mass_items, total_mass
from platewright.foundation.errors import StructureError
from platewright.foundation.units import G_PER_T, MM_PER_M, S_PER_MIN
from platewright.model.catalogue.power import Battery, Motor, Propeller
from platewright.rotor.air import STANDARD_GRAVITY
from platewright.structure.frame import FrameModes, FrameStatic
from platewright.structure.screws import ScrewLimits, energy_to_fracture
from platewright.study.strength_cases import FULL_THRUST, Case, built_in_cases
from platewright.study.strength_joints import SOFT, STIFF, TYPICAL, JointModel
from platewright.study.strength_judge import Limit, RecoveryCache, judge
from platewright.study.strength_model import FrameModel, frame_model
from platewright.study.strength_parts import PartCache
from platewright.study.strength_results import (
    CaseRow,
    FrameMode,
    FrameStrength,
    ScrewRow,
    SlipRow,
    SpeedRow,
    StrengthStudy,
    WithoutRow,
)
from platewright.study.strength_slip import slip_rows
from platewright.study.strength_vibration import shake_rows

__all__ = ["StrengthCache", "frame_strength"]

Floats = NDArray[np.float64]

_MODES = 12
_LEAST_BAND = math.sqrt(2)  # energy to failure is never printed sharper than this factor each way (no source) [-]
_LOADED = 0.75  # speed at full throttle by Kv times nominal voltage (common practice, no source) [-]
_FREE_THREAD = 5.0  # over which a screw may stretch, for comparing materials only [mm]
_LIMITS = (
    "Joints are springs that neither slip nor open; the soft and stiff models bound what is not known of them.",
    "Energies are strain energies of a slow load that the craft's own inertia balances; stress waves, crushing where "
    "the blow lands and damage from earlier blows are left out.",
    "Plies are judged 1 mm or more off rims of bolted holes; delamination and crushing under heads are left out.",
    "Screws are judged by tension with the moment that opens the joint, and shear as if friction held nothing; screws "
    "of motors and boards are not judged.",
    "Without its braces, what they carry is a mass at the bolt nearest to it.",
)


@dataclass
class StrengthCache:
    """What is kept from one frame to the next: reduced parts, and strains of parts."""

    parts: PartCache = field(default_factory=dict)
    strains: RecoveryCache = field(default_factory=dict)


@dataclass(frozen=True)
class _Run:
    """One joint model, solved."""

    model: FrameModel
    cases: list[Case]
    static: FrameStatic
    limits: list[list[Limit]]


def frame_strength(
    assembly: Assembly, thrust_ratio: float | None = None, cache: StrengthCache | None = None
) -> StrengthStudy:
    """Solve a frame.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    thrust_ratio : float or None
        Full static thrust by weight; that of the motor's class when None [-].
    cache : StrengthCache or None
        Kept between calls.

    Raises
    ------
    StructureError
        If the ratio is below 1, a plate cannot be modelled, or something hangs together by nothing.
    """
    if thrust_ratio is not None and not (thrust_ratio >= 1 and math.isfinite(thrust_ratio)):
        msg = f"the thrust ratio must be 1 or more, or the craft cannot hover (got {thrust_ratio:g})."
        raise StructureError(msg)
    kept = StrengthCache() if cache is None else cache
    ratio = _thrust_ratio(assembly) if thrust_ratio is None else thrust_ratio
    runs = {j.name: _run(assembly, j, ratio, kept) for j in (TYPICAL, SOFT, STIFF)}
    typical = runs["typical"]
    ends = [judge(assembly, typical.model, typical.static.freedoms, kept.strains, level) for level in ("low", "high")]
    modes = [run.model.frame.modes(_MODES) for run in runs.values()]
    rows = _mode_rows(typical.model, modes)
    speeds = _speeds(assembly, rows, ratio)
    strength = FrameStrength(
        assembly.design.frame.name,
        typical.model.mass * G_PER_T,
        ratio,
        tuple(_case_row(n, runs, ends) for n in range(len(typical.cases))),
        rows,
        speeds,
        shake_rows(assembly, typical.model, speeds),
        _without_braces(assembly, typical, ratio, kept),
        _slip(assembly, typical),
        _screws(assembly),
        _LIMITS,
    )
    return StrengthStudy(strength, typical.model, typical.static.freedoms, modes[0].shapes)


def _run(
    assembly: Assembly, joints: JointModel, ratio: float, kept: StrengthCache, without: frozenset[str] = frozenset()
) -> _Run:
    model = frame_model(assembly, joints, kept.parts, without)
    cases = built_in_cases(assembly, model, ratio)
    static = model.frame.solve(np.array([c.load for c in cases]).reshape(len(cases), -1))
    return _Run(model, cases, static, judge(assembly, model, static.freedoms, kept.strains))


def _energy(run: _Run, n: int, limits: Sequence[Limit]) -> float:
    """Strain energy at first failure [J]."""
    return float(run.static.energy[n]) * limits[0].ratio ** 2 / MM_PER_M


def _case_row(n: int, runs: dict[str, _Run], ends: Sequence[Sequence[Sequence[Limit]]]) -> CaseRow:
    run = runs["typical"]
    case, limits = run.cases[n], run.limits[n]
    first = limits[0]
    other = next((x for x in limits[1:] if x.what.split()[0] != first.what.split()[0]), limits[min(1, len(limits) - 1)])
    ratios = [first.ratio, *(r.limits[n][0].ratio for r in runs.values()), *(e[n][0].ratio for e in ends)]
    energy = _energy(run, n, limits)
    energies = [
        energy / _LEAST_BAND,
        energy * _LEAST_BAND,
        *(_energy(r, n, r.limits[n]) for r in runs.values()),
        *(_energy(run, n, e[n]) for e in ends),
    ]
    return CaseRow(
        case.name,
        case.text,
        None if case.is_hit else first.ratio,
        None if case.is_hit else (min(ratios), max(ratios)),
        energy if case.is_hit else None,
        (min(energies), max(energies)) if case.is_hit else None,
        case.effective_mass * G_PER_T if case.is_hit else None,
        first.what,
        first.how,
        other.what,
        other.ratio / first.ratio,
        runs["soft"].limits[n][0].what,
        runs["stiff"].limits[n][0].what,
    )


def _mode_rows(model: FrameModel, modes: Sequence[FrameModes]) -> tuple[FrameMode, ...]:
    typical, *others = modes
    heavy = typical.shapes @ model.frame.mass
    rows = []
    for n, shape in enumerate(typical.shapes):
        # the n-th frequency rises with every stiffness: a range by number is one of bounds
        ends = [float(other.frequencies[n]) for other in others]
        name, share = _mover(model, shape, heavy[n])
        rows.append(FrameMode(float(typical.frequencies[n]), ends[0], ends[1], name, 100 * share))
    return tuple(rows)


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


def _speeds(assembly: Assembly, modes: Sequence[FrameMode], ratio: float) -> tuple[SpeedRow, ...]:
    motor, battery, propeller = (_equipment(assembly, kind) for kind in (Motor, Battery, Propeller))
    if not (isinstance(motor, Motor) and isinstance(battery, Battery) and isinstance(propeller, Propeller)):
        return ()
    if motor.winding is None:
        return ()
    full = motor.winding.kv_rpm_per_v * battery.nominal_v * _LOADED
    hover = full / math.sqrt(ratio)
    rows = []
    for state, speed in (("hover", hover), ("cruise", (hover + full) / 2), ("full throttle", full)):
        rate = speed / S_PER_MIN
        blade = rate * propeller.blades[0]
        rows.append(SpeedRow(state, speed, rate, blade, _near(modes, rate), _near(modes, blade)))
    return tuple(rows)


def _near(modes: Sequence[FrameMode], rate: float) -> tuple[int, ...]:
    return tuple(
        n + 1 for n, m in enumerate(modes) if min(m.soft_hz, m.frequency_hz) <= rate <= max(m.stiff_hz, m.frequency_hz)
    )


def _thrust_ratio(assembly: Assembly) -> float:
    motor = _equipment(assembly, Motor)
    weight = total_mass(mass_items(assembly)).mass * STANDARD_GRAVITY * MM_PER_M
    if not isinstance(motor, Motor):
        return FULL_THRUST
    return max(motor.static_thrust_max_n * len(assembly.rotors) / weight, 1.0)


def _equipment(assembly: Assembly, kind: type) -> object | None:
    for equipment in assembly.design.equipment:
        for record in equipment.use.values():
            found = assembly.catalogue.find(record)[0]
            if isinstance(found, kind):
                return found
    return None


def _without_braces(assembly: Assembly, run: _Run, ratio: float, kept: StrengthCache) -> tuple[WithoutRow, ...]:
    braces = frozenset(i.place.id for i in assembly.instances.values() if i.part.kind == "brace")
    if not braces:
        return ()
    bare = _run(assembly, TYPICAL, ratio, kept, braces)
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
                    _energy(run, n, run.limits[n]),
                    _energy(bare, other, bare.limits[other]),
                    bare.limits[other][0].what,
                )
            )
    return tuple(rows)


def _slip(assembly: Assembly, run: _Run) -> tuple[SlipRow, ...]:
    at = {case.name: n for n, case in enumerate(run.cases)}
    if "full thrust" not in at:
        return ()
    hit = run.static.freedoms[at["tip edgewise"]] if "tip edgewise" in at else None
    return slip_rows(assembly, run.model, run.static.freedoms[at["full thrust"]], hit)


def _screws(assembly: Assembly) -> tuple[ScrewRow, ...]:
    """Return what the frame's main thread carries in each material."""
    sizes = [s.word.size for s in assembly.screws if not s.line.is_equipment]
    if not sizes:
        return ()
    thread = assembly.catalogue.thread(max(set(sizes), key=sizes.count))
    rows = []
    for name in ("12.9", "10.9", "A2-70", "titanium-5", "aluminium-7075"):
        material = assembly.catalogue.screw_class(name)
        limits = ScrewLimits.of(
            thread.stress_area_mm2, thread.minor_d_ext_mm, material.strength_min_mpa, material.shear_strength_mpa
        )
        stretch = material.elongation_min_pct
        energy = None
        if stretch is not None and material.yield_min_mpa is not None:
            energy = energy_to_fracture(
                thread.stress_area_mm2, _FREE_THREAD, material.yield_min_mpa, material.strength_min_mpa, stretch / 100
            )
        steel = assembly.catalogue.screw_class("12.9").density_g_cm3
        rows.append(
            ScrewRow(
                f"M{thread.d_mm:g}",
                name,
                limits.tension,
                limits.shear,
                stretch,
                None if energy is None else energy / MM_PER_M,
                material.elastic_modulus_mpa * thread.stress_area_mm2 / _FREE_THREAD,
                thread.mass_g_per_mm * _FREE_THREAD * material.density_g_cm3 / steel,
            )
        )
    return tuple(rows)
