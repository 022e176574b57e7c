"""The file of one part alone: its outline, what it is made of, what holds it, and what it carries.

Lengths in mm, angles in degrees, forces in N, moments in N mm, pressures in MPa; the unit is in each name. Forces and
moments are in the part's own axes: x and y in its plane, z across it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Annotated, Literal

from pydantic import Field

from platewright.foundation.errors import nearest_names
from platewright.model.base import Identifier, Length, Number, Point, Record
from platewright.model.design import Part
from platewright.model.load_case import LEAST_LOAD

__all__ = ["Case", "Group", "Hold", "Hole", "LonePart", "PartFile", "PlyLayer", "PointLoad", "TipLoad", "part_problems"]

_LEAST_PRESSURE = 1e-9  # on a plate, or its answers are rounding [MPa]
_Modulus = Annotated[Number, Field(ge=0.1, le=1_000_000)]
_Strength = Annotated[Number, Field(gt=0, le=20_000)]
_Ratio = Annotated[Number, Field(ge=-10, le=10)]
_Force = Annotated[Number, Field(ge=-1_000_000, le=1_000_000)]
_Moment = Annotated[Number, Field(ge=-1_000_000_000, le=1_000_000_000)]
_Pressure = Annotated[Number, Field(ge=-1000, le=1000)]
_Forces = tuple[_Force, _Force, _Force]
_Moments = tuple[_Moment, _Moment, _Moment]
Reference = tuple[tuple[str | int, ...], str, str]


class LonePart(Part):
    """A part as in a design file; material may be left out beside `ply`."""

    id: Identifier = Field("part", description="what results call it")
    kind: Literal["arm", "base", "deck", "brace", "side", "camera", "other"] = Field("other", description="what it is")
    material: str = Field("", description="catalogue id of a laminate; left out where plies are given")


class PlyLayer(Record):
    """One layer by its engineering constants, from the underside upwards; one alone is a homogeneous plate."""

    e1_mpa: _Modulus = Field(description="Young's modulus along the fibres")
    e2_mpa: _Modulus = Field(description="Young's modulus across")
    g12_mpa: _Modulus = Field(description="shear modulus in the plane")
    g13_mpa: _Modulus = Field(description="shear modulus through the thickness, along the fibres")
    g23_mpa: _Modulus = Field(description="shear modulus through the thickness, across")
    nu12: _Ratio = Field(description="contraction across per stretch along")
    xt_mpa: _Strength | None = Field(None, description="strength in tension along; margins need all five")
    xc_mpa: _Strength | None = Field(None, description="in compression along")
    yt_mpa: _Strength | None = Field(None, description="in tension across")
    yc_mpa: _Strength | None = Field(None, description="in compression across")
    s12_mpa: _Strength | None = Field(None, description="in shear in the plane")
    angle_deg: Annotated[Number, Field(ge=-360, le=360)] = Field(0.0, description="from direction 1 of the sheet")
    share: Annotated[Number, Field(gt=0, le=1000)] = Field(1.0, description="of the thickness, against other plies")


class Hole(Record):
    """A round hole with a name: cut here where it has a diameter, else one of the drawing."""

    id: Identifier = Field(description="how holds and groups name it")
    at_mm: Point = Field(description="its centre, in the part's own axes")
    diameter_mm: Length | None = Field(None, description="left out for a hole that the drawing has")
    head_mm: Length | None = Field(None, description="diameter of the screw's head or washer; 1.7 holes if left out")


class Hold(Record):
    """Holes that hold the part."""

    holes: Annotated[tuple[Identifier, ...], Field(min_length=1)] = Field(description="their names")
    how: Literal["fixed", "pinned", "in_plane", "across"] = Field(
        "fixed", description="whole rim fixed, its shifts alone, those in the plane, or that across it"
    )


class Group(Record):
    """Holes that act together at the mean of their centres, in the mid-plane: a motor's four."""

    id: Identifier = Field(description="how loads name it")
    holes: Annotated[tuple[Identifier, ...], Field(min_length=1)] = Field(description="their names")
    tie: Literal["rigid", "flexible"] = Field("rigid", description="whether the rims stay as they are")
    mass_g: Annotated[Number, Field(ge=0, le=2000)] = Field(0.0, description="of what sits there")


class TipLoad(Record):
    """A force and a moment on a group."""

    group: Identifier = Field(description="its name")
    force_n: _Forces = Field((0.0, 0.0, 0.0), description="along x, y, z")
    moment_n_mm: _Moments = Field((0.0, 0.0, 0.0), description="about x, y, z")


class PointLoad(Record):
    """A force at a point of the plate."""

    at_mm: Point = Field(description="where")
    force_n: _Forces = Field(description="along x, y, z")


class Case(Record):
    """Loads that act at once."""

    id: Identifier = Field(description="what results call it")
    loads: tuple[TipLoad, ...] = Field((), description="on groups of holes")
    points: tuple[PointLoad, ...] = Field((), description="at points")
    pressure_mpa: _Pressure = Field(0.0, description="on the whole plate, along z")


