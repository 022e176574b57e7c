"""The shop file: the example is read whole, and each mistake is answered in a sentence with its line."""

from decimal import Decimal
from pathlib import Path

import pytest

from platewright.foundation.errors import DesignFileError
from platewright.io.shop_file import read_shop_file
from platewright.model.catalogue import load_catalogue
from platewright.model.shop import PriceBreak, ShopFile, price_at

EXAMPLE = Path(__file__).parents[3] / "examples" / "shop" / "shop.toml"
PAGE = Path(__file__).parents[3] / "docs" / "reference" / "shop_file.md"
TEXT = EXAMPLE.read_text(encoding="utf-8")


def test_the_example_is_read_with_decimal_money():
    shop = read_shop_file(EXAMPLE, load_catalogue())
    assert shop.currency == "EUR"
    assert shop.hardware[1].prices[1].price == Decimal("0.055")
    assert {s.thickness_mm for s in shop.sheet} >= {1.5, 2, 3, 5}


MISTAKES = [
    ("format = 1", "format = 2", "file.format", "must be 1"),
    ("rate_per_h = 38.00", 'rate_per_h = "dear"', "value.type", "must be a number (got 'dear')"),
    ("price = 58.00", 'price = "58,00"', "value.type", "must be a number (got '58,00')"),
    ("rate_per_h = 38.00", "rate_per_h = -3", "value.range", "must be 0 to 1000000 (got -3)"),
    ("rate_per_h = 38.00", "rate_per_h = nan", "value.range", "must be 0 to 1000000 (got nan)"),
    ("price = 6.90", "", "key.missing", "price is missing"),
    ('id = "cutter_1.5"\nprice = 6.90', "", "key.missing", "id is missing"),
    ("cutter_1.5", "cutter_1.4", "reference.catalogue", "did you mean 'cutter_1.5'"),
    ('material = "plate_woven_qi"', 'material = "plate_woven_q"', "reference.catalogue", "unknown laminate"),
    ("quantity = 10, price = 49.00", "quantity = 1, price = 49.00", "shop.prices", "larger and larger quantities"),
    ('hold = "tabs"', 'hold = "tape"', "value.choice", "must be 'tabs' or 'vacuum'"),
    ("approach_s", "aproach_s", "key.unknown", "did you mean 'approach_s'?"),
    ('currency = "EUR"', 'currency = "euro"', "value.text", "three capitals, such as EUR"),
    ("quantity = 4", "quantity = 4.5", "value.type", "must be a whole number"),
    ('"cutter_2.0"', '"cutter_1.5"', "record.duplicate", "a second time"),
    ("clamps = [{ at_mm = [0, 180],", "clamps = [{ at_mm = [0],", "value.count", "two numbers"),
    ("width_mm = 200\n", "width_mm = 200\nmargin_mm = 100\n", "value.range", "both rims"),
    ("[labour]\n", "[[labour]]\n", "record.form", "write [labour]"),
]


@pytest.mark.parametrize(
    ("good", "bad", "code", "words"), MISTAKES, ids=[f"{m[2]}-{n}" for n, m in enumerate(MISTAKES)]
)
def test_mistakes(tmp_path, good, bad, code, words):
    assert good in TEXT
    (tmp_path / "shop.toml").write_text(TEXT.replace(good, bad, 1), encoding="utf-8")
    with pytest.raises(DesignFileError) as caught:
        read_shop_file(tmp_path / "shop.toml", load_catalogue())
    problem = caught.value.problems[0]
    assert problem.code == code
    assert words in f"{problem.path} {problem.message}"
    assert problem.line is not None


def test_a_file_that_is_missing_or_no_text(tmp_path):
    with pytest.raises(DesignFileError, match="does not exist"):
        read_shop_file(tmp_path / "shop.toml", load_catalogue())
    (tmp_path / "shop.toml").write_bytes(TEXT.replace("Loom", "L\u00f6\u00f6m").encode("latin-1"))
    with pytest.raises(DesignFileError, match="UTF-8"):
        read_shop_file(tmp_path / "shop.toml", load_catalogue())


def test_prices_by_quantity():
    breaks = (PriceBreak(quantity=5, price=Decimal("3")), PriceBreak(quantity=50, price=Decimal("2")))
    assert [price_at(breaks, n) for n in (1, 5, 49, 50)] == [Decimal(3), Decimal(3), Decimal(3), Decimal(2)]


def test_the_page_names_every_key():
    page = PAGE.read_text(encoding="utf-8")
    records = [ShopFile]
    for record in records:
        for name, field in record.model_fields.items():
            assert f"`{name}`" in page, name
            records += [r for r in _nested(field.annotation) if r not in records]


def _nested(annotation):
    if isinstance(annotation, type):
        return [annotation] if hasattr(annotation, "model_fields") else []
    return [r for inner in getattr(annotation, "__args__", ()) for r in _nested(inner)]
