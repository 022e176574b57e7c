"""Structure of a frame: margins scale with thrust, mirrored frames agree, energies are those of springs, bands hold."""

from __future__ import annotations

import numpy as np
import pytest

from frames import PARTS
from platewright.foundation.errors import StructureError
from platewright.study.strength import frame_strength
from strength_frames import quad, solved


def test_every_case_names_what_fails_first_and_its_band_holds_it() -> None:
    cases = solved().strength.cases
    assert {c.case for c in cases} >= {"hover", "full thrust", "motor torque", "tip from above 1", "belly landing"}
    for row in cases:
        value, band = (row.margin, row.margin_band) if row.energy_j is None else (row.energy_j, row.energy_band_j)
        assert value is not None
        assert band is not None
        assert band[0] <= value <= band[1]
        assert row.next_by >= 1
        if row.energy_j is not None:
            assert band[1] / band[0] >= 2 * (1 - 1e-12)


def test_hover_margin_is_full_thrusts_times_the_ratio() -> None:
    """Thrust and the inertia that balances it are both in proportion; so are their stresses."""
    rows = {c.case: c for c in solved().strength.cases}
    hover, full = rows["hover"].margin, rows["full thrust"].margin
    assert hover is not None
    assert full is not None
    # at hover the weight balances thrust as inertia does at full thrust: the ratio is that of the thrusts
    assert hover / full == pytest.approx(8.0, rel=1e-9)


def test_a_mirrored_frame_takes_up_the_same_energy() -> None:
    """A belly landing strikes no one side; meshes of mirrored plates differ, so 3 %."""
    left, right = (
        next(c for c in solved(m).strength.cases if c.case == "belly landing").energy_j for m in (False, True)
    )
    assert left == pytest.approx(right, rel=0.03)


def test_frequencies_rise_from_soft_to_stiff_joints() -> None:
    for mode in solved().strength.modes:
        assert mode.soft_hz <= mode.frequency_hz * (1 + 1e-9)
        assert mode.frequency_hz <= mode.stiff_hz * (1 + 1e-9)


def test_blade_rate_is_blades_times_the_rotor_rate() -> None:
    speeds = {row.state: row for row in solved().strength.speeds}
    hover, full = speeds["hover"], speeds["full throttle"]
    assert hover.band_rpm[0] < hover.speed_rpm < hover.band_rpm[1] < full.speed_rpm
    assert full.rate_hz == pytest.approx(full.speed_rpm / 60)
    assert full.blade_rate_hz / full.rate_hz in (2, 3)


def test_energy_is_half_force_times_displacement_at_the_struck_point() -> None:
    """One newton on the motor: the strain energy is half of how far the seat moves against the moving craft."""
    study = solved()
    n = next(n for n, c in enumerate(study.strength.cases) if c.case == "tip from above 1")
    point = study.model.rotor_points[1]
    moved = -float(point.motion(study.freedoms[n])[2])
    frame = study.model.frame
    strain = 0.5 * float(study.freedoms[n] @ frame.stiffness @ study.freedoms[n])
    # the answer carries no rigid motion, so the inertia does no work on it
    assert strain == pytest.approx(moved / 2, rel=1e-6)


def test_deformation_carries_no_momentum() -> None:
    study = solved()
    frame = study.model.frame
    momentum = frame.rigid.T @ frame.mass @ study.freedoms.T
    assert np.abs(momentum).max() < 1e-6 * np.abs(study.freedoms).max()


def test_titanium_is_weaker_than_steel_and_takes_about_as_much_work() -> None:
    rows = {r.material: r for r in solved().strength.screws}
    assert rows["titanium-5"].tension_n < rows["12.9"].tension_n
    assert rows["titanium-5"].stiffness_n_per_mm < 0.6 * rows["12.9"].stiffness_n_per_mm
    energies = [rows[m].energy_j for m in ("titanium-5", "12.9", "aluminium-7075")]
    assert all(e is not None for e in energies)
    assert energies[2] < 0.5 * energies[1]  # type: ignore[operator]


def test_a_finer_mesh_moves_margins_by_less_than_six_percent(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stress is judged at nodes, so their places change what is found; displacements change far less."""
    coarse = {c.case: c.margin or c.energy_j for c in solved().strength.cases}
    monkeypatch.setattr("platewright.study.strength_parts._LARGEST_MESH", 2.0)
    fine = {c.case: c.margin or c.energy_j for c in frame_strength(quad(), 8.0).strength.cases}
    for case in ("full thrust", "tip edgewise 1"):
        assert coarse[case] == pytest.approx(fine[case], rel=0.06)


def test_slip_is_friction_by_shear_and_screws_of_two_plates_share_all() -> None:
    rows = solved().strength.slip
    assert len(rows) == 8  # two bolts on each of four arms
    assert [r.safety for r in rows] == sorted(r.safety for r in rows)
    for row in rows:
        assert row.safety <= 0.15 * row.clamp_n / row.shear_n * (1 + 1e-9)
    struck = [r.share_percent for r in rows if r.plates == "base on arm.1"]
    assert sum(s or 0.0 for s in struck) == pytest.approx(100)
    assert {r.plates for r in rows if r.share_percent is not None} == {"base on arm.1"}


def test_shaking_needs_something_to_watch() -> None:
    assert solved().strength.shakes == ()  # this frame has neither board nor camera


def test_a_ratio_that_cannot_hover_is_refused() -> None:
    with pytest.raises(StructureError, match="thrust ratio must be 1 or more"):
        frame_strength(quad(), 0.5, PARTS)


def test_a_load_case_of_the_design_stands_beside_the_built_in_ones() -> None:
    """Two records that say what built-in ones say: the same answers."""
    extra = """
[[load_case]]
id = "pushed"
text = "a hand on motor 1"
answer = "energy"
loads = [{ rotor = 1, force_n = 12, direction = "down" }]
[[load_case]]
id = "pulled"
loads = [{ rotor = 1, force_n = 12, direction = "up" }]
"""
    rows = {c.case: c for c in frame_strength(quad(extra=extra), 8.0, PARTS).strength.cases}
    assert rows["pushed"].energy_j == pytest.approx(rows["tip from above 1"].energy_j)
    assert rows["pushed"].text == "a hand on motor 1"
    assert rows["pulled"].energy_j is None
    assert rows["pulled"].margin is not None
