"""What is recognised in a plate, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["SURE", "Doubt", "Pattern", "weighed"]

SURE = 0.5  # from this confidence a pattern is taken as such [-]


@dataclass(frozen=True)
class Pattern:
    """Something recognised.

    Parameters
    ----------
    kind : str
        `motor`, `board`, `standoff pair`, `strap`, `antenna` or `bolt`.
    record : str
        Id in the catalogue: of the pattern, the strap or the antenna; of a pair or bolt, the thread.
    x, y : float
        Middle [mm].
    turn : float
        Direction of the first opposite holes of a motor, of a side of a board, from slot to slot of a strap [rad].
    openings : tuple of int
        Numbers of its openings in the plate, those of the pattern first.
    thread, fit : str
        Thread and class of the clearance holes; empty where they are of none.
    spacing : float
        Between both holes of a pair, both slots of a strap [mm].
    confidence : float
        From 0 to 1: the weights of what speaks for it. The weights are our own, no source; it is no probability [-].
    evidence : tuple of str
        What speaks for it, and what against it.
    """

    kind: str
    record: str
    x: float
    y: float
    turn: float
    openings: tuple[int, ...]
    thread: str
    fit: str
    spacing: float
    confidence: float
    evidence: tuple[str, ...]

    @property
    def is_sure(self) -> bool:
        """Whether it is taken for what it seems."""
        return self.confidence >= SURE


@dataclass(frozen=True)
class Doubt:
    """Something that may be meant otherwise than drawn, with the middle of its holes [mm]."""

    what: str
    x: float
    y: float
    openings: tuple[int, ...]


def weighed(*tests: tuple[float, bool, str, str]) -> tuple[float, tuple[str, ...]]:
    """Add the weights of tests that hold; each gives its weight, whether it holds, and the words for either.

    Examples
    --------
    >>> weighed((0.5, True, "round", ""), (0.25, False, "blue", "not blue"))
    (0.5, ('round', 'not blue'))
    """
    total = sum(weight for weight, holds, _, _ in tests if holds)
    words = tuple(w for _, holds, yes, no in tests if (w := yes if holds else no))
    return round(total, 2), words
