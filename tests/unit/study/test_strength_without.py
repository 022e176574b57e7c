"""A frame without its brace: its spacers go, screws get shorter, the rest stays where it is, and arms move more."""

from __future__ import annotations

from functools import cache

import pytest

from frames import PARTS, arms_on_a_base, assembled, column, equipment, part, place, plate
from platewright.assembly.assemble import Assembly
from platewright.assembly.mass import mass_items
from platewright.foundation.errors import StructureError
from platewright.study.strength import frame_strength
from platewright.study.strength_joints import TYPICAL
from platewright.study.strength_model import frame_model
from platewright.study.strength_without import without_places

SCREW, BUTTON, GONE = "screw M3 socket 12.9", "screw M3x6 button 10.9", frozenset({"brace"})
SPACED = (SCREW, "brace", "spacer M3x3 aluminium", "base", "arm", "nut M3 insert")
BETWEEN = (SCREW, "base", "brace", "arm", "nut M3 insert")


@cache
def braced(*stack: str, hung: bool = True) -> Assembly:
    """Return four arms on a small base with one plate that ties the outer screws of all arms, battery hung below."""
    return assembled(
        *arms_on_a_base(bolt=stack),
        part("brace", 3, (90, 90), kind="brace"),
        place("brace", "brace"),
        equipment(
            "battery", {"battery": "lipo_6s_1100"}, on="brace" if hung else "base", face="bottom", at_mm=[0, 0, 1]
        ),
        rotors='follow = "arm"',
    )


def test_spacers_go_with_an_outer_brace_and_screws_get_shorter() -> None:
    whole = braced(*SPACED)
    left = without_places(whole, GONE)
    line = next(n for n in left.lines if n.owner == "bolt")
    assert [i.label for i in line.items] == [SCREW, "base", "arm.1", "nut M3 insert"]
    lengths = [{s.length for s in a.screws if s.line.owner == "bolt"} for a in (whole, left)]
    assert (len(lengths[0]), len(lengths[1])) == (1, 1)
    assert 4 <= lengths[0].pop() - lengths[1].pop() <= 8  # 6 mm less to clamp, in steps of the series
    names = [i.name for i in mass_items(left)]
    assert "brace" not in names
    assert sum("#" in n for n in names) == sum("#" in i.name for i in mass_items(whole)) - 8  # its eight spacers


def test_what_it_carried_stays_in_space_and_rests_on_the_plate_it_was_bolted_to() -> None:
    whole = braced(*SPACED)
    left = without_places(whole, GONE)
    centres = [next(i.centre for i in mass_items(a) if i.name == "battery.battery") for a in (whole, left)]
    assert centres[0] == pytest.approx(centres[1])
    model = frame_model(left, TYPICAL, PARTS)
    pads = [s.name for s in model.frame.springs if s.name.startswith("battery.battery on ")]
    assert pads == ["battery.battery on base"]
    assert model.mass == pytest.approx(sum(i.mass for i in mass_items(left)))


def test_a_brace_between_plates_lets_them_come_together() -> None:
    whole = braced(*BETWEEN, hung=False)
    left = without_places(whole, GONE)
    base = [a.levels.level["base"].at(0.0, 0.0).nominal for a in (whole, left)]
    assert base[1] - base[0] == pytest.approx(3.0)  # the arms, which carry the rotors, stay
    faces = [j.line.name for j in frame_model(left, TYPICAL, PARTS).bolted if ": base on arm" in j.spring.name]
    assert len(faces) == 8


def test_arms_move_more_without_a_brace_that_ties_them() -> None:
    rows = frame_strength(braced(*SPACED), 8.0, PARTS).strength.without_braces
    hits = [r for r in rows if r.case.startswith("tip")]
    assert len(hits) >= 5
    assert all(r.compliance_without > r.compliance_with for r in hits)


def test_a_frame_without_braces_has_no_such_rows() -> None:
    plain = without_places(braced(*SPACED), GONE)
    assert frame_strength(plain, 8.0, PARTS).strength.without_braces == ()


def test_a_plate_that_stands_on_nothing_else_is_refused() -> None:
    tower = assembled(
        *(plate(name) for name in ("foot", "base", "deck")),
        column("low", SCREW, "foot", "standoff M3x25", "base", BUTTON, at=[[20, 20]]),
        column("high", SCREW, "base", "standoff M3x25", "deck", BUTTON, at=[[10, 10]]),
    )
    with pytest.raises(StructureError, match=r"without base, place '(foot|deck)' stands on nothing"):
        without_places(tower, frozenset({"base"}))
