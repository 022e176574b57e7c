"""What comes off with which screws: small frames whose answer can be seen, and every example."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest

from frames import assembled, column, equipment, plate
from platewright.app.load import load
from platewright.assembly.order import assembly_order
from platewright.fit.service import removal
from platewright.fit.service_work import needs_spanner, work_of
from platewright.fit.taking_apart import Bench, Thing, bench_of, take_out

ROOT = Path(__file__).parents[3]
DESIGNS = sorted([*(ROOT / "examples").glob("*.toml"), *(ROOT / "tests" / "designs").glob("*.toml")])
SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"


def bench(*pieces: str) -> Bench:
    frame = assembled(*pieces)
    return bench_of(frame, assembly_order(frame).covered)


def example(path: Path) -> Bench:
    frame = load(path).assembly
    return bench_of(frame, assembly_order(frame).covered)


def owners(at: Bench, screws: tuple[int, ...]) -> list[str]:
    return sorted(at.fits[k].line.owner for k in screws)


def test_a_deck_comes_off_with_its_own_screws_and_leaves_the_standoffs() -> None:
    at = bench(plate("base", 4), plate("deck"), column("post", SCREW, "base", "standoff M3x20", "deck", BUTTON))
    found = removal(at, Thing("deck"))
    assert [at.fits[k].word.style for k in found.outcome.taken] == ["button"] * 4
    assert found.outcome.toward == (0.0, 0.0, 1.0)
    assert found.proven


SANDWICH = (plate("lower"), plate("middle", 5, (60, 10)), plate("upper"))
BOLTS = column("bolt", SCREW, "lower", "middle", "upper", "nut M3 insert", at=[0, 0], mirror="")
POSTS = column("post", SCREW, "lower", "spacer M3x5 aluminium", "upper", "nut M3 insert", at=[[25, 25]], mirror="xy")


def test_a_plate_between_two_slides_out_sideways() -> None:
    at = bench(*SANDWICH, BOLTS, POSTS)
    found = removal(at, Thing("middle"))
    assert owners(at, found.outcome.taken) == ["bolt"]
    assert found.outcome.toward == (1.0, 0.0, 0.0)  # past the posts it is too long to go to the left


def test_a_head_in_its_access_hole_pins_a_plate() -> None:
    pin = column("pin", "lower access 7", "middle access 7", SCREW, "upper", "nut M3 insert", at=[20, 0], mirror="")
    at = bench(*SANDWICH, BOLTS, POSTS, pin)
    found = removal(at, Thing("middle"), budget=100)
    assert owners(at, found.outcome.taken) == ["bolt", "pin"]
    assert found.proven


def test_what_covers_a_screw_must_come_off_first_unless_it_is_loose() -> None:
    lid = column("lid", SCREW, "base", "standoff M3x20", "lid", BUTTON, at=[[25, 25]], mirror="xy")
    inner = equipment(
        "boards", {"fc": "fc_20"}, stack=["nut M2 hex", "base", "boards.fc in grommet", "screw M2 socket 12.9"]
    )
    covered = bench(plate("base", 4), plate("lid"), lid, inner)
    assert owners(covered, removal(covered, Thing("boards", "fc")).outcome.taken) == ["boards"] * 4 + ["lid"] * 4
    pack = equipment("battery", {"b": "lipo_4s_650"}, on="base", at_mm=[0, 0, 10])
    loose = bench(plate("base", 4), inner, pack)
    found = removal(loose, Thing("boards", "fc"))
    assert owners(loose, found.outcome.taken) == ["boards"] * 4
    assert found.outcome.aside == ("battery",)


def test_a_motor_comes_off_with_its_screws_and_three_solder_joints() -> None:
    at = example(ROOT / "examples" / "heddle.toml")
    found = removal(at, Thing("motor.1"))
    work = {w.what: w.count for w in work_of(at, found.thing, found.outcome)}
    assert work["screw out and in"] == 4
    assert work["solder joint"] == 3
    assert work["propeller nut"] == 1
    assert not any(needs_spanner(at, k) for k in found.outcome.taken)


def test_an_arm_of_heddle_takes_seven_screws_and_the_boards_stay() -> None:
    at = example(ROOT / "examples" / "heddle.toml")
    found = removal(at, Thing("arm.1"), budget=100)
    assert owners(at, found.outcome.taken) == ["arm_outer", "deck_short", *["motor"] * 4, "stack"]
    assert found.proven
    remaining = at.keepers_of("stack") - set(found.outcome.taken)
    assert len(remaining) == 3


@pytest.mark.parametrize("path", DESIGNS, ids=lambda p: p.stem)
def test_everything_comes_off_and_no_smaller_set_is_found(path: Path) -> None:
    """Each removal is checked by trying all sets that are one and two screws smaller, where those are few."""
    at = example(path)
    nodes = [Thing(n) for n, i in at.assembly.instances.items() if i.normal == "z"]
    nodes += [Thing(e.id) for e in at.assembly.design.equipment if e.fitted and e.stack and e.at is None]
    for thing in nodes:
        found = removal(at, thing)
        assert found.outcome.is_off, thing
        assert found.direct <= set(found.outcome.taken)
        extra = sorted(set(found.outcome.taken) - found.direct)
        for fewer in itertools.combinations(extra, max(len(extra) - 1, 0)):
            if extra:
                assert not take_out(at, thing, found.direct | set(fewer)).is_off, (thing, fewer)
        if 1 <= len(extra) <= 2:
            others = [k for k in range(len(at.fits)) if k not in found.direct]
            for added in itertools.combinations(others, len(extra) - 1):
                assert not take_out(at, thing, found.direct | set(added)).is_off, (thing, added)


def test_more_screws_out_never_hold_a_thing_back() -> None:
    at = example(ROOT / "examples" / "bobbin.toml")
    found = removal(at, Thing("boards", "aio"))
    for k in range(len(at.fits)):
        assert take_out(at, found.thing, {*found.outcome.taken, k}).is_off


@pytest.mark.parametrize("offset", [0.0, 8.0, 14.0])
def test_a_mirrored_frame_comes_apart_in_the_mirror(offset: float) -> None:
    """Boards under a lid, posts before, behind and on one side of them: the way out is on the other side."""
    found = []
    for side in (1, -1):
        posts = [[25, 25], [-25, 25], [25, -25], [-25, -25], [25, 0], [-25, 0], [0, 25 * side]]
        stack = ["screw M2 socket 12.9", "base", "boards.fc in grommet", "nut M2 hex"]
        at = bench(
            plate("base", 4),
            plate("lid"),
            column("post", SCREW, "base", "standoff M3x20", "lid", BUTTON, at=posts, mirror=""),
            equipment("boards", {"fc": "fc_20"}, at_mm=[0, -offset * side], stack=stack),
        )
        found.append((at, removal(at, Thing("boards", "fc"), budget=200)))
    (one, left), (other, right) = found
    assert owners(one, left.outcome.taken) == owners(other, right.outcome.taken) == ["boards"] * 4
    assert left.outcome.toward is not None
    assert right.outcome.toward is not None
    x, y, z = left.outcome.toward
    assert right.outcome.toward == (x, -y, z)
    assert y == -1.0
