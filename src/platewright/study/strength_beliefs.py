"""What makers hold about arm screws and braces, tried on a frame: the words follow from its numbers.

Compared in hits on the tips and blades that catch, with soft, typical and stiff joints. A screw of another material is
judged by the forces of the frame as it is: how its own stiffness would share them anew lies within the joints' range.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.screws import ScrewFit
from platewright.foundation.units import MM_PER_M
from platewright.model.catalogue.fasteners import ScrewClass
from platewright.structure.screws import ScrewLimits, energy_to_fracture
from platewright.study.belief_results import Belief, ScrewChoice, verdict
from platewright.study.strength_cases import built_in_cases
from platewright.study.strength_joints import SOFT, STIFF, TYPICAL
from platewright.study.strength_judge import screw_of
from platewright.study.strength_loads import case_of
from platewright.study.strength_model import FrameModel, frame_models
from platewright.study.strength_parts import PartCache
from platewright.study.strength_runs import Run, solve_run
from platewright.study.strength_shapes import rotor_place
from platewright.study.strength_without import without_places

__all__ = ["MATERIALS", "belief_rows", "material_words"]

Floats = NDArray[np.float64]

MATERIALS = ("12.9", "10.9", "A2-70", "titanium-5", "aluminium-7075")
_LIGHT = ("titanium-5", "aluminium-7075")


@dataclass(frozen=True)
class _Load:
    """What one arm screw carries in each hit: pull, opening by moments as pull, and shear [N]."""

    fit: ScrewFit
    pull: Floats
    bent: Floats
    shear: Floats

    def used(self, limits: ScrewLimits) -> Floats:
        """Return how much of the screw is used, 1 at fracture."""
        along = np.maximum(self.pull + self.bent, 0.0) / limits.tension
        found: Floats = np.hypot(along, self.shear / limits.shear)
        return found


def belief_rows(assembly: Assembly, kept: PartCache) -> tuple[tuple[ScrewChoice, ...], tuple[Belief, ...]]:
    """Return the arm screws in each material, and what makers hold with what a frame says of it.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    kept : mutable mapping
        Reduced parts, kept between calls.

    Raises
    ------
    StructureError
        If the frame cannot be solved.
    """
    runs = _runs(assembly, kept)
    loads = [_loads(assembly, run) for run in runs]
    if not runs or not all(loads):
        return (), ()
    choices = tuple(_choice(assembly, name, runs, loads) for name in MATERIALS)
    found = [_materials(choices), _shear_or_bending(loads)]
    braces = frozenset(i.place.id for i in assembly.instances.values() if i.part.kind == "brace")
    if braces:
        left = without_places(assembly, braces)
        bare = _runs(left, kept)
        found.append(_brace(runs, bare, loads, [_loads(left, run) for run in bare]))
    return choices, tuple(found)


def material_words(band: tuple[float, float]) -> str:
    """Return whether screws break before anything else does, in words.

    Parameters
    ----------
    band : (float, float)
        Load at which they break by that of the first other failure, over joints [-].

    Examples
    --------
    >>> material_words((1.5, 3.0)), material_words((0.4, 0.9)), material_words((0.9, 1.2))
    ('no', 'yes', 'with some joints')
    """
    return {"holds": "no", "does not hold": "yes", "open": "with some joints"}[verdict(band)]


def _runs(assembly: Assembly, kept: PartCache) -> list[Run]:
    """Return the hits on tips with typical, soft and stiff joints; nothing for a frame without rotors on its plates."""
    models = frame_models(assembly, (TYPICAL, SOFT, STIFF), kept)
    records = built_in_cases(assembly, models[0])
    tips = [c for c in records if c.id.startswith(("tip_", "propeller_strike"))]
    cases = [case_of(assembly, models[0], tip) for tip in tips]
    return [solve_run(assembly, model, cases) for model in models] if cases else []


def _loads(assembly: Assembly, run: Run) -> list[_Load]:
    """Return what each screw that holds an arm carries; of a frame in one piece, each that holds its rotors' plate."""
    arms = _arms(assembly, run.model)
    found = []
    for joint in run.model.bolted:
        places = {i.instance.name for n in (joint.near, joint.far) if (i := joint.line.items[n]).instance is not None}
        fit = screw_of(assembly, joint, joint.near)
        if fit is None or not places & arms:
            continue
        six = joint.spring.force(run.static.freedoms)
        force, moment = six[:, :3], six[:, 3:]
        pull = force @ joint.axis
        shear = np.linalg.norm(force - pull[:, None] * joint.axis, axis=1)
        bent = np.linalg.norm(moment - (moment @ joint.axis)[:, None] * joint.axis, axis=1) / joint.radius
        found.append(_Load(fit, pull, bent, shear))
    return found


def _arms(assembly: Assembly, model: FrameModel) -> set[str]:
    arms = {n for n in model.plates if assembly.instances[n].part.kind == "arm"}
    return arms or {rotor_place(model, rotor) for rotor in model.rotor_points}


def _limits(fit: ScrewFit, material: ScrewClass) -> ScrewLimits:
    thread = fit.thread
    return ScrewLimits.of(
        thread.stress_area_mm2,
        thread.minor_d_ext_mm,
        material.strength_min_mpa,
        material.shear_strength_mpa,
        fit.screw.load_factor,
    )


def _times_later(run: Run, loads: list[_Load], material: ScrewClass) -> float:
    """Return the least load at which an arm screw breaks, by that of the first other failure of the same hit."""
    own = {f"screw {load.fit.name}" for load in loads}
    used = np.max([load.used(_limits(load.fit, material)) for load in loads], axis=0)
    ranked = (run.judged.ranked(n) for n in range(len(run.cases)))
    others = [next((x.ratio for x in limits if x.what not in own), math.inf) for limits in ranked]
    return min(1 / max(float(u), 1e-12) / other for u, other in zip(used, others, strict=True))


