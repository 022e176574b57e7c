"""Colours of a field of numbers, from low to high, that colour-blind readers can order and that print well in grey.

Scale: viridis, S. van der Walt and N. Smith 2015, given to the public domain (CC0); nine of its colours, from memory.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["band_codes", "colours_of"]

Floats = NDArray[np.float64]

_SCALE = np.array(
    [
        [0.267, 0.005, 0.329],
        [0.279, 0.175, 0.483],
        [0.230, 0.322, 0.546],
        [0.173, 0.449, 0.558],
        [0.128, 0.567, 0.551],
        [0.158, 0.684, 0.502],
        [0.369, 0.789, 0.383],
        [0.678, 0.864, 0.190],
        [0.993, 0.906, 0.144],
    ]
)


def colours_of(shares: Floats) -> Floats:
    """Return red, green and blue from 0 to 1 of shares from 0 to 1, (..., 3)."""
    at = np.clip(shares, 0.0, 1.0) * (len(_SCALE) - 1)
    grid = np.arange(len(_SCALE))
    return np.stack([np.interp(at, grid, _SCALE[:, k]) for k in range(3)], axis=-1)


def band_codes(count: int) -> list[str]:
    """Return so many colours as web codes, low first.

    Examples
    --------
    >>> band_codes(2)
    ['#440154', '#fde725']
    """
    rows = np.rint(255 * colours_of(np.linspace(0.0, 1.0, count))).astype(int)
    return [f"#{r:02x}{g:02x}{b:02x}" for r, g, b in rows.tolist()]
