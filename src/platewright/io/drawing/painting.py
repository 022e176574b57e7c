"""How bodies are painted: fill and stroke by role, plates lighter the higher they lie."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from platewright.assembly.bodies import Body
from platewright.io.colours import colour_of
from platewright.io.drawing.canvas import INK, Canvas
from platewright.io.drawing.silhouettes import Figure

__all__ = ["ROLE_ORDER", "is_disc", "legend", "mix", "paint", "plate_tints", "role_fill"]

ROLE_ORDER = (
    *("motor", "propeller", "board", "camera", "battery", "strap", "antenna", "other"),
    *("screw", "nut", "washer", "standoff", "spacer"),
)
_LOOSE = frozenset({"battery", "strap", "antenna", "camera"})  # seen through, so that what they cover can be read
_DARK, _LIGHT = 0.25, 0.80  # share of white in the lowest and the highest plate


def mix(colour: str, white: float) -> str:
    """Return a colour mixed with a share of white.

    Examples
    --------
    >>> mix("#000000", 0.5)
    '#808080'
    """
    parts = [int(colour[k : k + 2], 16) for k in (1, 3, 5)]
    return "#" + "".join(f"{round(p + (255 - p) * white):02x}" for p in parts)


def plate_tints(names: Sequence[str]) -> dict[str, str]:
    """Return a fill for each plate place, names given from the lowest to the highest."""
    last = max(len(names) - 1, 1)
    return {n: mix(colour_of("plate").code, _DARK + (_LIGHT - _DARK) * k / last) for k, n in enumerate(names)}


def role_fill(role: str) -> str:
    """Return the fill of a role that is no plate."""
    return mix(colour_of(role).code, 0.2)


def paint(
    canvas: Canvas,
    shapes: Iterable[Figure],
    tints: Mapping[str, str],
    scale: float,
    x0: float,
    y0: float,
    translucent: bool = True,
) -> None:
    """Paint figures from far to near; propeller discs are left to the caller."""
    for figure in shapes:
        body = figure.body
        if is_disc(body, figure.number):
            continue
        fill = tints[body.owner] if body.role == "plate" else role_fill(body.role)
        style: dict[str, str | float] = {"fill": fill, "fill_rule": "evenodd", "stroke": INK, "stroke_width": 0.13}
        if translucent and body.role in _LOOSE:
            style["fill_opacity"] = 0.45
        style["class"] = f"{body.role} {body.name}"
        canvas.path(figure.path(scale, x0, y0), **style)


def is_disc(body: Body, number: int) -> bool:
    """Whether a solid is the disc that a turning propeller sweeps."""
    return body.role == "propeller" and number == 1


def legend(canvas: Canvas, x: float, y: float, rows: Sequence[tuple[str, str]], step: float = 4.2) -> float:
    """Write rows of a filled swatch and a text; return the y below them [mm]."""
    for fill, text in rows:
        canvas.rectangle(x, y - 2.3, 4.5, 2.8, fill=fill, stroke=INK, stroke_width=0.13)
        canvas.text(x + 6.2, y, text, 2.5)
        y += step
    return y
