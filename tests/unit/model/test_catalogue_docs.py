"""The reference page of the catalogue names every kind and provenance word, and its example records load."""

import re
from pathlib import Path
from typing import get_args

from platewright.model.catalogue import KINDS, Provenance, load_catalogue

PAGE = (Path(__file__).parents[3] / "docs" / "reference" / "catalogue.md").read_text(encoding="utf-8")


def example(language):
    return re.search(rf"```{language}\n(.*?)```", PAGE, re.DOTALL).group(1)


def test_every_kind_and_word_is_explained():
    for word in (*KINDS, *get_args(Provenance)):
        assert f"`{word}`" in PAGE, word


def test_example_records_load(tmp_path):
    (tmp_path / "ours.toml").write_text(example("toml"))
    (tmp_path / "nut.csv").write_text(example("csv"))
    catalogue = load_catalogue(tmp_path)
    assert catalogue.strap("strap_18").width_mm == 18
    assert catalogue.nut("M3", "insert").height_max_mm == 4.2


def test_named_examples_exist():
    catalogue = load_catalogue()
    for record_id in (
        "titanium-5",
        "nylon-66",
        "plate_ud_core",
        "sheet_4.0",
        "sheet_400x500",
        "view_micro",
        "cap_6s",
        "5in",
    ):
        assert f"`{record_id}`" in PAGE
        assert catalogue.find(record_id)
