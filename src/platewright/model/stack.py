"""The words of a column's stack: one string per thing the bolt line goes through.

screw M3 socket 12.9        screw M3x16 button 10.9      a typed length is checked, else it is computed
nut M3 insert               nut M3 flanged-insert sold-as-5      nut M3 press in base_upper
washer M3                   washer M3 large
standoff M3x25              standoff M3x20 passed        standoff M3x20 studded
spacer M3x5                 spacer M3x5 aluminium
gap                         air: sets no height
deck                        a place       arm access 6.5     a place that surrounds a head or driver
stack.fc in grommet         a piece of equipment and its role
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from platewright.foundation.errors import nearest_names

__all__ = ["ItemKind", "StackError", "StackItem", "parse_item"]


class ItemKind(StrEnum):
    """What a stack item is."""

    SCREW = "screw"
    NUT = "nut"
    WASHER = "washer"
    STANDOFF = "standoff"
    SPACER = "spacer"
    GAP = "gap"
    THING = "thing"  # a place, or a piece of equipment with its role


class StackError(ValueError):
    """A stack item cannot be understood; the message says why in one sentence."""


@dataclass(frozen=True)
class StackItem:
    """One item of a stack, parsed.

    Parameters
    ----------
    kind : ItemKind
        What it is.
    text : str
        As written in the design.
    size : str
        Thread size, `M3`; empty for things and gaps.
    length_mm : float or None
        Typed length of a screw, length of a standoff or spacer [mm].
    style : str
        Head style, nut style (`flanged-insert-as-5` for `sold-as-5`), washer style or spacer material.
    grade : str
        Property class or screw material.
    name, role : str
        Place or equipment id, and the role in the equipment (`fc` of `stack.fc`).
    access_mm : float or None
        Diameter of the hole of an access place [mm].
    in_grommet, passed, studded : bool
        Board held in grommets; standoff tapped and run through; standoff with a stud at its far end.
    """

    kind: ItemKind
    text: str
    size: str = ""
    length_mm: float | None = None
    style: str = ""
    grade: str = ""
    name: str = ""
    role: str = ""
    access_mm: float | None = None
    in_grommet: bool = False
    passed: bool = False
    studded: bool = False


_FORMS = {
    ItemKind.SCREW: "screw M3[xLENGTH] STYLE CLASS",
    ItemKind.NUT: "nut M3 STYLE [sold-as-5] | nut M3 press in PLACE",
    ItemKind.WASHER: "washer M3 [small | large]",
    ItemKind.STANDOFF: "standoff M3xLENGTH [passed | studded]",
    ItemKind.SPACER: "spacer M3xLENGTH [MATERIAL]",
}
_NUMBER = re.compile(r"\d{1,3}(?:\.\d+)?", re.ASCII)
_SIZE = re.compile(r"(M\d+(?:\.\d+)?)(?:x(\d{1,3}(?:\.\d+)?))?", re.ASCII)


@lru_cache(maxsize=4096)  # the same few items fill every stack, and are asked for again and again
def parse_item(text: str) -> StackItem:
    """Parse one string of a stack.

    Raises
    ------
    StackError
        If the words do not make an item; the message shows the form and the nearest words.

    Examples
    --------
    >>> parse_item("screw M3x16 socket 12.9").length_mm
    16.0
    >>> parse_item("stack.fc in grommet").role
    'fc'
    """
    words = text.split()
    if not words:
        msg = "must not be empty; write a place, a piece of hardware or 'gap'."
        raise StackError(msg)
    if words[0] == "gap":
        if len(words) > 1:
            msg = f"'gap' stands alone: air sets no height (got '{text}')."
            raise StackError(msg)
        return StackItem(ItemKind.GAP, text)
    if words[0] in _FORMS.keys() - {ItemKind.GAP}:
        return _hardware(ItemKind(words[0]), words, text)
    return _thing(words, text)


def _hardware(kind: ItemKind, words: list[str], text: str) -> StackItem:
    match = _SIZE.fullmatch(words[1]) if len(words) > 1 else None
    if match is None:
        raise _form_error(kind, text)
    size, length = match.group(1), float(match.group(2)) if match.group(2) else None
    rest = words[2:]
    if kind is ItemKind.SCREW and len(rest) == 2:
        return StackItem(kind, text, size, length, style=rest[0], grade=rest[1])
    if kind is ItemKind.NUT and length is None:
        if len(rest) == 3 and rest[:2] == ["press", "in"]:
            return StackItem(kind, text, size, style="press", name=rest[2])
        if len(rest) == 1 or (len(rest) == 2 and rest[1].startswith("sold-as-")):
            sold_as = [word.removeprefix("sold-as-") for word in rest[1:]]
            return StackItem(kind, text, size, style="-as-".join([rest[0], *sold_as]))
    if kind is ItemKind.WASHER and length is None and len(rest) <= 1:
        return StackItem(kind, text, size, style=rest[0] if rest else "plain")
    if kind is ItemKind.STANDOFF and length is not None and set(rest) <= {"passed", "studded"}:
        return StackItem(kind, text, size, length, passed="passed" in rest, studded="studded" in rest)
    if kind is ItemKind.SPACER and length is not None and len(rest) <= 1:
        return StackItem(kind, text, size, length, style=rest[0] if rest else "")
    raise _form_error(kind, text)


def _form_error(kind: ItemKind, text: str) -> StackError:
    return StackError(f"must read '{_FORMS[kind]}' (got '{text}').")


def _thing(words: list[str], text: str) -> StackItem:
    name, _, role = words[0].partition(".")
    rest = words[1:]
    if not rest:
        return StackItem(ItemKind.THING, text, name=name, role=role)
    if rest == ["in", "grommet"] and role:
        return StackItem(ItemKind.THING, text, name=name, role=role, in_grommet=True)
    if rest[0] == "access" and len(rest) == 2 and not role and _NUMBER.fullmatch(rest[1]) and float(rest[1]) > 0:
        return StackItem(ItemKind.THING, text, name=name, access_mm=float(rest[1]))
    near = nearest_names(words[0], [k.value for k in ItemKind if k is not ItemKind.THING])
    hint = f"; did you mean '{near[0]}'?" if near else "."
    msg = f"must be a place, 'PLACE access DIAMETER', 'EQUIPMENT.ROLE [in grommet]' or hardware (got '{text}'){hint}"
    raise StackError(msg)
