"""Pages and pictures through Typst: no fonts but the shipped one, no clock, so the same input gives the same bytes."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

import typst

from platewright.foundation.errors import OutputError
from platewright.foundation.units import MM_PER_INCH

__all__ = ["Document", "svg_to_png", "typeset", "typeset_png"]

_PT_PER_INCH = 72
_SVG_SIZE = re.compile(r'<svg [^>]*?width="([0-9.]+)mm" height="([0-9.]+)mm"')
_SVG_PAGE = """#set page(width: {width:.6f}pt, height: {height:.6f}pt, margin: 0mm)
#image("drawing.svg", width: 100%, height: 100%, fit: "stretch")
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
        Pixels per inch of the page, 20 to 1200 [1/inch].

    Raises
    ------
    OutputError
        If the resolution is out of range or the picture cannot be drawn.
    """
    if not 20 <= ppi <= 1200:
        msg = f"a picture's resolution must be from 20 to 1200 pixels per inch (got {ppi:g})."
        raise OutputError(msg)
    size = _SVG_SIZE.search(svg)
    if size is None:
        msg = "a drawing must open with its width and height in mm."
        raise OutputError(msg)
    # A page of whole pixels, a hair less: else the renderer resamples the drawing and may lose a row of it.
    width, height = (
        (max(round(float(v) / MM_PER_INCH * ppi), 1) - 1e-3) * _PT_PER_INCH / ppi for v in size.group(1, 2)
    )
    page = _SVG_PAGE.format(width=width, height=height)
    return _compile({"main.typ": page.encode(), "drawing.svg": svg.encode()}, "png", ppi)[0]


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
