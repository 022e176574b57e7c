"""CSV files in and out: all rows or none, and one sentence for each thing that is wrong, with its line."""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import text

from ledgers import DAY
from platewright.foundation.errors import DesignFileError, LedgerError, OutputError
from platewright.io.ledger.audit import breaches
from platewright.io.ledger.csv_export import EXPORTS, export_rows, write_csv
from platewright.io.ledger.csv_import import import_rows, read_form, read_measures
from platewright.io.ledger.csv_read import read_csv
from platewright.io.ledger.goods_out import SaleLine, pack, sell
from platewright.io.ledger.store import Ledger

Shop = tuple[Ledger, dict[str, str]]
PRICES = "supplier,item,minimum_quantity,unit_price\n"


def problems(action: object) -> list[tuple[str, int | None, str]]:
    with pytest.raises(DesignFileError) as caught:
        action()
    return [(p.code, p.line, str(p)) for p in caught.value.problems]


def booked(ledger: Ledger, form: str, path: Path, **how: object) -> int:
    table = read_form(path, form, **how)
    return ledger.write(lambda c: import_rows(c, form, table, DAY))


def rows(ledger: Ledger, table: str) -> int:
    with ledger.read() as c:
        assert breaches(c) == []
        return c.execute(text(f"SELECT COUNT(*) FROM {table}")).scalar_one()


@pytest.mark.parametrize(
    ("content", "how"),
    [
        (b"supplier,item,minimum_quantity,unit_price\ncutter,box,10,0.80\n", {}),
        ("\ufeffsupplier;item;minimum_quantity;unit_price\r\ncutter;box;10;0.80\r\n".encode(), {}),
        (b"Unit_price\tsupplier\titem\tminimum_quantity\n0,80\tcutter\tbox\t10\n", {"decimal_comma": True}),
        (b'supplier,item,minimum_quantity,unit_price\ncutter,box,10,"0,80"\n', {"decimal_comma": True}),
        ("supplier;item;minimum_quantity;unit_price\ncutter;box;10;0.80\n".encode("utf-16"), {"encoding": "utf-16"}),
    ],
)
def test_files_as_spreadsheets_write_them(shop: Shop, tmp_path: Path, content: bytes, how: dict[str, object]):
    ledger, _ = shop
    path = tmp_path / "prices.csv"
    path.write_bytes(content)
    assert booked(ledger, "prices", path, **how) == 1
    with ledger.read() as c:
        assert Decimal(c.execute(text("SELECT unit_price FROM offer")).scalar_one()) == Decimal("0.80")


