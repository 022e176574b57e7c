"""Colours of the roles of bodies, in a palette that colour-blind readers can tell apart.

Okabe, M. and Ito, K. (2008), Color Universal Design: how to make figures and presentations that are friendly to
colorblind people. Values from memory. The grey of plates is our own addition. A picture never says by colour alone what
it does not also say by shape or text.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["PALETTE", "ROLE_COLOURS", "Colour", "colour_of"]


@dataclass(frozen=True)
class Colour:
    """A colour as written in a web page.

    Parameters
    ----------
    code : str
        `#rrggbb`, in sRGB.
    opacity : float
        1 is solid, 0 cannot be seen [-].
    """

    code: str
    opacity: float = 1.0

    @property
    def srgb(self) -> tuple[float, float, float]:
        """Red, green and blue from 0 to 1, as written in the code."""
        red, green, blue = (int(self.code[k : k + 2], 16) / 255 for k in (1, 3, 5))
        return red, green, blue

    @property
    def linear(self) -> tuple[float, float, float]:
        """Red, green and blue from 0 to 1 in proportion to light (IEC 61966-2-1, from memory).

        Examples
        --------
        >>> [round(part, 3) for part in Colour("#bc00ff").linear]
        [0.503, 0.0, 1.0]
        """
        red, green, blue = (_to_linear(part) for part in self.srgb)
        return red, green, blue


PALETTE = {
    "black": "#000000",
    "orange": "#e69f00",
    "sky blue": "#56b4e9",
    "bluish green": "#009e73",
    "yellow": "#f0e442",
    "blue": "#0072b2",
    "vermillion": "#d55e00",
    "reddish purple": "#cc79a7",
    "grey": "#4d4d4d",
}

ROLE_COLOURS = {
    "plate": Colour(PALETTE["grey"]),
    "screw": Colour(PALETTE["vermillion"]),
    "nut": Colour(PALETTE["orange"]),
    "washer": Colour(PALETTE["orange"]),
    "standoff": Colour(PALETTE["sky blue"]),
    "spacer": Colour(PALETTE["blue"]),
    "board": Colour(PALETTE["bluish green"]),
    "motor": Colour(PALETTE["black"]),
    "propeller": Colour(PALETTE["sky blue"], 0.3),
    "camera": Colour(PALETTE["reddish purple"]),
    "battery": Colour(PALETTE["yellow"]),
    "strap": Colour(PALETTE["yellow"]),
    "antenna": Colour(PALETTE["reddish purple"]),
    "other": Colour(PALETTE["bluish green"]),
}


def colour_of(role: str, colours: Mapping[str, Colour] = ROLE_COLOURS) -> Colour:
    """Return the colour of a role; one that is not listed has the colour of `other`."""
    return colours.get(role) or colours.get("other") or ROLE_COLOURS["other"]


def _to_linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)
