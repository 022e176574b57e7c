"""What `platewright part` prints does not depend on its mesh: the example's arm at its own mesh and at one much finer.

Tolerances: 1 % of motions and forces, 2 % of moments, 0.5 % of frequencies, 8 % of margins, which rest on slopes at
single points a millimetre from singular rims (4 to 6 % measured).
"""

from pathlib import Path

import pytest

from platewright.app.part import study_part

EXAMPLE = Path(__file__).parents[2] / "examples" / "parts" / "arm.toml"


@pytest.fixture(scope="module")
def results(tmp_path_factory):
    folder = tmp_path_factory.mktemp("arm")
    found = []
    for size in (5.0, 0.9):
        path = folder / f"arm_{size}.toml"
        path.write_text(EXAMPLE.read_text(encoding="utf-8").replace("modes = 6", f"modes = 6\nmesh_mm = {size}"))
        found.append(study_part(path, cache=folder).strength)
    assert found[1].n_nodes > 2 * found[0].n_nodes
    return found


def test_motions_and_reactions(results):
    for coarse, fine in zip(*(r.cases for r in results), strict=True):
        assert coarse.largest_displacement_mm == pytest.approx(fine.largest_displacement_mm, rel=1e-2)
        for a, b in zip(coarse.groups, fine.groups, strict=True):
            for one, other in ((a.displacement_mm, b.displacement_mm), (a.rotation_deg, b.rotation_deg)):
                assert one == pytest.approx(other, rel=1e-2, abs=1e-2 * fine.largest_displacement_mm)
        largest = [max(abs(v) for r in fine.reactions for v in getattr(r, k)) for k in ("force_n", "moment_n_mm")]
        for a, b in zip(coarse.reactions, fine.reactions, strict=True):
            assert a.force_n == pytest.approx(
                b.force_n, abs=1e-2 * max(largest[0], 0.1)
            )  # under pure twist there is none
            assert a.moment_n_mm == pytest.approx(b.moment_n_mm, abs=2e-2 * largest[1])


def test_frequencies(results):
    coarse, fine = ([m.frequency_hz for m in r.modes] for r in results)
    assert coarse == pytest.approx(fine, rel=5e-3)


def test_margins(results):
    for coarse, fine in zip(*(r.cases for r in results), strict=True):
        for a, b in zip(coarse.margins, fine.margins, strict=True):
            assert a.strength_ratio == pytest.approx(b.strength_ratio, rel=8e-2), (coarse.case, a.criterion)
