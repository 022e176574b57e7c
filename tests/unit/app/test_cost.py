"""What kits of the examples cost: rows add up, batches are cheaper, choices are what running again gives."""

import json
from decimal import Decimal
from pathlib import Path

import jsonschema
import pytest

from platewright.app.cost import cost, cost_json
from platewright.app.load import load
from platewright.app.result_schemas import result_schema
from platewright.assembly.bill import bill_of_materials
from platewright.cli import main
from platewright.foundation.errors import RequestError
from platewright.geometry.loops import cut_length
from platewright.io.shop_file import read_shop_file
from platewright.model.catalogue import load_catalogue
from platewright.study.cost import cost_report

ROOT = Path(__file__).parents[3]
EXAMPLES = ROOT / "examples"
HEDDLE = EXAMPLES / "heddle.toml"
SHOP = EXAMPLES / "shop" / "shop.toml"


@pytest.fixture(scope="module")
def report():
    return cost(HEDDLE)


def changed_shop(tmp_path, *changes):
    text = SHOP.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (tmp_path / "shop.toml").write_text(text, encoding="utf-8")
    return tmp_path / "shop.toml"


def test_rows_add_up_and_larger_batches_are_cheaper(report):
    for batch in report.batches:
        assert sum(row.money for row in batch.rows) == batch.total
        assert batch.total_low <= batch.total <= batch.total_high
    totals = [b.total for b in report.batches]
    assert totals == sorted(totals, reverse=True)
    assert report.unpriced == ()


def test_cut_length_is_that_of_the_outlines(report):
    """All contours but drilled holes."""
    parts = load(HEDDLE).assembly.parts
    for row in report.parts:
        outline = parts[row.part].outline
        drilled = sum(6.283185307179586 * c.radius for c in outline.circles if 2 * c.radius < 2.5)
        assert row.cut_length_mm == pytest.approx(cut_length(outline) - drilled, rel=1e-12)


def test_hardware_by_hand(tmp_path):
    """One price for every piece: the cost is the count of the parts list, spares included."""
    path = changed_shop(tmp_path)
    head, _, tail = path.read_text(encoding="utf-8").partition('[[hardware]]\nitem = "screw M3x* titanium*"')
    _, _, rest = tail.partition("[[packing]]")
    path.write_text(
        f'{head}[[hardware]]\nitem = "*"\nprices = [{{ price = 0.10 }}]\n\n[[packing]]{rest}', encoding="utf-8"
    )
    found = cost(HEDDLE, path, [1], choices=False)
    kit = [b for b in bill_of_materials(load(HEDDLE).assembly) if b.kind not in ("part", "equipment")]
    (money,) = [row.money for row in found.batches[0].rows if row.what == "hardware"]
    assert money == Decimal("0.10") * sum(b.quantity + b.spares for b in kit)


def test_what_has_no_price_is_named(tmp_path):
    path = changed_shop(tmp_path, ('item = "standoff *"', 'item = "nothing *"'))
    found = cost(HEDDLE, path, [1], choices=False)
    assert found.unpriced
    assert all(item.startswith("standoff") for item in found.unpriced)


def test_a_choice_costs_what_the_changed_design_costs_more(report, tmp_path):
    thicker = next(c for c in report.choices if c.choice == "arm +1 mm")
    for name in ("common", "shop"):
        (tmp_path / name).mkdir()
        for file in (EXAMPLES / name).iterdir():
            (tmp_path / name / file.name).write_bytes(file.read_bytes())
    text = 'format = 1\ninclude = ["heddle.toml"]\n[[part]]\nid = "arm"\nthickness_mm = 6\n'
    (tmp_path / "heddle.toml").write_bytes(HEDDLE.read_bytes())
    (tmp_path / "thick.toml").write_text(text, encoding="utf-8")
    again = cost(tmp_path / "thick.toml", batches=[report.choices_kits], choices=False)
    before = next(b for b in report.batches if b.kits == report.choices_kits)
    assert again.batches[0].total - before.total == thicker.money
    assert thicker.mass_g > 0


def test_one_more_kind_of_part_costs_its_minutes(report):
    shop = read_shop_file(SHOP, load_catalogue())
    more = report.choices[-1]
    expected = float(shop.labour.rate_per_h) * shop.labour.design_min / 60 / report.choices_kits
    assert float(more.money) == pytest.approx(expected, abs=0.011)  # both are rounded to cents


def test_yield_of_the_shop_replaces_the_rule(tmp_path):
    path = changed_shop(tmp_path, ("scrap_percent = 3", "scrap_percent = 0\nyield_percent = 50"))
    half = cost(HEDDLE, path, [200], choices=False)
    assert (half.yield_low_percent, half.yield_percent, half.yield_high_percent) == (50, 50, 50)
    full = cost(
        HEDDLE, changed_shop(tmp_path, ("scrap_percent = 3", "scrap_percent = 0\nyield_percent = 95")), [200], False
    )
    assert half.parts[0].sheet_area_mm2 / full.parts[0].sheet_area_mm2 == pytest.approx(95 / 50)


@pytest.mark.parametrize(
    "path", sorted([*EXAMPLES.glob("*.toml"), *(ROOT / "tests" / "designs").glob("*.toml")]), ids=lambda p: p.stem
)
def test_every_example_has_a_cost(path):
    loaded = load(path)
    found = cost_report(loaded.assembly, read_shop_file(SHOP, loaded.catalogue))
    assert 20 < found.batches[-1].total < 200
    assert all(b.machine_min > 1 for b in found.batches)


def test_json_keeps_its_schema(report):
    jsonschema.validate(json.loads(cost_json(report)), result_schema("cost"))


def test_the_command(capsys):
    assert main(["cost", str(HEDDLE), "--quantity", "1", "--quantity", "25", "--no-choices"]) == 0
    out = capsys.readouterr().out
    assert "EUR" in out
    assert "left after fees" in out
    assert main(["cost", str(HEDDLE), "--json", "--no-choices"]) == 0
    assert json.loads(capsys.readouterr().out)["currency"] == "EUR"


def test_bad_requests(tmp_path, capsys):
    with pytest.raises(RequestError, match="1 to 100000 kits"):
        cost(HEDDLE, batches=[0])
    with pytest.raises(RequestError, match="no sheet of 5 mm plate_woven_qi"):
        cost(HEDDLE, changed_shop(tmp_path, ("thickness_mm = 5\n", "thickness_mm = 4.5\n")))
    bad = changed_shop(tmp_path, ('currency = "EUR"', 'currency = "euro"'))
    assert main(["cost", str(HEDDLE), "--shop", str(bad), "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["status"] == "invalid"
