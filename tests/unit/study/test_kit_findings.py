"""Findings about the kit: lengths mixed up, mass."""

import pytest

from frames import checked, column, findings, plate

POST = column("post", "screw M3 socket 12.9", "base", "nut M3 hex")


def test_lengths_that_differ_by_no_more_than_the_limit_are_mixed_up():
    def kit(first, second):
        words = (f"screw M3x{v} socket 12.9" for v in (first, second))
        return (
            plate("base"),
            *(column(f"c{n}", w, "base", "standoff M3x20", at=[15 * n, 0], mirror="") for n, w in enumerate(words)),
        )

    (found,) = findings("mix_up.length", *kit(5, 6))
    assert (found.value, found.limit, found.margin) == (1, 1, 0)
    assert findings("mix_up.length", *kit(6, 8)) == []
    assert len(findings("mix_up.length", *kit(6, 8), checks="mix_up_mm = 2")) == 1


def test_heads_that_differ_are_not_mixed_up():
    pieces = (
        plate("base"),
        column("a", "screw M3x5 socket 12.9", "base", "standoff M3x20", at=[0, 0], mirror=""),
        column("b", "screw M3x6 button 10.9", "base", "standoff M3x20", at=[15, 0], mirror=""),
    )
    assert findings("mix_up.length", *pieces) == []


def test_a_target_is_judged_against_the_bare_frame():
    bare = checked(plate("base"), POST).mass.bare.mass_g
    (found,) = findings("mass.target", plate("base"), POST, frame="mass_target_g = 5")
    assert (found.value, found.margin) == (pytest.approx(bare), pytest.approx(5 - bare))
    assert findings("mass.target", plate("base"), POST, frame="mass_target_g = 500") == []


def test_a_class_has_a_usual_range():
    (found,) = findings("mass.class", plate("base"), POST, frame='frame_class = "5in"')
    assert found.severity == "note"
    assert found.margin < 0  # lighter than any: below the lower limit
