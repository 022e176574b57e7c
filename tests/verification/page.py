"""Published cases as data, what the product gives for each, and the page made of both.

A case has its inputs, a reference and a tolerance with its reason. The reference is a printed number (`published`), a
closed form of the inputs (`formula`), or a cell of a data file of the package bd_warehouse (`package`). Inputs written
as lists give several numbers. Run as a program, this writes `docs/verification.md`.
"""

from __future__ import annotations

import csv
import math
import sys
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np

from impact_cases import IMPACT
from nest_cases import NESTS
from platewright.assembly.screws import length_tolerance
from platewright.assembly.torque import bearing_area, permitted_preload, tightening_torque
from platewright.foundation.units import NM_PER_NMM
from platewright.geometry.loops import (
    Circle,
    Isometry,
    Loop,
    Outline,
    circle_loop,
    outline_properties,
    transform_outline,
)
from platewright.geometry.shapes import rectangle_loop, rounded_polygon
from platewright.model.catalogue import load_catalogue
from platewright.rotor.descent import descent_range
from platewright.rotor.wake import wake_inflow
from platewright.shop.acceptance import acceptance_probability, sampling_plan
from propeller_bands import section as propeller_section
from propeller_classes import section as class_section
from rotor_cases import ROTORS
from shop_cases import SHOP
from structure_cases import STRUCTURE
from thrust_stand_pairs import section as pair_section
from vibration_cases import VIBRATION

__all__ = ["Case", "all_cases", "page_text"]

CASES = Path(__file__).parent / "cases"
PAGE = Path(__file__).parents[2] / "docs" / "verification.md"
CATALOGUE = load_catalogue()

HEAD = """# Verification

What is checked against the outside. This page is built from the cases in `tests/verification/cases` by
`sh scripts/verification_page`; the tests compare every number below with its tolerance, and this page with a fresh one.
Differences are the greatest of a row, relative to the reference.

| status | what stands behind the reference |
|---|---|
| read | the published value was read in a public copy; the standard's own text was not at hand |
| copy | an independent transcription of the standard, read from its data file when the test runs |
| formula | recomputed from the published formula, which is remembered; its printed table was not at hand |
| memory | the published value is remembered |
| measured | another program's result on our own case, recorded; a slow test runs it again and compares |
| unresolved | our value and the remembered one differ, and the test expects them to |

More in the same folder: whole catalogue tables, laws that tables must obey, and figures in other positions.
In `tests/unit/geometry` the CAD kernel and a polygon library give second opinions on outlines; in `tests/unit/io`
DXF, STEP and GLB are read back with software that is not ours.

What has no outside check is listed at the end.
"""
TAIL = """
## Without an outside check

- Least engagements, the share of 0.8 in the worst case, edge distances, room for drivers and spanners: common practice,
  no source.
- The pressure limit of 140 MPa on carbon plate: from memory of VDI 2230.
- Thread stripping: the formula of FED-STD-H28/2 from memory, no worked example at hand.
- The shape of bowed plates: a spline.
- Masses and sizes of equipment: each record names its provenance.
- Drag of frames and what the wakes take in forward flight: methods and coefficients from memory. Download and coaxial
  power are held against published bands alone.
"""


@dataclass(frozen=True)
class Case:
    """One case: its reference values, ours, and how far they may differ."""

    title: str
    source: str
    what: str
    unit: str
    status: str
    reason: str
    published: tuple[float, ...]
    ours: tuple[float, ...]
    allowed: tuple[float, ...]
    unresolved: str

    @property
    def agrees(self) -> bool:
        """Whether every number lies within its tolerance."""
        return all(abs(o - p) <= a for o, p, a in zip(self.ours, self.published, self.allowed, strict=True))

    @property
    def allowed_percent(self) -> float:
        """Greatest allowed difference relative to the reference."""
        return max(100 * abs(a / p) for a, p in zip(self.allowed, self.published, strict=True))

    @property
    def difference_percent(self) -> float:
        """Greatest difference relative to the reference."""
        return max(100 * abs(o / p - 1) for o, p in zip(self.ours, self.published, strict=True))


def all_cases() -> Iterator[Case]:
    """Yield the cases of all files, in their order."""
    for file in sorted(CASES.glob("*.toml")):
        data = tomllib.loads(file.read_text(encoding="utf-8"))
        for row in data["case"]:
            yield _case(data, row)


def page_text() -> str:
    """Return the page."""
    lines = [HEAD.rstrip("\n")]
    title = ""
    for case in all_cases():
        if case.title != title:
            title = case.title
            lines += ["", f"## {title}", "", f"{case.source}.", ""]
            lines += [
                "| case | status | published | ours | difference | allowed, because |",
                "|---|---|---|---|---|---|",
            ]
        status = "unresolved" if case.unresolved else case.status
        published = " / ".join(_short(p) for p in case.published) + f" {case.unit}"
        ours = " / ".join(_short(o) for o in case.ours)
        why = f"{_percent(case.allowed_percent)}: {case.unresolved or case.reason}"
        lines.append(f"| {case.what} | {status} | {published} | {ours} | {_percent(case.difference_percent)} | {why} |")
    return "\n".join(lines) + "\n\n" + propeller_section() + "\n" + class_section() + "\n" + pair_section() + TAIL


