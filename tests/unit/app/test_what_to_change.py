"""What to change: slopes are those of the frame's own numbers, a study may stop, what cannot move says why."""

from __future__ import annotations

import json
import os
import select
import signal
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from frames import arms_on_a_base
from platewright.app.what_to_change import ChangeStudy, change_json, what_to_change
from platewright.cli.change_tables import change_tables
from platewright.cli.main import main
from platewright.study.strength_change import FrameNumbers, change_row, failed_row

NOW = FrameNumbers(500.0, 50.0, 100.0, "first arm bending", 0.5, "plate arm.1 in tip from above 1")
HEAD = 'format = 1\n[frame]\nname = "Box"\n[parameters]\nwidth_mm = 12\nhalf_mm = "width_mm / 2"\n'


@pytest.fixture
def frame(tmp_path: Path) -> Path:
    pieces = arms_on_a_base(width="width_mm")
    path = tmp_path / "box.toml"
    path.write_text(HEAD + '[rotors]\nfollow = "arm"\n' + "\n".join(pieces), encoding="utf-8")
    return path


def test_a_straight_line_has_its_own_slope_and_a_band_of_no_width() -> None:
    ends = (replace(NOW, mass_g=499.0, stiffness_n_per_mm=49.0), replace(NOW, mass_g=501.0, stiffness_n_per_mm=51.0))
    row = change_row("width_mm", 10.0, 0.5, NOW, NOW, ends)
    assert row.mass_g_per_unit == pytest.approx(2.0)
    assert row.stiffness is not None
    assert row.stiffness.percent_per_unit == pytest.approx(4.0)
    assert row.stiffness.band == pytest.approx((4.0, 4.0))
    assert row.stiffness.per_gram == pytest.approx(2.0)
    assert row.stiffness.is_known


def test_a_slope_on_a_carried_mesh_is_unsure_by_the_share_that_the_mesh_changes() -> None:
    ends = (replace(NOW, energy_j=0.49), replace(NOW, energy_j=0.51))
    energy = change_row("width_mm", 10.0, 0.5, NOW, replace(NOW, energy_j=0.45), ends).energy
    assert energy is not None
    assert energy.is_known
    assert energy.band == pytest.approx((4 * 0.9, 4 * 1.1))


def test_a_side_that_is_meshed_anew_counts_only_where_both_are() -> None:
    carried, anew = replace(NOW, energy_j=0.49), replace(NOW, energy_j=0.6, meshed_anew=("arm",))
    row = change_row("width_mm", 10.0, 0.5, NOW, replace(NOW, energy_j=0.51), (carried, anew))
    assert row.energy is not None
    assert row.energy.percent_per_unit == pytest.approx(4.0)
    assert row.energy.is_known
    assert row.meshed_anew == ("arm",)
    assert any(
        "the other side counts alone" in str(piece) for piece in change_tables(ChangeStudy("B", NOW, NOW, [row]))
    )


def test_a_change_within_what_a_new_mesh_does_is_not_known() -> None:
    anew = replace(NOW, meshed_anew=("arm",))
    ends = (replace(anew, energy_j=0.499), replace(anew, energy_j=0.501, first_failure="screw bolt.1 in tip along 1"))
    row = change_row("width_mm", 10.0, 0.5, NOW, replace(NOW, energy_j=0.51), ends)
    assert row.energy is not None
    assert not row.energy.is_known
    assert row.energy.band[1] - row.energy.band[0] == pytest.approx(2 * 100 * 0.02 / 0.5)
    assert row.energy.per_gram is None  # it weighs nothing
    assert row.turns_to == "screw bolt.1 in tip along 1"


def test_one_side_is_enough_and_said() -> None:
    row = change_row("width_mm", 10.0, 0.5, NOW, NOW, (None, replace(NOW, mass_g=501.0)))
    assert row.sides == 1
    assert row.mass_g_per_unit == pytest.approx(2.0)


