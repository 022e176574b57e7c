import functools
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from platewright.app.load import load
from platewright.rotor.forward import Flight
from platewright.study.flight import fly_frame
from platewright.study.flight_model import flight_model
from platewright.study.flight_rows import descent_rows, spread, state_of
from platewright.study.flight_runs import DOUBTS, KEY_SPEEDS, flight_runs
from platewright.study.flight_words import stance_answer
from platewright.study.powertrain import frame_powertrain

ROOT = Path(__file__).parents[3]


@functools.cache
def loaded(name="examples/heddle"):
    return load(ROOT / f"{name}.toml").assembly


@functools.cache
def flown(name="examples/heddle"):
    return fly_frame(loaded(name))


def test_key_speeds_are_among_all_speeds_and_give_the_same():
    runs = flown().runs
    for n, speed in enumerate(KEY_SPEEDS):
        m = int(np.flatnonzero(runs.speeds == speed)[0])
        assert runs.keys.tilt[runs.in_keys(0), n] == pytest.approx(runs.sweep.tilt[0, m], abs=1e-3)


def test_a_longer_stance_takes_the_rear_rotors_further_out_of_the_wakes():
    for name in ("examples/heddle", "examples/bobbin", "tests/designs/hexa"):
        rows = {r.name: r for r in flown(name).result.stance.rows}
        n = rows["as it is"].speeds_m_s.index(20.0)
        longer, now, shorter = (rows[k].rear_lost_percent[n] for k in ("20 mm longer", "as it is", "20 mm shorter"))
        assert longer < now < shorter


def test_the_answer_quotes_the_numbers_of_the_runs():
    study = flown()
    runs, n = study.runs, 2
    tilt = math.degrees(runs.keys.tilt[runs.in_keys(0), n])
    assert f"{tilt:.1f} deg becomes" in study.result.stance.answer
    eaten = 100 * runs.keys_flight.eaten[runs.in_keys(0, 0, 3.0), n]
    assert f"trim takes {eaten:.1f} % of it as it is" in study.result.stance.answer


@pytest.mark.parametrize(
    ("change", "word"), [(-0.1, "lowers"), (0.1, "raises"), (0.0, "does not change")], ids=["less", "more", "same"]
)
def test_the_answer_follows_the_numbers_and_not_the_belief(change, word):
    """Tilt of the longer stance is moved by hand: the sentence must say what it is told."""
    study = flown()
    runs = study.runs
    tilt = runs.keys.tilt.copy()
    for d in range(len(DOUBTS)):
        tilt[runs.in_keys(1, d)] = tilt[runs.in_keys(0, d)] + change
    moved = replace(runs, keys=replace(runs.keys, tilt=tilt))
    assert f"20 mm longer {word} the tilt" in stance_answer(study.model.airframe, moved)


def test_where_nothing_flies_the_answer_says_so():
    runs = flown().runs
    grounded = replace(runs, keys=replace(runs.keys, applies=np.zeros_like(runs.keys.applies)))
    answer = stance_answer(flown().model.airframe, grounded)
    assert "cannot be held at any of the speeds" in answer
    assert "Neither stance" in answer


def test_states_say_why_a_speed_is_not_flown():
    runs = flown().runs
    assert state_of(runs.sweep, runs.sweep_flight, 0, 0) == "flies"
    f = runs.sweep_flight
    fast = Flight(f.power, f.current, f.endurance, f.range, f.motor_current, f.full_speed, f.used + 1, f.eaten)
    assert state_of(runs.sweep, fast, 0, 0) == "beyond full throttle"
    empty = replace(f, current=f.current * np.nan)
    assert state_of(runs.sweep, empty, 0, 0) == "more than the battery can give"
    lost = replace(runs.sweep, applies=~runs.sweep.applies)
    assert state_of(lost, f, 0, 0) == "no balance found"


def test_bands_need_both_ends():
    assert spread([2.0, 1.0, 3.0]) == (1.0, 3.0)
    assert spread([2.0, None]) is None
    assert spread([]) is None


def test_hover_needs_the_thrust_that_the_frame_takes():
    """Lift of the rotors is weight and download; the run's download is that of the pieces."""
    study = flown()
    thrust = study.runs.sweep.thrust[0, 0].sum()
    extra = thrust / study.model.airframe.weight - 1
    assert 100 * extra == pytest.approx(study.result.wash.lost_percent, rel=0.1)


def test_download_is_ranked_and_sums_up():
    for name in ("tests/designs/coaxial", "examples/shuttle"):
        wash = flown(name).result.wash
        lost = [r.lost_g for r in wash.rows]
        assert lost == sorted(lost, reverse=True)
        assert sum(lost) == pytest.approx(wash.lost_g, rel=0.01)
        assert wash.lost_s > 0
        for row in wash.rows:
            by_name = {s.name: s for s in row.sections}
            chamfers = [by_name[f"{c} mm chamfer"].lost_g for c in ("0.5", "1", "1.5")]
            assert row.lost_g > chamfers[0] >= chamfers[1] >= chamfers[2] > 0.5 * row.lost_g
            assert all(s.saves_g == pytest.approx(row.lost_g - s.lost_g) for s in row.sections)
            assert by_name["1 mm chamfer"].saves_s > 0


def test_descent_rows_end_where_the_region_ends():
    rows = descent_rows(8.0)
    assert (rows[0].enters_m_s, rows[0].leaves_m_s) == pytest.approx((3.6, 12.0))
    assert rows[0].keep_below_m_s == pytest.approx(0.8 * 3.6)
    assert rows[-1].enters_m_s is None


def test_a_coaxial_pair_costs_power():
    """Lower rotors work in the upper ones' wakes: more power than eight rotors far apart, within the published band.

    Induced power of a pair over that of two rotors alone: 1.16 to 1.41 (Leishman, ch. 2, from memory).
    """
    assembly = loaded("tests/designs/coaxial")
    power, model = frame_powertrain(assembly), flight_model(assembly)
    discs = model.airframe.discs
    apart = discs * np.where(np.arange(8)[:, None] < 4, 1.0, 8.0)
    runs = [flight_runs(replace(model.airframe, discs=d), power, np.array([0.0, 1.0])) for d in (discs, apart)]
    shaft = [float((r.sweep.thrust[0, 0] * (r.sweep.induced[0, 0] + r.sweep.outer_inflow[0, 0])).sum()) for r in runs]
    assert 1.16 < shaft[0] / shaft[1] < 1.41
