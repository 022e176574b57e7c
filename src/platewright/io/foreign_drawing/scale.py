"""Units of a drawing: what its header says, and whether the size that follows is that of a plate."""

from __future__ import annotations

from dataclasses import dataclass

from ezdxf import units
from ezdxf.document import Drawing

from platewright.foundation.errors import DrawingError
from platewright.foundation.units import MM_PER_INCH, MM_PER_M

__all__ = ["UNITS", "Unit", "header_unit", "settle_unit"]

UNITS = {"mm": 1.0, "cm": 10.0, "m": MM_PER_M, "inch": MM_PER_INCH}
_HEADER = {units.MM: "mm", units.CM: "cm", units.M: "m", units.IN: "inch"}
_PLATE_MM = (15.0, 800.0)  # least and most of a plate's largest dimension; common practice, no source


@dataclass(frozen=True)
class Unit:
    """A unit: its word, and its length [mm], None for one that is not read."""

    word: str
    in_mm: float | None


def header_unit(document: Drawing) -> Unit:
    """Return the unit that the header states."""
    unit = document.units
    if unit in _HEADER:
        return Unit(_HEADER[unit], UNITS[_HEADER[unit]])
    return Unit("none" if unit == 0 else units.unit_name(unit), None)


def settle_unit(name: str, stated: Unit, chosen: str | None, largest: float) -> tuple[str, str]:
    """Return the unit that counts and a sentence that says why.

    Parameters
    ----------
    name : str
        The file's name.
    stated : Unit
        From the header.
    chosen : str or None
        A unit that the reader of the drawing asked for.
    largest : float
        Largest dimension of the largest outline, in units of the drawing.

    Raises
    ------
    DrawingError
        If nobody says the unit, or if the size that follows from the header is not that of a plate.

    Examples
    --------
    >>> settle_unit("a.dxf", Unit("mm", 1.0), None, 120.0)
    ('mm', 'mm, as the header says; the largest outline is 120.0 mm')
    """
    if chosen is not None:
        size = largest * UNITS[chosen]
        said = "the header states none" if stated.word == "none" else f"the header says {stated.word}"
        why = f"{chosen}, as asked ({said}); the largest outline is {size:.1f} mm"
        odd = "" if _plausible(size) else ", an unusual size for a plate"
        return chosen, why + odd
    sizes = ", ".join(f"{_size(largest * length)} mm in {unit}" for unit, length in UNITS.items())
    if stated.in_mm is None:
        said = "states no units" if stated.word == "none" else f"states units that are not read ({stated.word})"
        msg = f"'{name}' {said}; its largest outline would be {sizes}; say which with --units {' | '.join(UNITS)}."
        raise DrawingError(msg)
    size = largest * stated.in_mm
    if not _plausible(size):
        low, high = _PLATE_MM
        msg = (
            f"'{name}' says {stated.word}, and its largest outline would be {_size(size)} mm, not from {low:g} to "
            f"{high:g} mm; it would be {sizes}; say which with --units {' | '.join(UNITS)}."
        )
        raise DrawingError(msg)
    return stated.word, f"{stated.word}, as the header says; the largest outline is {size:.1f} mm"


def _plausible(size: float) -> bool:
    return _PLATE_MM[0] <= size <= _PLATE_MM[1]


def _size(length: float) -> str:
    return f"{length:.1f}" if length >= 1 else f"{length:.3f}"