def test_a_wider_and_a_thicker_arm_are_stiffer_and_heavier(frame: Path, tmp_path: Path) -> None:
    """Bending of a plate goes with width and with the cube of thickness; bolts and base give way too, so less of it."""
    told: list[tuple[int, int, str]] = []
    *_, study = what_to_change(frame, cache=tmp_path / "c", progress=lambda *a: told.append(a))
    rows = {row.name: row for row in study.rows}
    assert set(rows) == {"base.thickness_mm", "arm.thickness_mm", "width_mm"}  # the half follows from the width
    assert told[-1] == (2, 3, "width_mm")
    thick, wide = rows["arm.thickness_mm"], rows["width_mm"]
    for row in (thick, wide):
        assert row.mass_g_per_unit is not None
        assert row.mass_g_per_unit > 0
        assert row.stiffness is not None
        assert row.stiffness.percent_per_unit > 0
    assert thick.stiffness is not None
    assert thick.stiffness.percent_per_unit < 3 * 100 / 5 * 1.1
    assert wide.stiffness is not None
    assert wide.stiffness.percent_per_unit < 100 / 12 * 1.05
    assert study.left == []
    assert json.loads(change_json(study))["rows"][0]["name"] == "base.thickness_mm"


def test_a_study_may_stop_and_says_what_is_left(frame: Path, tmp_path: Path) -> None:
    study = next(iter(what_to_change(frame, cache=tmp_path / "c", only=["width_mm"])))
    assert study.left == ["width_mm"]
    assert any("not reached: width_mm" in str(piece) for piece in change_tables(study))


def test_ctrl_c_shows_what_was_found_and_the_rest_can_be_had_later(frame: Path, tmp_path: Path) -> None:
    """A real interrupt, sent when the terminal shows that the first number is done."""
    text = frame.read_text(encoding="utf-8").replace("half_mm =", "spare_a_mm = 1\nspare_b_mm = 1\nhalf_mm =")
    frame.write_text(text, encoding="utf-8")
    program = (
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # a shell may have it ignored
        "from platewright.cli import main; raise SystemExit(main())"
    )
    command = [sys.executable, "-c", program, "strength", str(frame), "--what-to-change", "--json"]
    here = os.environ | {"XDG_CACHE_HOME": str(tmp_path / "c"), "COLUMNS": "120", "TERM": "xterm"}
    try:
        terminal, other = os.openpty()
    except OSError:
        pytest.skip("this machine has no pseudo-terminals")
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=other, env=here) as run:
        shown = b""
        while b"1 of 5" not in shown:
            assert select.select([terminal], [], [], 120)[0], shown
            shown += os.read(terminal, 4096)
        run.send_signal(signal.SIGINT)
        printed = run.communicate()[0]
    os.close(other)
    os.close(terminal)
    assert run.returncode == 130
    first = json.loads(printed)
    found = {row["name"] for row in first["rows"]}
    assert "base.thickness_mm" in found
    every = {"base.thickness_mm", "arm.thickness_mm", "width_mm", "spare_a_mm", "spare_b_mm"}
    assert found | set(first["left"]) == every
    one = first["left"][-1]
    rest = subprocess.run([*command, "--number", one], capture_output=True, check=True, env=here)
    later = json.loads(rest.stdout)
    assert [row["name"] for row in later["rows"]] == [one]
    assert later["left"] == []


def test_what_cannot_be_moved_is_listed_with_its_reason() -> None:
    study = ChangeStudy("Box", NOW, NOW, [failed_row("width_mm", 12.0, "the hole is too near.")])
    assert any("cannot be moved from 12: the hole is too near." in str(piece) for piece in change_tables(study))


def test_a_name_that_is_not_there_is_a_sentence(frame: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["strength", str(frame), "--what-to-change", "--number", "widht_mm"]) == 1
    assert "did you mean width_mm?" in capsys.readouterr().err


def test_the_command_prints_what_a_gram_buys(
    frame: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "180")
    assert main(["strength", str(frame), "--what-to-change", "--number", "arm.thickness_mm"]) == 0
    out = capsys.readouterr().out
    assert "One gram here buys" in out
    assert "arm.thickness_mm" in out