def _choice(assembly: Assembly, name: str, runs: list[Run], loads: list[list[_Load]]) -> ScrewChoice:
    material = assembly.catalogue.screw_class(name)
    times = [_times_later(run, own, material) for run, own in zip(runs, loads, strict=True)]
    longest = max((load.fit for load in loads[0]), key=lambda fit: fit.length)
    limits = _limits(longest, material)
    area, stretch = longest.thread.stress_area_mm2, material.elongation_min_pct
    energy = None
    if stretch is not None and material.yield_min_mpa is not None:
        work = energy_to_fracture(
            area, longest.thread.d_mm, material.yield_min_mpa, material.strength_min_mpa, stretch / 100
        )
        energy = work / MM_PER_M
    band = (min(times), max(times))
    return ScrewChoice(
        name,
        limits.tension,
        limits.shear,
        stretch,
        energy,
        material.elastic_modulus_mpa * area / longest.length,
        times[0],
        band,
        material_words(band),
    )


def _materials(choices: tuple[ScrewChoice, ...]) -> Belief:
    """Judge it by the better of the light materials: it holds where even that one breaks before all else."""
    light = max((c for c in choices if c.material in _LIGHT), key=lambda c: c.times_later)
    steel = next(c for c in choices if c.material == "12.9")
    band = (1 / light.band[1], 1 / light.band[0])
    said = verdict(band)
    if said == "holds" and verdict(steel.band) == "does not hold":
        said = "holds, but 12.9 breaks first too"
    needed = next((c.material for c in reversed(choices) if verdict(c.band) == "holds"), None)
    words = ", ".join(f"{c.material} breaks first: {c.breaks_first} ({c.times_later:.2f})" for c in choices)
    enough = "none of them outlasts all else" if needed is None else f"the lightest that outlasts all else: {needed}"
    return Belief(
        "long arm screws must be 12.9 steel, not titanium or aluminium",
        f"load of the first other failure by that at which arm screws of {light.material} break, worst tip hit",
        1 / light.times_later,
        band,
        1.0,
        said,
        f"{words}; {enough}",
    )


def _shear_or_bending(loads: list[list[_Load]]) -> Belief:
    """Compare, for the arm screw that is used most, what bends its joint open with what shears it."""
    ratios, shares = [], []
    for own in loads:
        worst = max(own, key=lambda load: float(load.used(_limits(load.fit, load.fit.material)).max()))
        limits = _limits(worst.fit, worst.fit.material)
        n = int(np.argmax(worst.used(limits)))
        bent, shear = float(worst.bent[n]) / limits.tension, float(worst.shear[n]) / limits.shear
        ratios.append(bent / max(shear, 1e-12))
        shares.append((worst.fit, limits, 100 * bent / (bent + shear), 100 * shear / (bent + shear)))
    fit, limits, bent, shear = shares[0]
    band = (min(ratios), max(ratios))
    lever = limits.moment / limits.shear
    words = (
        f"{fit.name}: {bent:.0f} % of its use is bending of the joint, {shear:.0f} % shear; bare, it breaks by bending "
        f"before shear where a force acts more than {lever:.2f} mm off"
    )
    said = verdict(band)
    return Belief(
        "shear hurts a screw less than bending does",
        "use by bending over use by shear of the arm screw that is used most, worst tip hit",
        ratios[0],
        band,
        1.0,
        said,
        words,
    )


def _brace(runs: list[Run], bare: list[Run], loads: list[list[_Load]], bare_loads: list[list[_Load]]) -> Belief:
    """Compare how much a brace relieves the arm screws with how much it stiffens, per newton on the tips."""
    relief, stiffer = [], []
    for run, other, own, bare_own in zip(runs, bare, loads, bare_loads, strict=True):
        names = {case.name: n for n, case in enumerate(other.cases)}
        pairs = [(n, names[case.name]) for n, case in enumerate(run.cases) if case.name in names]
        with_, without = (
            np.max([load.used(_limits(load.fit, load.fit.material)) for load in each], axis=0)
            for each in (own, bare_own)
        )
        relief.append(_mean([float(without[m] / with_[n]) for n, m in pairs]))
        stiffer.append(_mean([float(other.static.energy[m] / run.static.energy[n]) for n, m in pairs]))
    ratios = [a / b for a, b in zip(relief, stiffer, strict=True)]
    band = (min(ratios), max(ratios))
    words = (
        f"without braces arm screws carry {_more(relief[0])} % ({_more(min(relief))} to {_more(max(relief))}) and tips "
        f"give way {_more(stiffer[0])} % ({_more(min(stiffer))} to {_more(max(stiffer))}), mean of all tip hits"
    )
    protects, stiffens = verdict((min(relief), max(relief))), verdict((min(stiffer), max(stiffer)))
    said = verdict(band)
    if said == "holds" and protects != "holds":
        said = "does not hold" if protects == "does not hold" else "open"
    words += f"; it protects: {protects}; it stiffens: {stiffens}"
    return Belief(
        "a brace protects screws rather than stiffens",
        "relief of the arm screws over stiffening of the tips, with braces against without",
        ratios[0],
        band,
        1.0,
        said,
        words,
    )


def _mean(values: list[float]) -> float:
    return math.exp(sum(math.log(v) for v in values) / len(values))


def _more(ratio: float) -> str:
    """Return by how many percent a ratio is more than 1, in words."""
    return f"{round(100 * (ratio - 1)):+d}"
