"""A DXF file opened, or a sentence that says what it is instead."""

from __future__ import annotations

import contextlib
import gc
import logging
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import ezdxf
from ezdxf import recover
from ezdxf.document import Drawing

from platewright.foundation.errors import DrawingError

__all__ = ["Opened", "collector_paused", "open_document"]

_LONGEST_REASON = 100
_MOST_BYTES = 400_000_000
_OTHER_FORMATS = (
    (b"AC10", "a DWG drawing, which only its own program reads"),
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"ISO-10303", "a STEP model"),
    (b"solid ", "an STL model"),
    (b"%!PS", "PostScript"),
    (b"PK\x03\x04", "a ZIP archive"),
    (b"<svg", "an SVG picture"),
    (b"<?xml", "an XML file"),
    (b"<!DOCTYPE", "a web page or XML file"),
    (b"\xff\xfe", "text in UTF-16, an encoding that DXF does not have"),
    (b"\xfe\xff", "text in UTF-16, an encoding that DXF does not have"),
)

# What the library mends is counted and printed by us; without a handler Python would print every line of it.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())


@dataclass(frozen=True)
class Opened:
    """A drawing, and how many mistakes of its structure were mended while it was read."""

    document: Drawing
    mended: int


def open_document(path: Path) -> Opened:
    """Open a DXF file, text or binary.

    Raises
    ------
    DrawingError
        If the file is none, is empty, cut short, too large or cannot be read; the message says which.
    """
    _check_content(path)
    try:
        document = ezdxf.readfile(path)
        document.modelspace()
        return Opened(document, 0)
    except Exception as error:  # on a broken file the library raises whatever its parser stumbles on
        if _is_complete(path):
            try:
                document, auditor = recover.readfile(path)
                document.modelspace()
                return Opened(document, len(auditor.errors) + len(auditor.fixes) or 1)
            except Exception as second:  # the same
                raise DrawingError(_broken(path, second)) from second
        raise DrawingError(_broken(path, error)) from error


@contextlib.contextmanager
def collector_paused() -> Iterator[None]:
    """Keep the garbage collector still: a large drawing is millions of objects, and looking through them takes long."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _check_content(path: Path) -> None:
    try:
        size = path.stat().st_size
        with path.open("rb") as file:
            head = file.read(64)
    except FileNotFoundError as error:
        msg = f"the drawing '{path.name}' does not exist in that folder; check its name."
        raise DrawingError(msg) from error
    except OSError as error:
        msg = f"'{path.name}' cannot be opened ({error.strerror}); name a DXF file that may be read."
        raise DrawingError(msg) from error
    if size > _MOST_BYTES:
        msg = f"'{path.name}' must not be larger than {_MOST_BYTES // 10**6} MB (got {size // 10**6}); save less in it."
        raise DrawingError(msg)
    for mark, words in _OTHER_FORMATS:
        if head.lstrip().startswith(mark):
            msg = f"'{path.name}' must be a complete DXF drawing; it is {words}; save the drawing as DXF."
            raise DrawingError(msg)
    if not head.strip():
        msg = f"'{path.name}' must be a complete DXF drawing; it is empty; save the drawing again as DXF."
        raise DrawingError(msg)


def _is_complete(path: Path) -> bool:
    """Whether a text file ends as every DXF does."""
    with path.open("rb") as file:
        file.seek(0, 2)
        file.seek(max(file.tell() - 200, 0))
        lines = file.read().split()
    return lines[-2:] == [b"0", b"EOF"]


def _broken(path: Path, error: Exception) -> str:
    return (
        f"'{path.name}' must be a complete DXF drawing; it is none, or is damaged or cut short "
        f"({_reason(error, path)}); save it again as DXF."
    )


def _reason(error: Exception, path: Path) -> str:
    text = str(error).replace(str(path), path.name).strip() or type(error).__name__
    plain = "".join(letter if letter.isprintable() else "?" for letter in text.splitlines()[0])
    return plain[:_LONGEST_REASON].rstrip(".")
