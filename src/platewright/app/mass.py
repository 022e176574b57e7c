"""What mass depends on: grams per unit of each parameter, and of another screw material."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from platewright.app.load import Loaded, assemble_tree, load
from platewright.assembly.hardware import screw_mass
from platewright.assembly.mass import bare_lines
from platewright.foundation.errors import DesignFileError
from platewright.foundation.units import G_PER_T
from platewright.study.check import mass_report
from platewright.study.results import MassReport

__all__ = ["MassStudy", "MaterialEffect", "ParameterEffect", "mass_study"]

_STEP = 0.25  # how far a parameter is moved each way, in its own unit [-]


@dataclass(frozen=True)
class ParameterEffect:
    """What one parameter buys: grams of bare frame and of the whole build per unit of the parameter.

    `reason` says why it could not be moved; the numbers are then None.
    """

    parameter: str
    value: float
    bare_g_per_unit: float | None
    build_g_per_unit: float | None
    reason: str = ""


@dataclass(frozen=True)
class MaterialEffect:
    """What all screws of one kind weigh, and would weigh in another material."""

    screw: str
    quantity: int
    bare: bool
    mass_g: float
    other_g: dict[str, float]


@dataclass(frozen=True)
class MassStudy:
    """Masses of a frame with what they depend on."""

    frame: str
    mass: MassReport
    parameters: tuple[ParameterEffect, ...]
    screws: tuple[MaterialEffect, ...]


def mass_study(path: Path, records: Path | None = None, cache: Path | None = None) -> MassStudy:
    """Masses of a design file and what they depend on.

    Parameters
    ----------
    path, records, cache
        As in `load`.

    Raises
    ------
    DesignFileError
        If the file is invalid.

    Notes
    -----
    Central differences of 0.25 of a unit, the design resolved anew each time; where a step changes a screw's length the
    slope holds that jump.
    """
    loaded = load(path, records, cache)
    name = loaded.assembly.design.frame.name
    return MassStudy(name, mass_report(loaded.assembly), tuple(_parameters(loaded)), tuple(_screws(loaded)))


def _parameters(loaded: Loaded) -> Iterator[ParameterEffect]:
    for name, value in loaded.assembly.design.parameters.items():
        try:
            low, high = (_masses(loaded, name, value + sign * _STEP) for sign in (-1, 1))
        except DesignFileError as error:
            yield ParameterEffect(name, value, None, None, error.problems[0].message)
            continue
        yield ParameterEffect(name, value, (high[0] - low[0]) / (2 * _STEP), (high[1] - low[1]) / (2 * _STEP))


def _masses(loaded: Loaded, name: str, value: float) -> tuple[float, float]:
    """Bare and whole mass with one parameter replaced [g]."""
    report = mass_report(assemble_tree(loaded.tree, loaded.catalogue, loaded.outlines, {name: value}))
    return report.bare.mass_g, report.with_battery.mass_g


def _screws(loaded: Loaded) -> Iterator[MaterialEffect]:
    assembly = loaded.assembly
    bare = bare_lines(assembly)
    groups: dict[tuple[str, bool], list[int]] = {}
    for n, screw in enumerate(assembly.screws):
        size, style, grade, length = screw.size_key
        groups.setdefault((f"{size}x{length:g} {style} {grade}", screw.line.name in bare), []).append(n)
    materials = [loaded.catalogue.screw_class(c.id) for c in loaded.catalogue.records("screw_class")]
    others = {m.id: m for m in materials if m.id in ("12.9", "A2-70", "titanium-5", "aluminium-7075")}
    for (name, in_bare), members in groups.items():
        own = [assembly.screws[n] for n in members]
        yield MaterialEffect(
            name,
            len(own),
            in_bare,
            sum(screw_mass(s) for s in own) * G_PER_T,
            {i: sum(screw_mass(s, m) for s in own) * G_PER_T for i, m in others.items()},
        )
