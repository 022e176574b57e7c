"""Where a case makes a frame fail: the map of the governing plate, the column of a screw or standoff, the words."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from frames import PARTS
from platewright.geometry.loops import contains, outline_area
from platewright.io.drawing.failure import failure_svg
from platewright.study.strength import frame_strength
from platewright.study.strength_failures import failure_map, weakest_case
from platewright.study.strength_judge import Judged, Limit
from platewright.study.strength_results import StrengthStudy
from strength_frames import box


@cache
def study() -> StrengthStudy:
    return frame_strength(box(), None, PARTS)


class Only(Judged):
    """What may fail in the first case, as a test says it."""

    def ranked(self, case: int) -> list[Limit]:
        """Return the plates alone."""
        return [x for x in super().ranked(case) if x.place]


class First(Judged):
    """What may fail in the first case, with a thing of no place made the first."""

    what = ""

    def ranked(self, case: int) -> list[Limit]:
        """Return everything, a thing that begins so first at half the least ratio."""
        found = super().ranked(case)
        limit = next(x for x in found if x.what.startswith(self.what))
        return [replace(limit, ratio=found[0].ratio / 2), *(x for x in found if x is not limit)]


def judged_by(kind: type[Judged]) -> StrengthStudy:
    """Return the study with what may fail in another order."""
    found = study()
    return replace(found, judged=kind(found.judged.plates, found.judged.hardware, found.judged.ratios))


def test_the_map_covers_the_plate_and_ends_at_the_judged_share() -> None:
    found = failure_map(judged_by(Only), 0)
    a, b, c = found.nodes[found.triangles].transpose(1, 0, 2)
    (u, v), (s, t) = (b - a).T, (c - a).T
    assert np.abs(u * t - v * s).sum() / 2 == pytest.approx(outline_area(found.outline), rel=2e-3)
    assert found.used.max() == pytest.approx(1.0)
    assert found.used.min() >= 0
    assert contains(found.outline, *found.at)
    near = np.hypot(*(found.nodes - found.at).T) < 1.0
    assert found.used[near].max() > 0.97  # the mark stands where the colour is highest
    assert "fails first by" in found.text
    assert found.joined == ()
    blind = found.nodes[found.triangles[~found.is_judged]].mean(axis=1)
    assert len(blind)
    for x, y in blind.tolist():  # there are no tabs
        assert min(np.hypot(c.x - x, c.y - y) - c.radius for c in found.outline.circles) < 1.016
    assert {round(rim.radius, 3) for rim in found.rims} == {round(1.6 + 1.016, 3)}  # nor are plies at the bolted rims


@pytest.mark.parametrize("what", ["standoff", "screw", "thread of", "bearing"])
def test_hardware_is_shown_on_the_plates_that_it_joins(what: str) -> None:
    found = failure_map(judged_by(type("OfKind", (First,), {"what": what})), 0)
    assert found.joined_text.startswith(what)
    plates = [j.plate for j in found.joined]
    assert set(plates) <= {"base", "deck"}
    assert plates
    for joined in found.joined:
        away = min(np.hypot(c.x - joined.at[0], c.y - joined.at[1]) for c in joined.outline.circles)
        assert away < 0.3
    assert found.used.max() < 1  # the plate is not what fails
    assert "comes nearest" in found.text
    picture = failure_svg(found)
    assert all(f">{plate}<" in picture for plate in plates)


def test_the_weakest_case_is_the_hit_of_least_energy() -> None:
    rows = study().strength.cases
    n = weakest_case(rows)
    assert n is not None
    assert rows[n].energy_j == min(r.energy_j for r in rows if r.energy_j is not None)
    assert weakest_case([]) is None