def _case(data: Mapping[str, Any], row: Mapping[str, Any]) -> Case:
    given = _rows(row["given"])
    if "published" in row:
        published = [float(p) for p in row["published"]]
    elif "package" in row:
        cells = _rows({**row["package"], "_count": [0] * len(given)})
        published = [float(_table(c["table"])[c["row"]][c["column"]]) for c in cells]
    else:
        names = {name: getattr(math, name) for name in ("pi", "sqrt", "sin", "cos", "exp")}
        published = [eval(row["formula"], {"__builtins__": {}}, names | g) for g in given]
    quantity = QUANTITIES[row["quantity"]]
    ours = [float(quantity(**_wanted(quantity, g))) for g in given]
    relative = row.get("relative")
    absolute = row.get("tolerance", 0.0)
    tolerances = absolute if isinstance(absolute, list) else [absolute] * len(published)
    allowed = [abs(p) * relative for p in published] if relative is not None else tolerances
    return Case(
        data["title"],
        data["source"],
        row["what"],
        row["unit"],
        row["status"],
        row["reason"],
        tuple(published),
        tuple(ours),
        tuple(allowed),
        row.get("unresolved", ""),
    )


def _rows(given: Mapping[str, Any]) -> list[dict[str, Any]]:
    """One set of inputs per number: lists run, single values stay."""
    count = max(len(v) for v in given.values() if isinstance(v, list))
    return [{k: v[i] if isinstance(v, list) else v for k, v in given.items()} for i in range(count)]


def _wanted(quantity: Callable[..., float], given: Mapping[str, Any]) -> dict[str, Any]:
    """Leave out the inputs that only the reference's formula uses."""
    code = quantity.__code__
    if code.co_flags & 0x08:  # takes any keyword
        return dict(given)
    return {k: v for k, v in given.items() if k in code.co_varnames[: code.co_argcount]}


def _percent(value: float) -> str:
    return f"{value:.2g} %" if value > 1e-9 else "0"


def _short(value: float) -> str:
    return f"{value:.5g}"


@cache
def _table(name: str) -> dict[str, dict[str, str]]:
    """One data file of the package: row by its first column, column names stripped."""
    text = (resources.files("bd_warehouse") / "data" / f"{name}.csv").read_text(encoding="utf-8-sig")
    rows = csv.reader(text.splitlines())
    header = [cell.strip() for cell in next(rows)]
    return {row[0]: dict(zip(header, row, strict=False)) for row in rows}


# ---- what the product gives -------------------------------------------------------------------------------------


def _thread(size: str, field: str) -> float:
    return getattr(CATALOGUE.thread(size), field)


def _screw(size: str, style: str, field: str) -> float:
    return getattr(CATALOGUE.screw(size, style), field)


def _nut(size: str, style: str, field: str) -> float:
    return getattr(CATALOGUE.nut(size, style), field)


def _washer(size: str, field: str) -> float:
    return getattr(CATALOGUE.washer(size), field)


def _clearance_hole(size: str, fit: str) -> float:
    return CATALOGUE.clearance_hole(size, fit).d_mm


def _screw_class(grade: str, field: str) -> float:
    return getattr(CATALOGUE.screw_class(grade), field)


def _load(size: str, grade: str, field: str) -> float:
    return CATALOGUE.thread(size).stress_area_mm2 * _screw_class(grade, field)


def _button_load(size: str, grade: str) -> float:
    return CATALOGUE.screw(size, "button").load_factor * _load(size, grade, "strength_min_mpa")


def _grade(grade: int, low: int, high: int) -> float:
    return CATALOGUE.rule(f"tolerance.it{grade}_{low}_to_{high}_um").value


def _length_tolerance(length: float) -> float:
    return length_tolerance(length)


def _preload(size: str, grade: str, friction: float) -> float:
    thread = CATALOGUE.thread(size)
    stress_diameter = math.sqrt(4 * thread.stress_area_mm2 / math.pi)
    strength = CATALOGUE.screw_class(grade).yield_min_mpa
    return permitted_preload(strength, thread.pitch_mm, thread.pitch_d_mm, stress_diameter, friction)


def _torque_of(force: float, size: str, friction: float, bearing: float, hole: float) -> float:
    thread = CATALOGUE.thread(size)
    return tightening_torque(force, thread.pitch_mm, thread.pitch_d_mm, (bearing + hole) / 2, friction) * NM_PER_NMM


