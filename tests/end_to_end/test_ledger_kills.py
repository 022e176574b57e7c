"""Processes that book side by side and are killed in the middle: what was said to be booked is, and all is whole.

A worker says a booking's number only after it is committed. After a kill every number that was said must be in the
books, at most one more for each worker (committed, not yet said), and nothing that must hold may be broken.
"""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import text

from ledgers import DAY, Databases, stocked
from platewright.foundation.errors import LedgerError
from platewright.io.ledger.audit import breaches
from platewright.io.ledger.checkpoints import balances
from platewright.io.ledger.goods_out import pack
from platewright.io.ledger.store import open_ledger
from postgres_server import missing_reason, running_server

TESTS = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def databases(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Databases]:
    made = Databases(tmp_path_factory.mktemp("ledgers"))
    yield made
    made.close()


@pytest.fixture(params=["sqlite", "postgresql"])
def kind(request: pytest.FixtureRequest) -> str:
    return request.param


class Worker:
    """A process that books; `said` is what it told before it ended."""

    def __init__(self, address: str, what: str, count: int, seed: int, item: str = "box") -> None:
        words = [sys.executable, str(TESTS / "ledger_worker.py"), address, what, str(count), str(seed), item]
        self._process = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=TESTS)
        self.first = self._process.stdout.readline().split()

    def line(self) -> list[str]:
        return self._process.stdout.readline().split()

    def kill(self) -> None:
        self._process.kill()

    def end(self) -> tuple[set[int], str]:
        """Wait, and return the numbers it said were booked, and what it said of errors."""
        out, err = self._process.communicate(timeout=120)
        said = [line.split() for line in out.splitlines() if line.endswith("\n") or line]
        return {int(words[1]) for words in said if len(words) == 2 and words[0] == "booked"}, err


def documents(address: str) -> set[int]:
    ledger = open_ledger(address)
    with ledger.read() as c:
        assert breaches(c) == []
        found = {int(n) for n in c.execute(text("SELECT id FROM document")).scalars()}
    ledger.close()
    return found


def documents_of_cut(address: str) -> int:
    """Return how many documents a ledger has; none where the log was cut before the tables were folded in."""
    try:
        return len(documents(address))
    except LedgerError as error:
        if error.code != "ledger.missing":
            raise
        return 0


def prepared(databases: Databases, kind: str, kits: int = 40) -> tuple[str, str]:
    address = databases.fresh(kind)
    for _, codes in stocked(address, kits):
        arm = codes["arm"]
    return address, arm


def kill_loop(address: str, arm: str, rounds: int) -> None:
    """Start two workers, kill both at a random moment, look at the books, and again."""
    chance = random.Random(rounds)
    before = documents(address)
    said_in_all: set[int] = set()
    for n in range(rounds):
        workers = [Worker(address, "mixed", 100_000, 10 * n + k, arm) for k in range(2)]
        time.sleep(chance.uniform(0.02, 0.4))
        for worker in workers:
            worker.kill()
        ended = [worker.end() for worker in workers]
        assert [err for _, err in ended] == ["", ""]
        said = set().union(*(numbers for numbers, _ in ended))
        now = documents(address)
        assert said <= now
        assert len(now - before - said) <= len(workers)
        said_in_all |= said
        before = now
    assert len(said_in_all) > rounds


def test_kills_in_the_middle_lose_nothing(databases: Databases, kind: str):
    kill_loop(*prepared(databases, kind), rounds=3)


@pytest.mark.slow
def test_many_kills_in_the_middle_lose_nothing(databases: Databases, kind: str):
    kill_loop(*prepared(databases, kind, 400), rounds=40)


def test_a_kill_inside_a_booking_leaves_nothing_of_it(databases: Databases, kind: str):
    address, _ = prepared(databases, kind)
    before = documents(address)
    worker = Worker(address, "half", 0, 0)
    assert worker.line()[0] == "half"
    worker.kill()
    worker.end()
    assert documents(address) == before
    ledger = open_ledger(address)
    ledger.write(lambda c: pack(c, "Bobbin", 1, DAY))
    ledger.close()


def test_writers_side_by_side_neither_lose_nor_double_anything(databases: Databases, kind: str):
    address, arm = prepared(databases, kind)
    before = documents(address)
    workers = [Worker(address, "mixed", 25, seed, arm) for seed in range(4)]
    ended = [worker.end() for worker in workers]
    assert [err for _, err in ended] == [""] * 4
    numbers = [n for said, _ in ended for n in said]
    assert len(numbers) == len(set(numbers))
    assert documents(address) - before == set(numbers)


def test_the_last_kit_is_sold_once(databases: Databases, kind: str):
    address, _ = prepared(databases, kind)
    ledger = open_ledger(address)
    kit = ledger.write(lambda c: pack(c, "Bobbin", 15, DAY)).kit
    workers = [Worker(address, "sell", 100, seed) for seed in range(3)]
    ended = [worker.end() for worker in workers]
    assert [err for _, err in ended] == [""] * 3
    assert sum(len(said) for said, _ in ended) == 15
    with ledger.read() as c:
        assert breaches(c) == []
        assert balances(c, [kit]) == []
    ledger.close()


def test_a_log_torn_anywhere_gives_an_earlier_whole_ledger(databases: Databases, tmp_path: Path):
    """A power cut may leave the write-ahead log short at any byte: what is read then is whole, only older."""
    address, arm = prepared(databases, "sqlite")
    holder = open_ledger(address)  # keeps the log from being folded into the file
    with holder.read() as c:
        c.execute(text("SELECT 1"))
    ended, err = Worker(address, "mixed", 30, 5, arm).end()
    assert err == ""
    log = Path(f"{address}-wal").read_bytes()
    assert len(log) > 50_000
    chance = random.Random(1)
    counts = []
    for cut in sorted(chance.randrange(len(log)) for _ in range(12)):
        copy = tmp_path / f"cut_{cut}.sqlite"
        shutil.copy(address, copy)
        Path(f"{copy}-wal").write_bytes(log[:cut])
        counts.append(documents_of_cut(str(copy)))
    assert counts == sorted(counts)
    assert counts[-1] > counts[0]
    assert len(ended) > 5
    holder.close()


@pytest.mark.skipif(bool(missing_reason()), reason=missing_reason())
def test_a_killed_server_comes_back_with_all_that_was_booked():
    """The server and all its processes are killed while two workers book; it is started again and has every number."""
    with running_server() as server:
        databases = Databases(Path())
        databases._server = server
        address, arm = prepared(databases, "postgresql")
        before = documents(address)
        for n in range(2):
            workers = [Worker(address, "mixed", 100_000, 10 * n + k, arm) for k in range(2)]
            time.sleep(0.4)
            server.kill()
            ended = [worker.end() for worker in workers]
            assert all("ledger.unreachable" in err for _, err in ended)
            server.start()
            said = set().union(*(numbers for numbers, _ in ended))
            now = documents(address)
            assert said
            assert said <= now
            assert len(now - before - said) <= len(workers)
            before = now
