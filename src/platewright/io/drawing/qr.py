"""A text as a QR code, drawn as SVG: ISO/IEC 18004, error correction of 15 %, with its quiet zone."""

from __future__ import annotations

import segno

from platewright.io.drawing.canvas import Canvas

__all__ = ["qr_svg"]

_QUIET = 4  # modules of white about the code, as the standard asks
_MODULE = 1.0  # [mm]; whoever places it scales it


def qr_svg(text: str) -> str:
    """Return the code of a text as SVG, one module a millimetre.

    Parameters
    ----------
    text : str
        What a reader shows.
    """
    rows = [bytes(row) for row in segno.make_qr(text, error="m").matrix]
    side = (len(rows) + 2 * _QUIET) * _MODULE
    canvas = Canvas(side, side, "QR code")
    canvas.rectangle(0.0, 0.0, side, side, fill="#ffffff")
    pieces = []
    for n, row in enumerate(rows):
        start = 0
        while start < len(row):
            end = start
            while end < len(row) and row[end]:
                end += 1
            if end > start:
                pieces.append(f"M{start + _QUIET} {n + _QUIET}h{end - start}v1h-{end - start}z")
            start = end + 1
    canvas.path("".join(pieces), fill="#000000")
    return canvas.svg()
