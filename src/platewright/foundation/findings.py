"""A finding: one thing about a valid design that its maker should know.

Severity *fail* stops a release, *warn* asks for a look, *note* informs. Every code has a section in
`docs/reference/errors.md`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Finding", "Severity"]


class Severity(StrEnum):
    """How grave a finding is; only `FAIL` changes the exit status."""

    FAIL = "fail"
    WARN = "warn"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for the gravest, for sorting."""
        return list(Severity).index(self)


@dataclass(frozen=True)
class Finding:
    """One finding.

    Parameters
    ----------
    code : str
        Stable code such as `screw.engagement`; a heading of `docs/reference/errors.md`.
    severity : Severity
        Fail, warn or note.
    where : str
        What it is about: a column, place, part or piece of equipment, as the design names it.
    message : str
        One sentence with numbers and units.
    value, limit : float or None
        The number judged and what it is judged against, in `unit`.
    unit : str
        Unit of value and limit, `mm`, `g`, `N m`; empty for none.
    why : str
        The rule and its source.
    """

    code: str
    severity: Severity
    where: str
    message: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    why: str = ""
    at_least: bool = True

    @property
    def margin(self) -> float | None:
        """Distance from the limit, positive when the rule is kept, in `unit`; None without both numbers."""
        if self.value is None or self.limit is None:
            return None
        return self.value - self.limit if self.at_least else self.limit - self.value
