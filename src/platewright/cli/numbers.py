"""Whole numbers of the command line: 2.5 kits are refused, not rounded."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

from cyclopts import Parameter, Token

__all__ = ["Kits"]


def _whole(_: Any, tokens: Sequence[Token]) -> list[int]:
    for token in tokens:
        if not token.value.lstrip("+-").isdecimal():
            msg = f"must be a whole number (got '{token.value}')."
            raise ValueError(msg)
    return [int(token.value) for token in tokens]


Kits = Annotated[list[int] | None, Parameter(negative=(), converter=_whole)]
