"""What a layer's name or a line's type says of the lines on it.

Words of drawing offices in English and German, from common practice, no source. A hint is only taken where the name
holds the word as a word of its own or as a beginning, so that `ETCHED_LOGO` is a mark and `SKETCH` is none.
"""

from __future__ import annotations

import re

__all__ = ["layer_hint", "linetype_hint"]

_LAYER_WORDS = {
    "bend line": ("bend", "fold", "biege", "falz", "crease"),
    "engraving": ("engrav", "etch", "mark", "scribe", "gravur", "gravier", "logo", "laser_mark"),
    "text": ("text", "label", "note", "notes", "beschrift", "title", "titel", "caption"),
    "dimension": ("dim", "dims", "dimension", "bemass", "bemaß", "maß", "measure", "annot", "leader"),
    "construction line": (
        *("constr", "hilfs", "guide", "helper", "center", "centre", "mitte", "axis", "achse", "hidden", "verdeckt"),
        *("sketch", "reference", "ref", "phantom", "defpoints", "countersink"),
    ),
    "sheet border": ("border", "frame", "rahmen", "sheet", "blatt", "viewport", "stock"),
}
_WHOLE = frozenset({"dim", "dims", "note", "notes", "ref", "mark", "frame", "sheet", "text"})  # too short to be begun
_LINE_TYPES = {
    "construction line": ("CENTER", "PHANTOM", "DASHDOT", "MITTE", "ACAD_ISO04", "ACAD_ISO10", "ACAD_ISO08"),
    "hidden or bend line": ("HIDDEN", "DASHED", "DOT", "DIVIDE", "BORDER", "ACAD_ISO02", "ACAD_ISO03", "ACAD_ISO07"),
}


def layer_hint(layer: str) -> str | None:
    """Return what the lines of a layer are by its name, or None where it does not say that they are no cuts.

    Examples
    --------
    >>> layer_hint("Bend_Lines"), layer_hint("CUT_OUTSIDE"), layer_hint("0"), layer_hint("engrave")
    ('bend line', None, None, 'engraving')
    """
    words = [w for w in re.split(r"[^a-zäöüß]+", layer.lower()) if w]
    if any(w.startswith(("cut", "schnitt", "outline", "kontur", "profile")) for w in words):
        return None
    for meaning, beginnings in _LAYER_WORDS.items():
        for word in words:
            singular = word.removesuffix("s")
            if any(
                word in (b, b + "s") or singular == b or (b not in _WHOLE and word.startswith(b)) for b in beginnings
            ):
                return meaning
    return None


def linetype_hint(linetype: str) -> str | None:
    """Return what lines of a type are, or None for continuous ones and types that are not known.

    Examples
    --------
    >>> linetype_hint("CENTER2"), linetype_hint("Continuous")
    ('construction line', None)
    """
    name = linetype.upper()
    for meaning, beginnings in _LINE_TYPES.items():
        if name.startswith(beginnings):
            return meaning
    return None
