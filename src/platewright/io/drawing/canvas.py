"""A sheet of SVG in millimetres: the page's origin is its top left corner, y runs down."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from xml.sax.saxutils import escape, quoteattr

from platewright.io.drawing.lettering import FAMILY

__all__ = ["INK", "Canvas", "number"]

INK = "#1a1a1a"
PointList = Sequence[tuple[float, float]]
Attribute = str | float


def number(value: float, decimals: int = 3) -> str:
    """Write a number with at most so many decimals, without trailing zeros or a negative zero.

    Examples
    --------
    >>> number(2.5), number(-0.0001), number(10.0)
    ('2.5', '0', '10')
    """
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


class Canvas:
    """Collects SVG elements in the order they are painted.

    Parameters
    ----------
    width, height : float
        Size of the sheet [mm].
    title : str
        What readers of the file are told it shows.
    """

    def __init__(self, width: float, height: float, title: str) -> None:
        self.width, self.height, self.title = width, height, title
        self._parts: list[str] = []
        self._definitions: dict[str, str] = {}

    def element(self, name: str, attributes: Mapping[str, Attribute], text: str | None = None) -> None:
        """Add one element; an underscore in an attribute's name stands for a hyphen, numbers are rounded to 1 um."""
        written = " ".join(
            f"{k.replace('_', '-')}={quoteattr(v if isinstance(v, str) else number(v))}" for k, v in attributes.items()
        )
        self._parts.append(f"<{name} {written}/>" if text is None else f"<{name} {written}>{escape(text)}</{name}>")

    def line(self, x1: float, y1: float, x2: float, y2: float, **style: Attribute) -> None:
        """Add a straight line."""
        self.element("line", {"x1": x1, "y1": y1, "x2": x2, "y2": y2, **_stroke(style)})

    def polyline(self, points: PointList, **style: Attribute) -> None:
        """Add an open run of lines."""
        self.element("polyline", {"points": _points(points), "fill": "none", **_stroke(style)})

    def polygon(self, points: PointList, **style: Attribute) -> None:
        """Add a closed polygon."""
        self.element("polygon", {"points": _points(points), **style})

    def rectangle(self, x: float, y: float, width: float, height: float, **style: Attribute) -> None:
        """Add a rectangle by its top left corner."""
        self.element("rect", {"x": x, "y": y, "width": width, "height": height, **style})

    def circle(self, x: float, y: float, radius: float, **style: Attribute) -> None:
        """Add a circle."""
        self.element("circle", {"cx": x, "cy": y, "r": radius, **style})

    def path(self, commands: str, **style: Attribute) -> None:
        """Add a path."""
        self.element("path", {"d": commands, **style})

    def text(
        self,
        x: float,
        y: float,
        text: str,
        size: float = 2.5,
        anchor: str = "start",
        bold: bool = False,
        fill: str = INK,
        turn: float = 0.0,
        halo: bool = False,
    ) -> None:
        """Add a text by its baseline; `turn` [deg] counts clockwise, a halo lifts it off what lies under it."""
        style: dict[str, Attribute] = {"x": x, "y": y, "font_size": size, "text_anchor": anchor, "fill": fill}
        if bold:
            style["font_weight"] = "bold"
        if turn:
            style["transform"] = f"rotate({number(turn)} {number(x)} {number(y)})"
        if halo:
            style |= {"stroke": "#ffffff", "stroke_width": size * 0.28, "stroke_linejoin": "round"}
            style["paint_order"] = "stroke"
        self.element("text", style, text)

    def arrow(self, x: float, y: float, angle: float, size: float = 2.2, fill: str = INK, half: float = 0.16) -> None:
        """Add a filled arrow head: tip, direction [rad] clockwise from +x, length [mm], half its angle [rad]."""
        points = [(x, y)]
        for side in (half, -half):
            points.append((x - size * math.cos(angle + side), y - size * math.sin(angle + side)))
        self.polygon(points, fill=fill)

    def hatch(self, identity: str, colour: str, step: float = 1.2, turn: float = 45.0, dash: str = "") -> str:
        """Define a hatch of parallel lines once and return the fill that uses it."""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self._definitions[identity] = (
            f'<pattern id="{identity}" width="{number(step)}" height="{number(step)}" patternUnits="userSpaceOnUse" '
            f'patternTransform="rotate({number(turn)})"><line x1="0" y1="0" x2="0" y2="{number(step)}" '
            f'stroke="{colour}" stroke-width="0.3"{dashed}/></pattern>'
        )
        return f"url(#{identity})"

    def open_window(self, identity: str, x: float, y: float, width: float, height: float) -> None:
        """Show what follows through a rectangle only, until `close_window`."""
        box = f'x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}"'
        self._definitions[identity] = f'<clipPath id="{identity}"><rect {box}/></clipPath>'
        self._parts.append(f'<g clip-path="url(#{identity})">')

    def close_window(self) -> None:
        """End the window opened last."""
        self._parts.append("</g>")

    def svg(self) -> str:
        """Return the document."""
        width, height = number(self.width), number(self.height)
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
            f'viewBox="0 0 {width} {height}" font-family={quoteattr(FAMILY)}>'
        )
        lines = [head, f"<title>{escape(self.title)}</title>"]
        if self._definitions:
            lines.append("<defs>" + "".join(self._definitions.values()) + "</defs>")
        lines.append(f'<rect width="{width}" height="{height}" fill="#ffffff"/>')
        return "\n".join([*lines, *self._parts, "</svg>", ""])


def _points(points: PointList) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def _stroke(style: Mapping[str, Attribute]) -> dict[str, Attribute]:
    return {"stroke": INK, "stroke_width": 0.18, **style}
