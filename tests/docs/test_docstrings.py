"""Docstrings of public functions and classes: parameters documented, units from the allowed list, `__all__` sorted."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from platewright.cli import stock_options

SOURCE = Path(__file__).parents[2] / "src" / "platewright"
MODULES = sorted(SOURCE.rglob("*.py"))
UNITS = {
    "%",
    "-",
    "1/day",
    "1/in",
    "1/mm",
    "1/rad",
    "1/year",
    "A",
    "A h",
    "Hz",
    "J",
    "K",
    "MPa",
    "N",
    "N m",
    "N m s",
    "N mm",
    "N/mm",
    "Pa",
    "Pa s",
    "V",
    "W",
    "day",
    "deg",
    "g",
    "g/cm^3",
    "in",
    "kg",
    "kg m^2",
    "kg/m^3",
    "m",
    "m/s",
    "m/s^2",
    "m^2",
    "m^2/s",
    "mm",
    "mm/N",
    "mm/s",
    "mm/s^2",
    "mm^2",
    "mm^3",
    "mm^4",
    "money",
    "ohm",
    "rad",
    "rad/s",
    "rad/s/V",
    "rad/s^2",
    "rpm",
    "rpm/V",
    "s",
    "t",
    "t mm^2",
    "t/mm^2",
    "t/mm^3",
    "time",
}
# A bracket that ends a phrase is a unit; one that follows a word without a space, or holds code, is not.
_BRACKET = re.compile(r"(?<= )\[([^\[\]\n]{1,10})\](?=[.,;:)]|\s|$)")
_SECTION = re.compile(r"^(\w[\w ]*)\n-{3,}$", re.MULTILINE)


@dataclass(frozen=True)
class Documented:
    """One public function, method or class with its docstring."""

    where: str
    name: str
    node: ast.FunctionDef | ast.ClassDef
    text: str


def documented() -> Iterator[Documented]:
    for path in MODULES:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        yield from _public(tree, str(path.relative_to(SOURCE)))


def _public(parent: ast.Module | ast.ClassDef, where: str) -> Iterator[Documented]:
    for node in parent.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            yield Documented(f"{where}: {node.name}", node.name, node, ast.get_docstring(node) or "")
            if isinstance(node, ast.ClassDef):
                yield from _public(node, f"{where}: {node.name}")


SHARED_OPTIONS = frozenset(stock_options.__all__)  # carry their help with them, once for all commands


def parameters(node: ast.FunctionDef | ast.ClassDef) -> set[str]:
    """Return what a caller gives: arguments, or the fields and `__init__` arguments of a class."""
    if isinstance(node, ast.FunctionDef):
        arguments = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
        extra = [a for a in (node.args.vararg, node.args.kwarg) if a is not None]
        shared = {a.arg for a in arguments if isinstance(a.annotation, ast.Name) and a.annotation.id in SHARED_OPTIONS}
        return {a.arg for a in (*arguments, *extra)} - {"self", "cls"} - shared
    fields = {n.target.id for n in node.body if isinstance(n, ast.AnnAssign) and isinstance(n.target, ast.Name)}
    makers = [n for n in node.body if isinstance(n, ast.FunctionDef) and n.name == "__init__"]
    return fields.union(*(parameters(m) for m in makers))


def section(text: str, title: str) -> str | None:
    """Return one section of a NumPy docstring; None where there is none."""
    parts = _SECTION.split(text)
    found = dict(zip(parts[1::2], parts[2::2], strict=True))
    return found.get(title)


def entries(text: str) -> set[str]:
    """Return the names that a Parameters section describes; `a, b : float` describes two."""
    heads = [line.partition(" : ")[0] for line in text.splitlines() if line and not line[0].isspace()]
    return {name.strip().lstrip("*") for head in heads for name in head.split(",")}


ALL = list(documented())
WITH_PARAMETERS = [d for d in ALL if section(d.text, "Parameters") is not None]


def test_the_code_was_found() -> None:
    assert len(MODULES) > 80
    assert len(WITH_PARAMETERS) > 60


def test_every_public_name_has_a_docstring() -> None:
    assert [d.where for d in ALL if not d.text] == []


def test_a_parameters_section_describes_every_parameter_and_no_other() -> None:
    wrong = {}
    for item in WITH_PARAMETERS:
        described, given = entries(section(item.text, "Parameters") or ""), parameters(item.node)
        strange = described - given - _inherited(item)
        missing = given - described if isinstance(item.node, ast.FunctionDef) else set()
        if strange or missing:
            wrong[item.where] = sorted(strange | missing)
    assert wrong == {}


def test_units_are_of_the_allowed_list() -> None:
    wrong = {}
    for item in ALL:
        prose = re.split(r"^(?:Examples|References)\n-+$", item.text, maxsplit=1, flags=re.MULTILINE)[0]
        strange = set(_BRACKET.findall(prose)) - UNITS
        if strange:
            wrong[item.where] = sorted(strange)
    assert wrong == {}


def test_every_list_of_public_names_is_sorted() -> None:
    """Constants, then classes, then functions, each by the alphabet, as the linter sorts them."""
    wrong = {}
    for path in MODULES:
        listed = names_listed(ast.parse(path.read_text(encoding="utf-8")))
        ordered = sorted(set(listed), key=lambda n: (0 if n.isupper() else 1 if n[0].isupper() else 2, n))
        if listed != ordered:
            wrong[str(path.relative_to(SOURCE))] = listed
    assert wrong == {}


def test_the_checks_see_what_they_should() -> None:
    text = "Do it.\n\nParameters\n----------\na, b : float\n    Lengths [furlong].\nc\n    More [mm].\n"
    assert entries(section(text, "Parameters") or "") == {"a", "b", "c"}
    assert _BRACKET.findall(text) == ["furlong", "mm"]
    assert section(text, "Returns") is None


def names_listed(tree: ast.Module) -> list[str]:
    """Return what `__all__` of a module lists; nothing where there is none."""
    found = [n.value for n in tree.body if isinstance(n, ast.Assign) and _assigns(n, "__all__")]
    return list(ast.literal_eval(found[0])) if found else []


def _assigns(node: ast.Assign, name: str) -> bool:
    return any(isinstance(t, ast.Name) and t.id == name for t in node.targets)


def _inherited(item: Documented) -> set[str]:
    """Return the fields of base classes in the same module."""
    if not isinstance(item.node, ast.ClassDef):
        return set()
    bases = {b.id for b in item.node.bases if isinstance(b, ast.Name)}
    module = item.where.partition(":")[0]
    own = [d for d in ALL if d.where.startswith(f"{module}: ") and d.name in bases]
    return {name for d in own for name in parameters(d.node)}
