"""What the CAD kernel's STEP writer leaves to chance, set right in its text: colours, running numbers, foreign letters.

The kernel writes colours in the order of memory addresses, counts instances on from file to file, and leaves
rounding errors of 1e-16 that differ from run to run; so it writes no colours, and this module adds them after ISO
10303-46, counts again, and writes such errors as the zeros they are. Foreign letters are written as ISO 10303-21
asks. Both from memory; a test reads the file back with the kernel.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Mapping

from platewright.io.colours import Colour

__all__ = ["finished_step"]

_INSTANCE = re.compile(r"= NEXT_ASSEMBLY_USAGE_OCCURRENCE\('(\d+)',(.*?)\);\n", re.DOTALL)
_WRAP = re.compile(r"\n\s*")
_BROKEN_LINE = re.compile(r"\n[ \t]+")  # where the kernel wraps depends on the length of its numbers
_NOTHING = re.compile(r"(?<=[(,])-?\d+\.\d*E-(?:1[1-9]|[2-9]\d)(?=[,)])")
_FOREIGN = re.compile(r"[^\x00-\x7f]+")
_DEFINITION = re.compile(
    r"= PRODUCT\('(?P<name>(?:[^']|'')*)'"
    r"|^#\d+ = ADVANCED_BREP_SHAPE_REPRESENTATION\('',\((?P<items>[^)]*)\),(?P<context>#\d+)\);"
    r"|^(?P<solid>#\d+) = MANIFOLD_SOLID_BREP",
    re.MULTILINE,
)


def finished_step(text: str, paints: Mapping[str, Colour]) -> str:
    """Return the text of a STEP file with colours, counted instances and ASCII letters only.

    Parameters
    ----------
    text : str
        As the kernel wrote it, without colours.
    paints : mapping of str to Colour
        Colour of each definition by its name.
    """
    body, end, tail = _NOTHING.sub("0.", _BROKEN_LINE.sub("", text)).rpartition("ENDSEC;\n")
    number = max(int(n) for n in re.findall(r"^#(\d+) = ", body, re.MULTILINE))
    styles = _styles(body, {name.replace("'", "''"): paint for name, paint in paints.items()}, number)
    return _FOREIGN.sub(_escaped, _renumbered(body) + styles + end + tail)


def _styles(text: str, paints: Mapping[str, Colour], number: int) -> str:
    """Return the lines that colour every solid; one style for each colour."""
    lines: list[str] = []
    count = itertools.count(number + 1)

    def add(entity: str) -> str:
        name = f"#{next(count)}"
        lines.append(f"{name} = {entity};\n")
        return name

    style_of: dict[Colour, str] = {}
    solids = {match["solid"] for match in _DEFINITION.finditer(text) if match["solid"]}
    name = ""
    for match in _DEFINITION.finditer(text):
        name = _WRAP.sub("", match["name"]) if match["name"] is not None else name
        if match["items"] is None or name not in paints:
            continue
        colour = paints[name]
        if colour not in style_of:
            style_of[colour] = _style(add, colour)
        items = [item.strip() for item in match["items"].split(",")]
        styled = [add(f"STYLED_ITEM('',({style_of[colour]}),{item})") for item in items if item in solids]
        presentation = f"MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',({','.join(styled)}),"
        add(presentation + f"{match['context']})")
    return "".join(lines)


def _style(add: Callable[[str], str], colour: Colour) -> str:
    rgb = add("COLOUR_RGB('',{:.6f},{:.6f},{:.6f})".format(*colour.srgb))
    fill = add(f"FILL_AREA_STYLE_COLOUR('',{rgb})")
    fill = add(f"FILL_AREA_STYLE('',({fill}))")
    sides = [add(f"SURFACE_STYLE_FILL_AREA({fill})")]
    if colour.opacity < 1:
        glass = add(f"SURFACE_STYLE_TRANSPARENT({1 - colour.opacity:.6f})")
        sides.append(add(f"SURFACE_STYLE_RENDERING_WITH_PROPERTIES(.NORMAL_SHADING.,{rgb},({glass}))"))
    side = add(f"SURFACE_SIDE_STYLE('',({','.join(sides)}))")
    usage = add(f"SURFACE_STYLE_USAGE(.BOTH.,{side})")
    return add(f"PRESENTATION_STYLE_ASSIGNMENT(({usage}))")


def _renumbered(text: str) -> str:
    """Count the instances from 1 again."""
    numbers = itertools.count(1)

    def again(match: re.Match[str]) -> str:
        return f"= NEXT_ASSEMBLY_USAGE_OCCURRENCE('{next(numbers)}',{_WRAP.sub('', match[2])});\n"

    return _INSTANCE.sub(again, text)


def _escaped(match: re.Match[str]) -> str:
    """Return four hexadecimal digits to each unit of UTF-16."""
    return f"\\X2\\{match[0].encode('utf-16-be').hex().upper()}\\X0\\"
