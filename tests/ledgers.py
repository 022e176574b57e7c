"""Ledgers for tests, in both databases, and a small shop of our own to fill them with."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from sqlalchemy import Connection

from platewright.geometry.loops import Circle, Outline
from platewright.geometry.shapes import rectangle_loop
from platewright.io.ledger.frames import enter_frame
from platewright.io.ledger.goods_in import Receipt, ReceiptLine, receive
from platewright.io.ledger.items import add_item, add_supplier, want_check
from platewright.io.ledger.making import create_ledger
from platewright.io.ledger.store import Ledger, open_ledger
from platewright.study.identity import PartIdentity
from platewright.study.stock_items import BoughtItem, Feature, FrameItems, KitNeed, PartItem
from postgres_server import PostgresServer, missing_reason, running_server

__all__ = ["DAY", "Databases", "fill_shop", "frame", "stocked"]

DAY = datetime.date(2026, 3, 2)
SIZES = {"arm": (60.0, 12.0), "deck": (80.0, 30.0)}


class Databases:
    """Gives addresses of empty places and of fresh ledgers; one server for all that ask."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._stack = ExitStack()
        self._server: PostgresServer | None = None
        self._made: dict[str, str] = {}
        self._count = 0

    def place(self, kind: str) -> str:
        """Return the address of a place without a ledger."""
        if kind == "sqlite":
            self._count += 1
            return str(self._folder / f"ledger_{self._count}.sqlite")
        return self.server().url()

    def fresh(self, kind: str) -> str:
        """Return the address of a new, empty ledger."""
        if kind == "sqlite":
            address = self.place(kind)
            create_ledger(address, "EUR", DAY).close()
            return address
        if kind not in self._made:
            self._made[kind] = self.place(kind)
            create_ledger(self._made[kind], "EUR", DAY).close()
        return self.server().url(like=self._made[kind])

    def server(self) -> PostgresServer:
        if missing_reason():
            pytest.skip(missing_reason())
        if self._server is None:
            self._server = self._stack.enter_context(running_server())
        return self._server

    def close(self) -> None:
        self._stack.close()


def frame(name: str = "Bobbin", arm_mm: float = 60.0, revision: str = "A") -> FrameItems:
    """Return a frame of four arms and a deck, eight screws with a spare, and a motor each, the buyer's own."""
    parts = []
    for part, (length, width) in {**SIZES, "arm": (arm_mm, 12.0)}.items():
        outline = Outline(rectangle_loop(0, 0, length, width), (), (Circle(length / 2 - 5, 0, 1.6),))
        identity = PartIdentity("plate_woven_qi", 2.0, 0.0, outline)
        features = (Feature("hole_3.2_mm", 3.2, 3.15, 3.25), Feature("mass_g", 2.2, 2.1, 2.3))
        parts.append(PartItem(part, identity, 2.2, (*features, Feature("thickness_mm", 2.0, 1.9, 2.1))))
    bought = (
        BoughtItem("screw_m3x8", "hardware", "screw M3x8", "m3_socket"),
        BoughtItem("motor_1404", "equipment", "motor 1404", "motor_1404"),
    )
    needs = (
        KitNeed("arm", True, 4, 0, True),
        KitNeed("deck", True, 1, 0, True),
        KitNeed("screw_m3x8", False, 8, 1, True),
        KitNeed("motor_1404", False, 4, 0, False),
    )
    digest = f"{name}{arm_mm}{revision}".encode().hex()
    return FrameItems(name, revision, digest, 40.0, tuple(parts), bought, needs)


def fill_shop(ledger: Ledger) -> dict[str, str]:
    """Enter a supplier, a box and Bobbin; return the codes of its parts and of its kit."""

    def fill(connection: Connection) -> dict[str, str]:
        add_supplier(connection, "cutter", "A cutter", 14, 3.0)
        add_item(connection, "box", "packing", "box 200x150x50", DAY)
        entered = enter_frame(connection, frame(), DAY, {"box": 1})
        return {**{p.part: p.item for p in entered.parts}, "kit": entered.kit}

    return ledger.write(fill)


def stocked(address: str, kits: int = 10) -> Iterator[tuple[Ledger, dict[str, str]]]:
    """Give a ledger with the pieces of some kits in stock, all accepted without a check; closed afterwards."""
    ledger = open_ledger(address)
    codes = fill_shop(ledger)
    for item in (codes["arm"], codes["deck"]):
        ledger.write(lambda c, item=item: want_check(c, item, False))
    lines = [
        ReceiptLine(codes["arm"], 4 * kits, "A1", "S1"),
        ReceiptLine(codes["deck"], kits, "D1", "S1"),
        ReceiptLine("screw_m3x8", 9 * kits, "W1"),
        ReceiptLine("box", kits, "B1"),
    ]
    ledger.write(lambda c: receive(c, Receipt("cutter", lines, DAY, "note 1")))
    yield ledger, codes
    ledger.close()
