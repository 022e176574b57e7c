"""What makers hold about screws and braces, beside what is computed for one frame."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Belief", "ScrewChoice", "verdict"]

Band = tuple[float, float]


@dataclass(frozen=True)
class ScrewChoice:
    """The arm screws of a frame in one material.

    `times_later` is by how many times the load of the first other failure they break, in the tip hit that leaves least,
    with its band over soft to stiff joints; `breaks_first` says in words what the band leaves open.
    """

    material: str
    tension_n: float
    shear_n: float
    elongation_percent: float | None
    energy_j: float | None
    stiffness_n_per_mm: float
    times_later: float
    band: Band
    breaks_first: str


@dataclass(frozen=True)
class Belief:
    """One belief: what was compared, the number with its band, the limit that decides, and the verdict from them."""

    belief: str
    compared: str
    value: float
    band: Band
    limit: float
    verdict: str
    words: str


def verdict(band: Band, limit: float = 1.0) -> str:
    """Return `holds` for a band above the limit, `does not hold` for one below it, `open` for one on both sides.

    Examples
    --------
    >>> verdict((1.2, 3.0)), verdict((0.2, 0.9)), verdict((0.9, 1.1))
    ('holds', 'does not hold', 'open')
    """
    if band[0] > limit:
        return "holds"
    return "does not hold" if band[1] < limit else "open"
