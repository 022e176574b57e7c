"""Amounts of money in a database: exact decimal text, the same in both kinds, with up to six decimals."""

from __future__ import annotations

from decimal import Decimal

from sqlalchemy import String
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator

__all__ = ["Money"]


class Money(TypeDecorator[Decimal]):
    """A `Decimal`, kept as text: a binary fraction would lose cents."""

    impl = String(24)
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> str | None:
        """Return what is written.

        Raises
        ------
        TypeError
            If the amount is no `Decimal`.
        """
        if value is None:
            return None
        if not isinstance(value, Decimal):
            msg = f"an amount of money must be a Decimal (got {type(value).__name__})."
            raise TypeError(msg)
        return f"{value:f}"

    def process_result_value(self, value: str | None, dialect: Dialect) -> Decimal | None:
        """Return what was written."""
        return None if value is None else Decimal(value)