def _torque(size: str, grade: str, friction: float, bearing: float, hole: float) -> float:
    return _torque_of(_preload(size, grade, friction), size, friction, bearing, hole)


def _nut_factor(size: str, grade: str, friction: float, bearing: float, hole: float) -> float:
    force = _preload(size, grade, friction)
    return _torque_of(force, size, friction, bearing, hole) / NM_PER_NMM / force / CATALOGUE.thread(size).d_mm


def _pressure(force: float, outer: float, hole: float) -> float:
    return force / bearing_area(outer, hole)


def _plate_torque(size: str, friction: float, bearing: float, hole: float, pressure: float) -> float:
    return _torque_of(pressure * bearing_area(bearing, hole), size, friction, bearing, hole)


def _acceptance(size: int, number: int, share: float) -> float:
    return acceptance_probability(size, number, share)


def _zero_fault_sample(reliability: float, confidence: float) -> float:
    return sampling_plan(0.0, 0.05, 1 - reliability, 1 - confidence).sample_size


def _figure(shape: str, field: str, **size: float) -> float:
    return getattr(outline_properties(_SHAPES[shape](**size)), field)


def _circle(r: float) -> Outline:
    return Outline(circle_loop(Circle(0, 0, r)))


def _rectangle(b: float, d: float, turn: float) -> Outline:
    return transform_outline(Outline(rectangle_loop(0, 0, b, d)), Isometry.from_turn(turn))


def _sector(r: float, a: float) -> Outline:
    x, y = r * math.cos(a), r * math.sin(a)
    return Outline(Loop(((0, 0, 0), (x, -y, math.tan(a / 2)), (x, y, 0))))


def _segment(r: float, a: float) -> Outline:
    x, y = r * math.cos(a), r * math.sin(a)
    return Outline(Loop(((x, -y, math.tan(a / 2)), (x, y, 0))))


def _semicircle(r: float) -> Outline:
    return Outline(Loop(((r, 0, 1.0), (-r, 0, 0.0))))


def _spandrel(r: float) -> Outline:
    return Outline(Loop(((0, 0, 0), (r, 0, -math.tan(math.pi / 8)), (0, r, 0))))


def _hexagon(s: float) -> Outline:
    side = s / math.sqrt(3)
    corners = [(side * math.cos(k * math.pi / 3), side * math.sin(k * math.pi / 3)) for k in range(6)]
    return Outline(rounded_polygon(corners, [0] * 6))


def _wake(x: float, y: float, z: float, skew_deg: float, rim: int = 2048) -> float:
    return float(wake_inflow(np.array([[x, y, z]]), math.radians(skew_deg), core=0.0, rim=rim)[0])


def _wake_on_axis(depth: float) -> float:
    return _wake(0.0, 0.0, -depth, 0.0)


def _wake_far(skew_deg: float) -> float:
    skew = math.radians(skew_deg)
    return _wake(40 * math.sin(skew), 0.0, -40 * math.cos(skew), skew_deg)


def _wake_slope(skew_deg: float) -> float:
    return (_wake(1e-4, 0.0, 0.0, skew_deg) - _wake(-1e-4, 0.0, 0.0, skew_deg)) / 2e-4


def _wake_lateral(across: float) -> float:
    return _wake(0.0, across, 0.0, 60.0, rim=512)


def _vortex_ring(end: int) -> float:
    region = descent_range(0.0, 1.0)
    assert region is not None
    return region[end]


_SHAPES: dict[str, Callable[..., Outline]] = {
    "circle": _circle,
    "hexagon": _hexagon,
    "rectangle": _rectangle,
    "sector": _sector,
    "segment": _segment,
    "semicircle": _semicircle,
    "spandrel": _spandrel,
}
QUANTITIES: dict[str, Callable[..., float]] = {
    "acceptance": _acceptance,
    **ROTORS,
    **IMPACT,
    **NESTS,
    **VIBRATION,
    **SHOP,
    **STRUCTURE,
    "button_load": _button_load,
    "clearance_hole": _clearance_hole,
    "figure": _figure,
    "grade": _grade,
    "length_tolerance": _length_tolerance,
    "load": _load,
    "nut": _nut,
    "nut_factor": _nut_factor,
    "plate_torque": _plate_torque,
    "preload": _preload,
    "pressure": _pressure,
    "screw": _screw,
    "screw_class": _screw_class,
    "thread": _thread,
    "torque": _torque,
    "vortex_ring": _vortex_ring,
    "wake_far": _wake_far,
    "wake_lateral": _wake_lateral,
    "wake_on_axis": _wake_on_axis,
    "wake_slope": _wake_slope,
    "washer": _washer,
    "zero_fault_sample": _zero_fault_sample,
}


if __name__ == "__main__":
    PAGE.write_text(page_text(), encoding="utf-8")
    sys.stdout.write(f"wrote {PAGE.name}\n")
