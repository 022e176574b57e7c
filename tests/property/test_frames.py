"""What must hold for every frame."""

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frames import assembled, assembled_design, column, design, equipment, part, place, plate
from platewright.app.load import assemble_tree, load
from platewright.assembly.affine import Draws
from platewright.assembly.mass import mass_items, total_mass
from platewright.assembly.screws import End
from platewright.geometry.loops import outline_area
from platewright.study.check import check_assembly

EXAMPLES = Path(__file__).parents[2] / "examples"
BUTTON = "screw M3 button 10.9"
few = settings(max_examples=25, deadline=None)
thicknesses = st.sampled_from([1.5, 2, 2.5, 3, 4, 5])
heights = st.sampled_from([15, 18, 20, 25, 30])
spots = st.tuples(st.integers(8, 40), st.integers(8, 24)).map(list)
heads = st.sampled_from(["screw M3 socket 12.9", "screw M3 button 10.9", "screw M3 countersunk 10.9"])


@st.composite
def frames(draw):
    """A base, a deck that may be turned or turned over, corner posts, one bolt anywhere, and perhaps a battery."""
    post = (draw(heads), "base", f"standoff M3x{draw(heights)}", "deck", BUTTON)
    x, y = draw(spots)
    sign = draw(st.sampled_from([1, -1]))
    bolt = column("bolt", draw(heads), "base", "nut M3 hex", at=[x, sign * y], mirror="")
    keys = {"turn_deg": draw(st.sampled_from([0, 90, 180, 270])), "over": draw(st.booleans())}
    pieces = [
        part(
            "base",
            draw(thicknesses),
            (110, 110),
            polygons=[{"points_mm": [[55, -50], [50, 55], [-55, 50], [-50, -55]]}],
        ),
        place("base", "base"),
        part("deck", draw(thicknesses), (110, 110)) + place("deck", "deck", **keys),
        column("post", *post, at=[45, 45]),
        bolt,
    ]
    if draw(st.booleans()):
        pieces.append(equipment("pack", {"b": "lipo_4s_850"}, on="deck", at_mm=[draw(st.integers(-10, 10)), 6]))
    if draw(st.booleans()):
        bump = draw(st.integers(0, 6))
        outline = [[-15, -12], [120, -12], [120, 14], [20, 14 + bump], [-15, 12]]
        pieces += [
            part("arm", 5, polygons=[{"points_mm": outline}]),
            place("arm", "arm", to="rotors", root_mm=[24, 22]),
            column("clamp", "screw M3 socket 12.9", "base", "arm", "nut M3 hex", at=[4, 3], mirror="", of="arm"),
            equipment(
                "motor",
                {"m": "motor_2207"},
                at="rotors",
                turn_deg=draw(st.sampled_from([0, 20, 45])),
                stack=["screw M3 socket 12.9", "arm", "motor.m"],
            ),
        ]
    return pieces


def mirrored(design):
    """Return the same frame seen in a mirror: y becomes -y in parts, places, columns and equipment.

    A part's outline is mirrored about its own x axis; its place keeps its flip, so its turn changes sign.
    """

    def flip(points):
        return tuple((x, -y) for x, y in points)

    parts = tuple(
        p.model_copy(
            update={"polygons": tuple(q.model_copy(update={"points_mm": flip(q.points_mm)}) for q in p.polygons)}
        )
        for p in design.part
    )
    places = tuple(
        p.model_copy(update={"at_mm": (p.at_mm[0], -p.at_mm[1]), "turn_deg": -p.turn_deg}) for p in design.place
    )
    columns = tuple(c.model_copy(update={"at_mm": flip(c.at_mm)}) for c in design.column)
    gear = tuple(
        e.model_copy(update={"at_mm": (e.at_mm[0], -e.at_mm[1], *e.at_mm[2:]), "turn_deg": -e.turn_deg})
        for e in design.equipment
    )
    return design.model_copy(update={"part": parts, "place": places, "column": columns, "equipment": gear})


@few
@given(frames())
def test_everything_weighs_something_and_bands_hold_the_nominal(pieces):
    items = mass_items(assembled(*pieces))
    for item in items:
        assert 0 < item.low <= item.mass <= item.high
        assert np.linalg.eigvalsh(item.inertia).min() >= -1e-12
    total = total_mass(items)
    assert total.low < total.mass < total.high
    assert total.mass == pytest.approx(sum(i.mass for i in items))


