"""Typical propellers made anew from the tables they come from.

P. Cao and J. Strawson, motor_propeller_testing, 2018 (MIT licence), a subset; UIUC Propeller Database, Vols 1-3
(Brandt & Selig, AIAA 2011-1255; Deters, Ananda & Selig, AIAA 2014-2151), a subset.
"""

import csv
import math

import numpy as np
import pytest

from platewright.model.catalogue import PropellerClass, load_catalogue
from propeller_classes import class_text, transfer_errors

RECORDS = {r.id: r for r in load_catalogue().of_class(PropellerClass)}


def test_the_shipped_classes_are_found_again():
    fresh = {row["id"]: row for row in csv.DictReader(class_text().splitlines())}
    assert fresh.keys() == RECORDS.keys()
    for name, row in fresh.items():
        record = RECORDS[name]
        assert float(row["ct"]) == pytest.approx(record.ct, rel=0.01)
        assert float(row["cp"]) == pytest.approx(record.cp, rel=0.01)
        assert float(row["ct_band_pct"]) == pytest.approx(record.ct_band_pct, abs=1.01)
        assert float(row["cp_band_pct"]) == pytest.approx(record.cp_band_pct, abs=1.01)


def test_what_is_carried_over_from_a_relative_is_nearer_than_the_model_alone():
    carried, alone = (np.abs(e) for e in transfer_errors())
    assert len(carried) >= 15
    assert np.all(np.quantile(carried, 0.9, axis=0) < np.quantile(alone, 0.9, axis=0))
    assert np.median(carried[:, 0]) < np.median(alone[:, 0])


def test_figures_of_merit_are_possible():
    for record in RECORDS.values():
        merit = math.sqrt(2 / math.pi) * record.ct**1.5 / record.cp
        assert 0.5 < merit < 0.75, record.id
