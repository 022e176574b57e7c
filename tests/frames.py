"""Small designs of our own for tests: square plates, bolt lines and equipment, a few words each."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterable, Sequence
from functools import cache

from platewright.assembly.assemble import Assembly, assemble
from platewright.assembly.screws import ScrewFit
from platewright.foundation.findings import Finding
from platewright.geometry.cache import OutlineCache
from platewright.model.catalogue import Catalogue, load_catalogue
from platewright.model.design import Design
from platewright.model.references import reference_problems
from platewright.study.check import check_assembly
from platewright.study.flight_findings import check_flight
from platewright.study.results import CheckResult
from platewright.study.strength_findings import check_strength
from platewright.study.strength_parts import PartCache

__all__ = [
    "LIMB",
    "PARTS",
    "arms_on_a_base",
    "assembled",
    "assembled_design",
    "catalogue",
    "checked",
    "column",
    "design",
    "equipment",
    "findings",
    "part",
    "place",
    "plate",
    "record",
    "screw",
    "two_plates",
]

LIMB = {"nodes": [{"id": "a", "at_mm": [0, 0], "radius_mm": 8}, {"id": "b", "at_mm": [80, 0], "radius_mm": 13}]}
PARTS: PartCache = {}
"""Reduced parts of all designs of a run of the tests: each is reduced once."""
_OUTLINES = OutlineCache()


@cache
def catalogue() -> Catalogue:
    """Return the shipped catalogue, read once."""
    return load_catalogue()


def record(table: str, **values: object) -> str:
    """Return one record of a list as TOML."""
    rows = (f"{key} = {_toml(value)}" for key, value in values.items() if value is not None)
    return f"[[{table}]]\n" + "\n".join(rows) + "\n"


def part(name: str, thickness: float = 2, size: tuple[float, float] = (60, 60), **keys: object) -> str:
    """Return a rectangular part about its own origin [mm]."""
    a, b = size[0] / 2, size[1] / 2
    outline = {"points_mm": [[a, -b], [a, b], [-a, b], [-a, -b]]}
    given = {"kind": "other", "material": "plate_woven_qi", "polygons": [outline], **keys}
    return record("part", id=name, thickness_mm=thickness, **given)


def place(name: str, of: str, **keys: object) -> str:
    """Return a place of a part."""
    return record("place", id=name, part=of, **keys)


def plate(name: str, thickness: float = 2, size: tuple[float, float] = (60, 60), **keys: object) -> str:
    """Return a rectangular part with one place of the same name."""
    return part(name, thickness, size) + place(name, name, **keys)


def column(name: str, *stack: str, at: object = ((20, 20),), mirror: str = "xy", **keys: object) -> str:
    """Return a bolt line, in all four corners unless told otherwise."""
    return record("column", id=name, at_mm=at, mirror=mirror, stack=stack, **keys)


def equipment(name: str, use: dict[str, str], **keys: object) -> str:
    """Return a piece of equipment."""
    return record("equipment", id=name, use=use, **keys)


def arms_on_a_base(thickness: float = 5, width: object = 12, bolt: Sequence[str] = (), **keys: object) -> list[str]:
    """Return a square base with an arm to each rotor on it, clamped by two screws and with a motor at its end.

    Parameters
    ----------
    thickness, width
        Of the arm [mm].
    bolt
        What the two screws go through; base, arm and a press nut unless told otherwise.
    keys
        Of the arm's part.
    """
    links = [{"start": "a", "end": "b", "width_mm": width}]
    stack = bolt or ("screw M3 socket 12.9", "base", "arm", "nut M3 insert")
    return [
        part("base", 2, (80, 80)) + place("base", "base"),
        part("arm", thickness, polygons=None, **LIMB, links=links, **keys),
        place("arm", "arm", to="rotors", root_mm=[20, 20], bearing_deg=45, reach_mm=80),
        column("bolt", *stack, at=[[5, 0], [17, 0]], of="arm", mirror=""),
        equipment(
            "motor",
            {"motor": "motor_2207"},
            at="rotors",
            turn_deg=45,
            stack=["screw M3 socket 12.9", "arm", "motor.motor"],
        ),
    ]


def two_plates(*stack: str, **keys: object) -> tuple[str, ...]:
    """Return a base of 4 mm, a deck of 2 mm, and one column through them."""
    return plate("base", 4), plate("deck", 2), column("post", *stack, **keys)


def design(
    *pieces: str, rotors: str = "fore_aft_mm = 200\nlateral_mm = 200", frame: str = "", checks: str = ""
) -> Design:
    """Return a design whose names all exist."""
    text = f'format = 1\n[frame]\nname = "Sample"\n{frame}\n[rotors]\n{rotors}\n[checks]\n{checks}\n' + "\n".join(
        pieces
    )
    made = Design.model_validate(tomllib.loads(text))
    assert reference_problems(made, catalogue()) == []
    return made


def assembled(*pieces: str, **tables: str) -> Assembly:
    """Return the assembly of a design."""
    return assembled_design(design(*pieces, **tables))


def assembled_design(made: Design) -> Assembly:
    """Return the assembly of a design already read."""
    return assemble(made, catalogue(), _OUTLINES.get_or_build)


def checked(*pieces: str, **tables: str) -> CheckResult:
    """Return the check of a design."""
    return check_assembly(assembled(*pieces, **tables))


def findings(code: str, *pieces: str, **tables: str) -> list[Finding]:
    """Return the findings of one code."""
    if code.startswith(("strength.", "vibration.")):
        return [f for f in check_strength(assembled(*pieces, **tables), PARTS)[1] if f.code == code]
    if code.startswith(("flight.", "handling.")):
        return [f for f in check_flight(assembled(*pieces, **tables))[1] if f.code == code]
    return [f for f in checked(*pieces, **tables).findings if f.code == code]


def screw(assembly: Assembly, line: str, index: int = 0) -> ScrewFit:
    """Return the screw at one position of one line."""
    (found,) = (s for s in assembly.screws if s.line.name == line and s.index == index)
    return found


def _toml(value: object) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {_toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, Iterable) and not isinstance(value, str):
        assert isinstance(value, Sequence)
        return "[" + ", ".join(_toml(v) for v in value) + "]"
    return json.dumps(value)
