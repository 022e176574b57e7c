"""A process of its own that books in a ledger, one booking after the other, and says so after each.

python ledger_worker.py ADDRESS WHAT COUNT SEED, where WHAT is `mixed`, `sell`, or `half`: to stop inside a booking.
"""

from __future__ import annotations

import datetime
import random
import sys
import time

from sqlalchemy import Connection

from platewright.foundation.errors import LedgerError
from platewright.io.ledger.goods_back import take_back
from platewright.io.ledger.goods_in import Receipt, ReceiptLine, count, receive
from platewright.io.ledger.goods_out import SaleLine, pack, sell
from platewright.io.ledger.store import Ledger, open_ledger

DAY = datetime.date(2026, 3, 2)


def say(*words: object) -> None:
    print(*words, flush=True)


def mixed(ledger: Ledger, chance: random.Random, item: str) -> None:
    """Book something that may be refused; say its number once it is booked."""
    choice = chance.randrange(5)
    lines = [ReceiptLine(item, 8), ReceiptLine("screw_m3x8", 18), ReceiptLine("box", 2)]
    try:
        if choice == 0:
            number = ledger.write(lambda c: receive(c, Receipt("cutter", lines, DAY)))
        elif choice in (1, 2):
            number = ledger.write(lambda c: pack(c, "Bobbin", chance.randint(1, 3), DAY)).document
        elif choice == 3:
            sold = ledger.write(lambda c: sell(c, [SaleLine("Bobbin")], DAY))
            say("booked", sold.document)
            kit = sold.lines[0][1][0][0]
            number = ledger.write(lambda c: take_back(c, kit, "a test", DAY, keep=chance.random() < 0.5)).document
        else:
            number = ledger.write(lambda c: count(c, "box", chance.randint(0, 300), DAY)).document
    except LedgerError as error:
        if error.code != "ledger.negative":
            raise
        return
    say("booked", number)


def half(connection: Connection) -> None:
    """Pack and sell, then stop before it is booked."""
    packed = pack(connection, "Bobbin", 2, DAY)
    sell(connection, [SaleLine("Bobbin")], DAY)
    say("half", packed.document)
    time.sleep(600)


def main() -> None:
    address, what, n, seed = sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
    ledger = open_ledger(address)
    say("ready")
    if what == "half":
        ledger.write(half)
    chance = random.Random(seed)
    for _ in range(n):
        if what == "sell":
            try:
                say("booked", ledger.write(lambda c: sell(c, [SaleLine("Bobbin")], DAY)).document)
            except LedgerError as error:
                say("refused", error.code)
                break
        else:
            mixed(ledger, chance, sys.argv[5])
    ledger.close()
    say("done")


if __name__ == "__main__":
    main()
