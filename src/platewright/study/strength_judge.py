"""What fails first in each load case: plies of every plate, screws, threads, standoffs and holes.

A moment at a joint opens it about the edge of the smaller face that is pressed: the screw then carries the moment by
its radius as tension, besides tension and shear of its own. Shear is taken as if friction held nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.screws import ScrewFit
from platewright.model.catalogue.hardware import Standoff
from platewright.structure.links import Tube
from platewright.structure.screws import screw_uses
from platewright.study.strength_holes import Used, first_property, hole_uses, pull_through_uses, thread_use
from platewright.study.strength_joints import Bolted
from platewright.study.strength_laminates import Level, ply_strengths
from platewright.study.strength_model import FrameModel
from platewright.study.strength_mounts import limits_of, mount_uses

__all__ = ["Judged", "Limit", "judge", "plate_limits", "screw_of"]

Floats = NDArray[np.float64]

_NOTHING = 1e-12  # what is used less than this does not fail [-]


@dataclass(frozen=True)
class Limit:
    """One thing that may fail in one case.

    Parameters
    ----------
    what : str
        `plate arm.1`, `screw deck_long.1`, `standoff ...`, `bearing ...`.
    how : str
        The criterion.
    ratio : float
        By what the case may be multiplied [-].
    place : str
        The plate, empty for hardware.
    at : (float, float)
        Where on it, in the part's axes [mm].
    both : (float, float)
        Of a plate, the ratios by max strain and by Tsai-Wu; none for hardware [-].
    """

    what: str
    how: str
    ratio: float
    place: str = ""
    at: tuple[float, float] = (0.0, 0.0)
    both: tuple[float, float] | None = None


@dataclass(frozen=True)
class Judged:
    """Everything that may fail in some cases.

    Parameters
    ----------
    plates : sequence of sequences of Limit
        Of each plate, for each case.
    hardware : sequence of (str, str)
        What and by which criterion, of all else.
    ratios : (n, n_cases) float
        Of plates, then of all else [-].
    """

    plates: Sequence[Sequence[Limit]]
    hardware: Sequence[tuple[str, str]]
    ratios: Floats

    def first(self, case: int) -> Limit:
        """Return what fails first in a case."""
        return self._limit(int(self.ratios[:, case].argmin()), case)

    def ranked(self, case: int) -> list[Limit]:
        """Return everything that may fail in a case, least ratio first."""
        return [self._limit(n, case) for n in self.ratios[:, case].argsort(kind="stable").tolist()]

    def _limit(self, n: int, case: int) -> Limit:
        if n < len(self.plates):
            return self.plates[n][case]
        return Limit(*self.hardware[n - len(self.plates)], float(self.ratios[n, case]))


def judge(
    assembly: Assembly, model: FrameModel, freedoms: Floats, levels: Sequence[Level] = ("typical",)
) -> list[Judged]:
    """Return what may fail in each case, for each level of strength.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Its model.
    freedoms : (n_cases, n) float
        As solved.
    levels : sequence of str
        `low`, `typical` or `high` strength of plates.
    """
    forces = [(joint, joint.spring.force(freedoms)) for joint in model.bolted]
    hardware = [use for joint, six in forces for use in _joint(assembly, joint, six)]
    hardware += mount_uses(assembly, model, freedoms)
    plates = [plate_limits(assembly, model, freedoms, name, levels) for name in model.plates]
    found = []
    for n, level in enumerate(levels):
        own = [limits[n] for limits in plates]
        rest = [
            *hardware,
            *hole_uses(assembly, model, forces, level),
            *pull_through_uses(assembly, forces, level),
        ]
        used = np.array([use for _, _, use in rest]).reshape(-1, len(freedoms))
        ratios = np.full(used.shape, np.inf)
        np.divide(1, used, out=ratios, where=used > _NOTHING)
        both = np.concatenate([np.array([[x.ratio for x in limits] for limits in own]), ratios])
        found.append(Judged(own, [(what, how) for what, how, _ in rest], both))
    return found


def plate_limits(
    assembly: Assembly, model: FrameModel, freedoms: Floats, name: str, levels: Sequence[Level]
) -> list[list[Limit]]:
    """Return where one plate comes nearest to failing in each case, for each level of strength.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    model : FrameModel
        Its model.
    freedoms : (n_cases, n) float
        Of the frame.
    name : str
        The plate.
    levels : sequence of str
        `low`, `typical` or `high` strength.
    """
    number, instance = model.plates[name], assembly.instances[name]
    part = model.parts[instance.part.id]
    own = slice(int(model.frame.starts[number]), int(model.frame.starts[number + 1]))
    strengths = [
        ply_strengths(assembly.catalogue, instance.part.material, len(part.laminate.plies), level) for level in levels
    ]
    return [
        [Limit(f"plate {name}", worst.criterion, worst.ratio, name, (worst.x, worst.y), worst.both) for worst in cases]
        for cases in part.recovery.worst(freedoms[:, own], strengths)
    ]


def _joint(assembly: Assembly, joint: Bolted, six: Floats) -> list[Used]:
    """Return what may fail at a joint, by what, and how much of it each case uses."""
    tension, shear, ends = joint.opening(six)
    found = []
    for item, bending in zip((joint.near, joint.far), ends, strict=True):
        fit = screw_of(assembly, joint, item)
        if fit is not None:
            limits, pull = limits_of(fit), tension + bending / joint.radius
            used = screw_uses(limits, pull, shear)
            found.append((f"screw {fit.name}", "tension and shear", used))
            thread = thread_use(assembly, fit, pull)
            found += [] if thread is None else [thread]
    found += _tubes(assembly, joint, tension, np.maximum(*ends))
    return found


def screw_of(assembly: Assembly, joint: Bolted, item: int) -> ScrewFit | None:
    """Return the screw that clamps a joint; of two that meet in it, the one on the side of an item."""
    fits = [s for s in assembly.screws if s.line.name == joint.line.name]
    through = [s for s in fits if joint.near in s.path and joint.far in s.path]
    return through[0] if through else min(fits, key=lambda s: abs(s.index - item), default=None)


def _tubes(assembly: Assembly, joint: Bolted, tension: Floats, bending: Floats) -> list[Used]:
    found = []
    for item in joint.line.items[joint.near + 1 : joint.far]:
        record = item.record
        if isinstance(record, Standoff):
            tube = Tube(record.outer_d_mm, 0.8 * assembly.catalogue.thread(record.thread).d_mm, 1.0)
            stress = np.abs(tension) / tube.area + bending * tube.outer / 2 / tube.second_moment_of_area
            strength = first_property(
                assembly.catalogue.material(record.material).properties, "ultimate_mpa", "yield_mpa"
            )
            if strength is not None:
                found.append((f"standoff {joint.line.name}", "bending", stress / strength.typical))
    return found
