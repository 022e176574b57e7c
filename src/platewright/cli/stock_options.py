"""Options that several commands about the ledger share, each with its help."""

from __future__ import annotations

import datetime
from typing import Annotated

from cyclopts import Parameter

__all__ = ["AsJson", "ItemName", "LedgerAddress", "LotCode", "OnDay"]

AsJson = Annotated[bool, Parameter(help="Print JSON instead of tables and sentences.")]
ItemName = Annotated[str, Parameter(help="Its code, a name that only one item has, or FRAME:PART.")]
LedgerAddress = Annotated[str, Parameter(help="A file, or postgresql://user@host/database.")]
LotCode = Annotated[str, Parameter(help="The lot's code.")]
OnDay = Annotated[datetime.date | None, Parameter(help="Date; today if none is given.")]