@few
@given(frames())
def test_a_frame_in_a_mirror_weighs_the_same_and_has_the_same_findings(pieces):
    own = design(*pieces)
    other = mirrored(own)
    here, there = (total_mass(mass_items(assembled_design(d))) for d in (own, other))
    turn = np.diag([1.0, -1.0, 1.0])
    assert there.mass == pytest.approx(here.mass)
    assert there.centre == pytest.approx(turn @ here.centre, abs=1e-9)
    assert there.inertia == pytest.approx(turn @ here.inertia @ turn, abs=1e-12)
    codes = [sorted((f.code, f.severity) for f in check_assembly(assembled_design(d)).findings) for d in (own, other)]
    assert codes[0] == codes[1]


@few
@given(frames())
def test_removing_a_column_removes_its_holes_and_nothing_else(pieces):
    with_it, without = assembled(*pieces), assembled(*(p for p in pieces if 'id = "bolt"' not in p))
    holes = {
        name: [{(h.x, h.y, h.diameter) for h in made.parts[name].holes.holes} for made in (with_it, without)]
        for name in ("base", "deck")
    }
    assert len(holes["base"][0] - holes["base"][1]) == 1
    assert holes["base"][1] <= holes["base"][0]
    assert holes["deck"][0] == holes["deck"][1]
    names = [{b.name for b in made.bodies if b.owner != "bolt"} for made in (with_it, without)]
    assert names[0] == names[1]
    assert with_it.levels.level["deck"] == without.levels.level["deck"]


@few
@given(frames())
def test_holes_are_as_many_as_the_columns_ask_for_and_leave_out_their_area(pieces):
    made = assembled(*pieces)
    for finished in made.parts.values():
        asked = {
            (line.name, n)
            for line in made.lines
            for n, item in enumerate(line.items)
            if item.instance is not None and item.instance.part.id == finished.part.id
        }
        motors = {line.rotor for line in made.lines if line.rotor is not None} if finished.part.id == "arm" else set()
        reliefs = len(motors)  # one under each motor's shaft
        assert sum(len(h.requests) for h in finished.holes.holes) == len(asked) + reliefs
        if not finished.touching:
            round_area = sum(math.pi * h.diameter**2 / 4 for h in finished.holes.holes)
            assert outline_area(finished.blank) - outline_area(finished.outline) == pytest.approx(round_area)


@few
@given(
    thicknesses, thicknesses, heads, st.sampled_from(["nut M3 hex", "nut M3 insert", "nut M3 thin", "standoff M3x30"])
)
def test_a_computed_screw_is_longer_than_its_grip_and_engages(base, pad, head, end):
    made = assembled(plate("base", base), plate("pad", pad), column("post", head, "base", "pad", end))
    for fit in made.screws:
        assert fit.length > fit.grip.nominal
        assert fit.engagement.nominal >= fit.required - 1e-9
        assert fit.engagement.low >= 0.8 * fit.required - 1e-9
        assert fit.end in (End.NUT, End.STANDOFF)


@few
@given(frames())
def test_drawn_heights_lie_within_the_worst_case_and_rss_is_no_more(pieces):
    made = assembled(*pieces)
    draws = Draws(300, seed=5)
    lengths = [s.engagement for s in made.screws] + [g.gap for g in made.levels.gaps]
    lengths += [span.end for spans in made.levels.spans.values() for span in spans if span is not None]
    for length in lengths:
        assert length.rss <= length.worst + 1e-12
        low, high = np.quantile(draws.of(length), [0.001, 0.999])
        assert length.low - 1e-9 <= low <= high <= length.high + 1e-9


def test_two_frames_cut_the_same_shared_plates(tmp_path):
    heddle, shuttle = (load(EXAMPLES / f"{name}.toml", cache=tmp_path).assembly for name in ("heddle", "shuttle"))
    for name in ("base_lower", "base_upper"):
        assert heddle.parts[name].outline == shuttle.parts[name].outline
        assert heddle.parts[name].part.material == shuttle.parts[name].part.material


@pytest.fixture(scope="module")
def heddle(tmp_path_factory):
    """Return the 5 inch frame, read once."""
    return load(EXAMPLES / "heddle.toml", cache=tmp_path_factory.mktemp("outlines"))


@pytest.mark.parametrize("reach", [70, 85, 100, 120])
def test_other_arms_keep_every_screw_longer_than_its_grip(heddle, reach):
    made = assemble_tree(heddle.tree, heddle.catalogue, heddle.outlines, {"reach_mm": reach})
    assert all(s.length > s.grip.nominal for s in made.screws)
    assert [s.size_key for s in made.screws] == [s.size_key for s in heddle.assembly.screws]
    changed = {n for n, f in made.parts.items() if f.outline != heddle.assembly.parts[n].outline}
    assert changed <= {"arm"}