class PartFile(Record):
    """One part alone."""

    format: Literal[1] = Field(description="version of the file")
    name: str = Field("", max_length=60, description="what the part is called")
    part: LonePart = Field(description="its outline, thickness and material")
    ply: tuple[PlyLayer, ...] = Field((), description="instead of a material, from the underside upwards")
    density_g_cm3: Annotated[Number, Field(gt=0, le=25)] | None = Field(None, description="with plies only")
    bearing_mpa: _Strength | None = Field(None, description="strength of a loaded hole in bearing; with plies only")
    interlaminar_mpa: _Strength | None = Field(None, description="shear strength between plies; with plies only")
    hole: tuple[Hole, ...] = Field((), description="round holes with names")
    hold: tuple[Hold, ...] = Field((), description="what holds it")
    group: tuple[Group, ...] = Field((), description="what carries loads and masses")
    case: tuple[Case, ...] = Field((), description="loads")
    modes: Annotated[int, Field(ge=0, le=50)] = Field(6, description="how many frequencies")
    mesh_mm: Length | None = Field(None, description="longest side of a triangle; the thickness if left out")


def part_problems(file: PartFile) -> Iterator[Reference]:
    """Yield path, code and sentence of everything that names what is not there, or is given in two ways."""
    drawn = bool(file.part.nodes or file.part.polygons)
    if (file.part.drawing is None) != drawn:
        yield ("part",), "outline.source", "needs exactly one outline: nodes with links, polygons, or a drawing."
    if bool(file.part.material) == bool(file.ply):
        yield ("part", "material"), "part.material", "must be given, or plies instead of it, not both."
    if file.ply and file.density_g_cm3 is None:
        yield ("density_g_cm3",), "key.missing", "is missing: plies need it for mass and vibration."
    for key in ("density_g_cm3", "bearing_mpa", "interlaminar_mpa"):
        if getattr(file, key) is not None and not file.ply:
            yield (key,), "part.material", "belongs to plies; the material has its own."
    holes = [h.id for h in file.hole]
    groups = [g.id for g in file.group]
    for n, hold in enumerate(file.hold):
        yield from _named(("hold", n, "holes"), hold.holes, holes, "part.hole")
    for n, group in enumerate(file.group):
        yield from _named(("group", n, "holes"), group.holes, holes, "part.hole")
    for n, case in enumerate(file.case):
        for k, load in enumerate(case.loads):
            yield from _named(("case", n, "loads", k, "group"), [load.group], groups, "part.group")
    for n, layer in enumerate(file.ply):
        limit = math.sqrt(layer.e1_mpa / layer.e2_mpa)
        if abs(layer.nu12) >= limit:
            text = f"must lie within +-sqrt(E1/E2) = {limit:.4g}, or the ply is not positive definite"
            text += f" (got {layer.nu12:g}); check which direction is 1."
            yield ("ply", n, "nu12"), "part.material", text
    yield from _held(file)
    for n, case in enumerate(file.case):
        forces = [f for load in case.loads for f in (*load.force_n, *load.moment_n_mm)]
        forces += [f for point in case.points for f in point.force_n]
        if max(map(abs, forces), default=0.0) < LEAST_LOAD and abs(case.pressure_mpa) < _LEAST_PRESSURE:
            text = f"loads the part with nothing ({LEAST_LOAD:g} N or N mm are the least)"
            yield ("case", n), "part.case", f"{text}; give loads, points or pressure_mpa."
    if not file.case and not file.modes:
        yield ("modes",), "part.case", "must be 1 or more where there is no case (got 0), or nothing is asked for."
    for kind, names in (("hole", holes), ("group", groups), ("case", [c.id for c in file.case])):
        for n, name in enumerate(names):
            if name in names[:n]:
                yield (kind, n, "id"), "record.duplicate", f"has the id '{name}' a second time; give it another."


def _held(file: PartFile) -> Iterator[Reference]:
    """Yield what is wrong with what holds and ties the holes."""
    if not file.hold:
        text = "is missing, so the part is held nowhere; name at least one hole that holds it."
        yield ("hold",), "part.hold", text
    held = {name for hold in file.hold for name in hold.holes}
    tied: dict[str, str] = {}
    for n, group in enumerate(file.group):
        for name in group.holes:
            if name in held:
                text = f"has the hole '{name}', which is held and loaded at once; load others than those that hold."
                yield ("group", n, "holes"), "part.hold", text
            elif name in tied:
                other = f"group '{tied[name]}'" if tied[name] != group.id else "it once already"
                text = f"has the hole '{name}', which is in {other}; a hole belongs to one group."
                yield ("group", n, "holes"), "part.hold", text
            tied.setdefault(name, group.id)


def _named(path: tuple[str | int, ...], names: Iterable[str], known: list[str], code: str) -> Iterator[Reference]:
    kind = code.partition(".")[2]
    for name in names:
        if name not in known:
            near = nearest_names(name, known)
            hint = f"; did you mean '{near[0]}'?" if near else f"; there is {', '.join(known) or 'none'}."
            yield path, code, f"names the unknown {kind} '{name}'{hint}"
