import functools
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from frames import checked
from platewright.app.load import load
from platewright.study.check import mass_report
from platewright.study.compare_flight import handling_changes, hover_changes
from platewright.study.flight_model import flight_model
from platewright.study.handling import handling_report
from platewright.study.handling_findings import handling_findings
from platewright.study.handling_model import handling_model
from platewright.study.powertrain import frame_powertrain

ROOT = Path(__file__).parents[3]
EXAMPLES = ("examples/bobbin", "examples/bobbin_tall", "examples/heddle", "examples/heddle_long", "examples/shuttle")
DESIGNS = tuple(f"tests/designs/{n}" for n in ("twin_plate", "side_arms", "hexa", "coaxial"))


@functools.cache
def parts(name="examples/heddle"):
    assembly = load(ROOT / f"{name}.toml").assembly
    return assembly, frame_powertrain(assembly), flight_model(assembly)


@functools.cache
def report(name="examples/heddle", in_time=False):
    return handling_report(*parts(name), in_time=in_time)


@pytest.mark.parametrize("name", [*EXAMPLES, *DESIGNS])
def test_every_frame_is_balanced_and_weakest_about_yaw(name):
    found = report(name)
    roll, pitch, yaw = found.axes
    assert found.is_balanced
    assert yaw.hover_rad_s2 < min(roll.hover_rad_s2, pitch.hover_rad_s2)
    assert all(0 < a.kept_percent < 100 for a in found.axes)
    assert len(found.packs) == 2
    assert list(handling_findings(found)) == []
    assert (found.steps, found.dives) == ((), ())


def test_inertia_is_that_of_the_mass_report():
    state = mass_report(parts()[0]).with_battery
    for k, axis in enumerate(report().axes):
        assert axis.inertia_g_mm2 == pytest.approx(state.inertia_g_mm2[k][k], rel=1e-9)
    assert report().packs[0].product_g_mm2 == pytest.approx(state.inertia_g_mm2[0][2], rel=1e-9)


def test_the_most_about_pitch_is_half_of_the_rotors_at_each_limit():
    """Four rotors, nothing held but balance; the centre of gravity lies 1 mm aside."""
    model = handling_model(*parts())
    arm = float(np.ptp(model.craft.places[:, 0])) / 2
    expected = 2 * (model.high - model.low) * arm * 1000
    assert report().axes[1].most_n_mm == pytest.approx(expected, rel=0.02)
    assert report().axes[1].most_n_mm < expected


def test_hover_leaves_what_rotors_can_be_slowed_down_by():
    """A rotor's slack is shared by roll and the yaw moment that keeps the product of inertia from yawing the frame."""
    model = handling_model(*parts())
    craft, drive = model.craft, model.drive
    slack = craft.mass * craft.gravity / 4 - model.low
    arm = float(np.ptp(craft.places[:, 1])) / 2
    beside = craft.inertia[2, 0] / craft.inertia[0, 0] * drive.thrust_factor / drive.torque_factor
    expected = 4 * slack / (1 / arm + beside) * 1000
    assert report().axes[0].hover_n_mm == pytest.approx(expected, rel=0.02)  # 1 mm of the centre of gravity takes 1.4 %
    assert report().axes[0].hover_n_mm < expected


def test_the_battery_below_lowers_the_centre_of_gravity_by_its_share_of_the_mass():
    now, other = report().packs
    assert (now.name, other.name) == ("battery on top", "battery below")
    items = handling_model(*parts()).items
    battery = sum(i.mass for i in items if i.group == "battery") / sum(i.mass for i in items)
    bodies = parts()[2].bodies
    pack = next(b for b in bodies if b.kind == "battery")
    plates = [b for b in bodies if b.kind in ("base", "deck", "brace")]
    gap = pack.bottom - max(b.top for b in plates)
    moved = pack.top - (min(b.bottom for b in plates) - gap)
    assert other.discs_above_mm - now.discs_above_mm == pytest.approx(battery * moved)
    assert other.yaw_g_mm2 == pytest.approx(now.yaw_g_mm2)
    assert other.moment_20_n_mm > now.moment_20_n_mm  # forces along the discs have a longer lever


def test_principal_axis_is_that_of_the_tensor():
    inertia = handling_model(*parts()).craft.inertia
    values, vectors = np.linalg.eigh(inertia[::2, ::2])
    x, z = vectors[:, 0] * np.sign(vectors[0, 0])
    assert values[0] < values[1]
    assert report().packs[0].axis_deg == pytest.approx(math.degrees(math.atan2(-z, x)))


@pytest.mark.parametrize("name", ["examples/heddle", "tests/designs/hexa", "tests/designs/coaxial"])
def test_flown_in_time_steps_rise_as_the_lag_says_and_the_dive_ends(name):
    found = report(name, in_time=True)
    for step in found.steps[:2]:
        assert step.rise_ms == pytest.approx(3.04 * found.lag_ms, rel=0.05)
        assert 0 < step.missing_percent < 10
    (dive,) = found.dives
    assert dive.height_m == pytest.approx(dive.ideal_m, rel=0.1)
    assert dive.peak_load_g == pytest.approx(3, abs=0.1)


def test_findings_follow_the_numbers():
    good = report()
    weak = replace(good, axes=(*good.axes[:2], replace(good.axes[2], hover_rad_s2=4.9)))
    assert [f.code for f in handling_findings(weak)] == ["handling.weak"]
    aside = replace(good, axes=(replace(good.axes[0], centre_takes_percent=15.1), *good.axes[1:]))
    assert [f.code for f in handling_findings(aside)] == ["handling.centre"]
    assert [f.code for f in handling_findings(replace(good, is_balanced=False, axes=()))] == ["handling.balance"]
    assert list(handling_findings(None)) == []


def test_compared_rows_hold_both_frames_or_none():
    rows = {r.what: r for r in handling_changes(report(in_time=True), report("examples/heddle_long", in_time=True))}
    assert rows["yaw: moment in hover"].second > rows["yaw: moment in hover"].first
    assert rows["roll: rise of a step"].unit == "ms"
    assert rows["height lost in a pull-out"].first is not None
    one = list(handling_changes(report(), None))
    assert all(r.first is not None and r.second is None for r in one)
    assert list(handling_changes(None, None)) == []
    assert list(hover_changes(checked().hover, None)) == []
