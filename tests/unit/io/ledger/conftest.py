"""Both databases for every test of a ledger."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from ledgers import Databases, stocked
from platewright.io.ledger.store import Ledger


@pytest.fixture(scope="package")
def databases(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Databases]:
    made = Databases(tmp_path_factory.mktemp("ledgers"))
    yield made
    made.close()


@pytest.fixture(params=["sqlite", "postgresql"])
def kind(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture
def address(databases: Databases, kind: str) -> str:
    return databases.fresh(kind)


@pytest.fixture
def shop(address: str) -> Iterator[tuple[Ledger, dict[str, str]]]:
    yield from stocked(address)