@pytest.mark.parametrize(
    ("content", "code", "line", "said"),
    [
        ("supplier,item\nKöln,x\n".encode("cp1252"), "csv.encoding", 2, "byte 0xf6 in line 2"),
        ("a;b\n".encode("utf-16"), "csv.encoding", None, "--encoding utf-16"),
        (f"{PRICES}cutter,box,10,0,80\n".encode(), "csv.form", 2, "a decimal comma splits a cell"),
        (b"supplier;item;minimum_quantity;unit_price\ncutter;box;10;0,80\n", "csv.decimal", 2, "--decimal-comma"),
        (f"{PRICES}cutter,box,1.5,2\n".encode(), "csv.number", 2, "a whole number"),
        (f"{PRICES}cutter,box,10,two\n".encode(), "csv.number", 2, "(got 'two')"),
        (f"{PRICES}cutter,box,10,\n".encode(), "csv.missing", 2, "unit_price must not be empty"),
        (f"{PRICES}cutter,boxx,10,1\n".encode(), "ledger.unknown_item", 2, "did you mean 'box'"),
        (b"supplier,item,minimum_quantity,price\ncutter,box,10,1\n", "csv.heading", 1, "unit_price is missing"),
        (b"", "csv.heading", None, "is empty"),
        (PRICES.encode(), "csv.form", None, "no rows"),
        (f'{PRICES}cutter,"box,10,1\n'.encode(), "csv.form", None, "is no CSV"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_booked(
    shop: Shop, tmp_path: Path, content: bytes, code: str, line: int | None, said: str
):
    ledger, _ = shop
    path = tmp_path / "prices.csv"
    path.write_bytes(content)
    found = problems(lambda: booked(ledger, "prices", path))
    assert (found[0][0], found[0][1]) == (code, line)
    assert said in found[0][2]
    assert "prices.csv" in found[0][2]
    assert rows(ledger, "offer") == 0


def test_one_wrong_row_keeps_all_others_out_and_every_problem_is_listed(shop: Shop, tmp_path: Path):
    ledger, codes = shop
    path = tmp_path / "receipts.csv"
    lines = [
        "supplier,reference,date,item,quantity,lot,unit_price",
        f"cutter,n7,2026-03-03,{codes['arm']},40,A7,3.40",
        f"cutter,n7,2026-03-03,{codes['deck']},10,D7,",
        "cutter,n8,03.03.2026,box,5,,",
        "cutter,note 1,2026-03-03,box,5,,",
        "nobody,n9,,box,5,,",
        "cutter,,,box,-5,,",
    ]
    path.write_text("\n".join(lines), encoding="utf-8")
    before = rows(ledger, "document"), rows(ledger, "movement")
    found = problems(lambda: booked(ledger, "receipts", path))
    expected = [
        ("csv.date", 4),
        ("ledger.duplicate", 5),
        ("ledger.unknown_supplier", 6),
        ("ledger.value", 7),
    ]
    assert [(code, line) for code, line, _ in found] == expected
    assert (rows(ledger, "document"), rows(ledger, "movement")) == before
    path.write_text("\n".join(lines[:3]), encoding="utf-8")
    assert booked(ledger, "receipts", path) == 1
    assert (rows(ledger, "document"), rows(ledger, "movement")) == (before[0] + 1, before[1] + 2)
    assert [code for code, _, _ in problems(lambda: booked(ledger, "receipts", path))] == ["ledger.duplicate"]


def test_the_other_forms(shop: Shop, tmp_path: Path):
    ledger, codes = shop
    files = {
        "items": "item,kind,name,checked\nlabel,packing,label,no\npeg,hardware,peg,yes\n",
        "suppliers": "supplier,name,lead_time_days,lead_time_spread_days\nprinter,A printer,5,1.5\n",
        "counts": "item,quantity,reason\nlabel,250,counted\nbox,9,counted\n",
        "sales": f"item,quantity,buyer,reference,unit_price\n{codes['arm']},2,A buyer,5,9.50\nbox,1,A buyer,5,0\n",
    }
    expected = {"items": 2, "suppliers": 1, "counts": 2, "sales": 1}
    for form, content in files.items():
        path = tmp_path / f"{form}.csv"
        path.write_text(content, encoding="utf-8")
        assert booked(ledger, form, path) == expected[form]
    with pytest.raises(LedgerError, match="cannot be imported"):
        booked(ledger, "kits", path)
    (tmp_path / "items.csv").write_text("item,kind,name,checked\nx,screw,x,\ny,packing,y,perhaps\n", encoding="utf-8")
    found = problems(lambda: booked(ledger, "items", tmp_path / "items.csv"))
    assert [code for code, _, _ in found] == ["ledger.value", "csv.choice"]


@pytest.mark.parametrize("what", EXPORTS)
def test_every_table_is_read_back_by_another_reader(shop: Shop, tmp_path: Path, what: str):
    ledger, codes = shop
    ledger.write(lambda c: pack(c, codes["kit"], 2, DAY))
    ledger.write(lambda c: sell(c, [SaleLine(codes["kit"], 1, unit_price=Decimal("99.50"))], DAY, "=SUM(A1)", "7"))
    path = tmp_path / f"{what}.csv"
    with ledger.read() as c:
        n = write_csv(path, export_rows(c, what))
    assert path.read_bytes().startswith(b"\xef\xbb\xbf")
    with path.open(encoding="utf-8-sig", newline="") as file:
        read = list(csv.DictReader(file))
    assert len(read) == n
    assert n > 0 or what in ("prices", "measurements")
    if what == "movements":
        assert read[-1]["unit_price"] == "99.50"
        assert read[-1]["party"] == "'=SUM(A1)"
    with ledger.read() as c:
        write_csv(path, export_rows(c, what), decimal_comma=True, mark=False)
    assert path.read_bytes()[:3] != b"\xef\xbb\xbf"
    if what == "movements":
        assert ";99,50;" in path.read_text(encoding="utf-8")


def test_export_of_nothing_known_and_to_nowhere(shop: Shop, tmp_path: Path):
    ledger, _ = shop
    with ledger.read() as c, pytest.raises(LedgerError, match="cannot be exported"):
        write_csv(tmp_path / "x.csv", export_rows(c, "everything"))
    assert list(tmp_path.iterdir()) == []
    with ledger.read() as c, pytest.raises(OutputError, match="cannot be written"):
        write_csv(tmp_path / "none" / "x.csv", export_rows(c, "stock"))


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.text(st.characters(blacklist_categories=("Cs", "Cc")), min_size=1, max_size=12), min_size=1, max_size=6
    ),
    st.booleans(),
)
def test_any_text_comes_back_from_a_file(tmp_path_factory: pytest.TempPathFactory, names: list[str], comma: bool):
    path = tmp_path_factory.mktemp("csv") / "any.csv"
    write_csv(path, [("item", "name"), *((str(n), name) for n, name in enumerate(names))], comma)
    table = read_csv(path, ("item", "name"), ())
    kept = [row.text("name", required=False) for row in table.rows]
    assert kept == [name.removeprefix("'").strip() if _guarded(name) else name.strip() for name in names]


def _guarded(name: str) -> bool:
    """A text that begins like a guarded formula loses its apostrophe."""
    return name.strip()[:1] == "'" and name.strip()[1:2] in ("=", "+", "-", "@")


def test_measures(tmp_path: Path):
    path = tmp_path / "check.csv"
    path.write_text("piece,feature,nominal,low,high,value\n1,mass_g,2,1,3,2.5\n2,mass_g,2,1,3,\n", encoding="utf-8")
    assert [(m.piece, m.feature, m.value) for m in read_measures(path)] == [(1, "mass_g", 2.5)]
    assert problems(lambda: read_measures(tmp_path / "none.csv"))[0][0] == "csv.form"
