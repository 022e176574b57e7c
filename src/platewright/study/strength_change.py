"""What one number of a design buys: mass, stiffness of the tips, first frequency and energy to first failure per unit.

Differences of whole solutions of the design, a step down and a step up, with typical joints. The mesh of each part is
carried along with its outline, so that a step changes the part and hardly what the mesh makes of it; where an outline
changes too much for that it is meshed anew.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import G_PER_T
from platewright.study.strength_cases import built_in_cases
from platewright.study.strength_loads import case_of
from platewright.study.strength_model import FrameModel
from platewright.study.strength_modes import mode_rows
from platewright.study.strength_parts import ModelPart
from platewright.study.strength_runs import energy_at_failure, solve_run

__all__ = ["ChangeRow", "FrameNumbers", "Slope", "change_row", "failed_row", "frame_numbers"]

_MODES = 16
_HEAVY = 0.02  # a step that weighs less than this weighs nothing [g]


@dataclass(frozen=True)
class FrameNumbers:
    """What a change is judged by.

    Parameters
    ----------
    mass_g : float
        Ready to fly.
    stiffness_n_per_mm : float
        The softest tip, pushed straight down on the free frame.
    frequency_hz : float
        The lowest at which an arm or a plate moves most.
    shape : str
        Its shape.
    energy_j : float
        The least that a hit on a tip takes until something fails.
    first_failure : str
        What fails then, and in which case.
    meshed_anew : tuple of str
        Parts that could not take the mesh of the frame they are compared with.
    """

    mass_g: float
    stiffness_n_per_mm: float
    frequency_hz: float
    shape: str
    energy_j: float
    first_failure: str
    meshed_anew: tuple[str, ...] = ()


@dataclass(frozen=True)
class Slope:
    """Change of one number in percent of itself per unit of what is moved, the band from both steps and the mesh.

    `is_known` says whether the band leaves zero out.
    """

    percent_per_unit: float
    band: tuple[float, float]
    per_gram: float | None
    is_known: bool


@dataclass(frozen=True)
class ChangeRow:
    """What one named number of the design does; `reason` says why it could not be moved, all else is then None.

    `turns_to` names what fails first after a step, where that differs from now: the slope of the energy then holds for
    one side only. `meshed_anew` names the parts whose outlines a step changes too much for their meshes to be carried
    along, `is_carried` says whether there is a side where all were.
    """

    name: str
    value: float
    step: float
    sides: int
    mass_g_per_unit: float | None
    stiffness: Slope | None
    frequency: Slope | None
    energy: Slope | None
    turns_to: str
    reason: str
    meshed_anew: tuple[str, ...] = ()
    is_carried: bool = True


def frame_numbers(
    assembly: Assembly, model: FrameModel, like: Mapping[str, ModelPart] | None = None
) -> FrameNumbers | None:
    """Return what a change is judged by; None for a frame without rotors on arms or plates.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Its model, with typical joints.
    like : mapping of str to ModelPart or None
        Parts of the frame it is compared with.

    Raises
    ------
    StructureError
        If the frame cannot be solved.
    """
    tips = [case for case in built_in_cases(assembly, model) if case.id.startswith(("tip_", "propeller_strike"))]
    if not tips:
        return None
    run = solve_run(assembly, model, [case_of(assembly, model, tip) for tip in tips])
    softest = max(
        2 * float(run.static.energy[n]) for n, c in enumerate(run.cases) if c.name.startswith("tip from above")
    )
    energies = [energy_at_failure(run, n) for n in range(len(tips))]
    least = min(range(len(tips)), key=lambda n: energies[n])
    modes = model.frame.modes(_MODES)
    rows = mode_rows(assembly, model, [modes, modes, modes])
    first = next((m for m in rows if "." not in m.moves), rows[0])
    return FrameNumbers(
        model.mass * G_PER_T,
        1 / softest,
        first.frequency_hz,
        first.shape,
        energies[least],
        f"{run.judged.first(least).what} in {run.cases[least].name}",
        tuple(name for name, part in model.parts.items() if _is_anew(part, (like or {}).get(name))),
    )


def failed_row(name: str, value: float, reason: str) -> ChangeRow:
    """Return the row of a number that cannot be moved."""
    return ChangeRow(name, value, 0.0, 0, None, None, None, None, "", reason)


def change_row(
    name: str,
    value: float,
    step: float,
    now: FrameNumbers,
    noise: FrameNumbers,
    ends: tuple[FrameNumbers | None, FrameNumbers | None],
) -> ChangeRow:
    """Return what a number does, from the frame as it is and a step down and a step up.

    Parameters
    ----------
    name : str
        Of the number.
    value, step : float
        The number and its step, in its own unit.
    now, noise : FrameNumbers
        The frame, and the same on another mesh: what they differ by is not known of a slope.
    ends : (FrameNumbers or None, FrameNumbers or None)
        A step down and a step up; None where the design cannot be built so.

    Notes
    -----
    Each side gives a slope (f(p +- h) - f(p)) / (+-h); their mean is the central difference. The band holds both. On a
    carried mesh it is widened by the share of the slope that the other mesh changes in the number itself,
    |slope| |f' / f - 1|; on a mesh made anew by |f' - f| / h, and a side that is meshed anew counts only where both
    are. A slope whose band holds zero is not known.
    """
    sides = [(sign * step, end) for sign, end in zip((-1, 1), ends, strict=True) if end is not None]
    heavier = [(end.mass_g - now.mass_g) / move for move, end in sides]
    mass = sum(heavier) / len(heavier)
    grams = mass if abs(mass) * step > _HEAVY else None
    carried = [(move, end) for move, end in sides if not end.meshed_anew]

    def slope(of: str) -> Slope:
        here = float(getattr(now, of))
        slopes = [100 * (float(getattr(end, of)) / here - 1) / move for move, end in carried or sides]
        mean = sum(slopes) / len(slopes)
        mesh = abs(float(getattr(noise, of)) / here - 1)
        spread = mesh * (max(abs(s) for s in slopes) if carried else 100 / step)
        band = (min(slopes) - spread, max(slopes) + spread)
        return Slope(mean, band, None if grams is None else mean / grams, not band[0] <= 0 <= band[1])

    turned = dict.fromkeys(end.first_failure for _, end in sides if end.first_failure != now.first_failure)
    return ChangeRow(
        name,
        value,
        step,
        len(sides),
        mass,
        slope("stiffness_n_per_mm"),
        slope("frequency_hz"),
        slope("energy_j"),
        "; ".join(turned),
        "",
        tuple(dict.fromkeys(part for _, end in sides for part in end.meshed_anew)),
        bool(carried),
    )


def _is_anew(part: ModelPart, like: ModelPart | None) -> bool:
    """Whether a part has other triangles than one that it is like."""
    return like is not None and part.reduced.mesh.triangles is not like.reduced.mesh.triangles
