"""Pages and pictures through Typst: no fonts but the shipped one, no clock, so the same input gives the same bytes."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

import typst

from platewright.foundation.errors import OutputError
from platewright.foundation.units import MM_PER_INCH

__all__ = ["Document", "svg_to_png", "typeset", "typeset_png"]

_HAIR = 0.01  # [pixel]
_SVG_HEAD = re.compile(r'width="([0-9.]+)mm" height="([0-9.]+)mm" viewBox="0 0 [0-9.]+ [0-9.]+"')
_SVG_PAGE = """#set page(width: {width:.6f}mm, height: {height:.6f}mm, margin: 0mm)
#image("drawing.svg", width: 100%)
"""


@dataclass(frozen=True)
class Document:
    """Pages to be set: a template of the package, what it reads as `data.json`, and SVG by the name it uses."""

    template: str
    data: Mapping[str, object]
    drawings: Mapping[str, str]


def svg_to_png(svg: str, ppi: float = 144.0) -> bytes:
    """Return an SVG of one page as a PNG.

    Parameters
    ----------
    svg : str
        With its width and height in mm.
    ppi : float
        Pixels per inch of the page, 20 to 1200 [1/in].

    Raises
    ------
    OutputError
        If the resolution is out of range or the picture cannot be drawn.
    """
    if not 20 <= ppi <= 1200:
        msg = f"a picture's resolution must be from 20 to 1200 pixels per inch (got {ppi:g})."
        raise OutputError(msg)
    head = _SVG_HEAD.search(svg)
    if head is None:
        msg = "a drawing must open with its width and height in mm and a view box of the same size."
        raise OutputError(msg)
    # The renderer draws a picture of whole pixels, its height from its width, and then fits that to the page: unless
    # both agree it loses a row. So the view is widened to whole pixels, less a hair that keeps it from rounding up.
    across, down = (math.ceil(float(v) / MM_PER_INCH * ppi - _HAIR) for v in head.group(1, 2))
    width, height = ((n - _HAIR * k) * MM_PER_INCH / ppi for n, k in ((across, 1), (down, 1 + down / across)))
    widened = f'width="{width:.6f}mm" height="{height:.6f}mm" viewBox="0 0 {width:.6f} {height:.6f}"'
    drawing = svg[: head.start()] + widened + svg[head.end() :]
    page = _SVG_PAGE.format(width=width, height=height)
    return _compile({"main.typ": page.encode(), "drawing.svg": drawing.encode()}, "png", ppi)[0]


def typeset(document: Document) -> bytes:
    """Return a document as PDF.

    Raises
    ------
    OutputError
        If a page cannot be set.
    """
    return _compile(_files(document), "pdf", None)[0]


def typeset_png(document: Document, ppi: float = 144.0) -> tuple[bytes, ...]:
    """Return every page of a document as PNG, at a resolution in pixels per inch.

    Raises
    ------
    OutputError
        If a page cannot be set.
    """
    return tuple(_compile(_files(document), "png", ppi))


def _files(document: Document) -> dict[str, bytes]:
    return {
        "main.typ": _template(f"{document.template}.typ"),
        "common.typ": _template("common.typ"),
        "data.json": json.dumps(document.data, sort_keys=True, ensure_ascii=False).encode(),
        **{name: svg.encode() for name, svg in document.drawings.items()},
    }


def _compile(files: Mapping[str, bytes], form: str, ppi: float | None) -> list[bytes]:
    try:
        made = typst.compile(  # type: ignore[call-overload]  # its stubs lack the mapping of virtual files
            dict(files), format=form, ppi=ppi, font_paths=_fonts(), timestamp=0, pdf_tags=False
        )
    except typst.TypstError as error:
        msg = f"a page could not be set: {error}"
        raise OutputError(msg) from error
    return made if isinstance(made, list) else [made]


@cache
def _fonts() -> typst.Fonts:
    folder = resources.files("platewright.io") / "typeface"
    with resources.as_file(folder) as path:
        return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(path)])


@cache
def _template(name: str) -> bytes:
    return (resources.files("platewright.io") / "pdf" / "templates" / name).read_bytes()
