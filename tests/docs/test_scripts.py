"""The scripts install, check and demonstrate on an empty machine: what can be seen of that without one."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SCRIPTS = ("check", "demo", "install", "lock", "test")
STAND_IN = """#!/bin/sh
# A Python that makes an environment of stand-ins which note how they are called; everything else is the real one.
if [ "${1:-} ${2:-}" = "-m venv" ]; then
    mkdir -p "$3/bin"
    echo "$PWD/.venv" >"$3/bin/activate"
    for name in python platewright; do
        printf '#!/bin/sh\\n[ "$1" = -c ] && exit 0\\n' >"$3/bin/$name"
        printf 'echo "%s $*" >>calls\\nexit ${CHECK_STATUS:-0}\\n' $name >>"$3/bin/$name"
        chmod +x "$3/bin/$name"
    done
else
    exec REAL "$@"
fi
"""


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """Copy the scripts and what they read into a folder with a space in its name, beside a stand-in for Python."""
    project = tmp_path / "a project"
    shutil.copytree(ROOT / "scripts", project / "scripts")
    for name in ("requirements.lock", "pyproject.toml"):
        shutil.copy(ROOT / name, project)
    stand_in = tmp_path / "python"
    stand_in.write_text(STAND_IN.replace("REAL", sys.executable), encoding="utf-8")
    stand_in.chmod(0o755)
    return project


def run(project: Path, script: str, *arguments: str, cwd: Path | None = None, **environment: str) -> tuple[int, str]:
    variables = {**os.environ, "PYTHON": str(project.parent / "python"), **environment}
    command = ["sh", str(project / "scripts" / script), *arguments]
    done = subprocess.run(
        command, cwd=cwd or project, env=variables, capture_output=True, text=True, timeout=60, check=False
    )
    return done.returncode, done.stderr


def calls(project: Path) -> list[str]:
    file = project / "calls"
    return file.read_text(encoding="utf-8").splitlines() if file.exists() else []


@pytest.mark.parametrize("name", SCRIPTS)
def test_script_is_plain_posix_shell(name: str) -> None:
    script = ROOT / "scripts" / name
    assert script.read_text(encoding="utf-8").startswith("#!/bin/sh\n")
    assert os.access(script, os.X_OK)
    shell = shutil.which("dash") or "sh"
    assert subprocess.run([shell, "-n", str(script)], check=False).returncode == 0


def test_continuous_integration_runs_the_same_script() -> None:
    assert (ROOT / ".ci" / "run").read_text(encoding="utf-8").rstrip().endswith("exec sh scripts/test")


def test_install_uses_the_lock_then_the_package_alone(copy: Path) -> None:
    status, message = run(copy, "install")
    assert status == 0, message
    libraries, package = calls(copy)
    assert libraries.endswith("install --compile -r requirements.lock")
    assert package.endswith("install --no-deps --no-build-isolation --editable .")


def test_install_does_nothing_until_something_changed(copy: Path) -> None:
    run(copy, "install")
    before = calls(copy)
    assert run(copy, "install") == (0, "")
    assert calls(copy) == before
    with (copy / "requirements.lock").open("a", encoding="utf-8") as lock:
        lock.write("zebra==1.0\n")
    run(copy, "install")
    assert len(calls(copy)) == 2 * len(before)


def test_failed_install_is_tried_again(copy: Path) -> None:
    status, _ = run(copy, "install", CHECK_STATUS="1")
    assert status == 1
    run(copy, "install")
    assert [line.split()[-1] for line in calls(copy)] == ["requirements.lock", "requirements.lock", "."]


def test_moved_environment_is_made_anew(copy: Path) -> None:
    run(copy, "install")
    moved = copy.with_name("moved project")
    copy.rename(moved)
    status, _ = run(moved, "install")
    assert status == 0
    assert str(moved) in (moved / ".venv" / "bin" / "activate").read_text(encoding="utf-8")


def test_missing_python_is_one_sentence(copy: Path) -> None:
    status, message = run(copy, "install", PYTHON="false")
    assert status == 1
    with (ROOT / "pyproject.toml").open("rb") as file:
        floor = tomllib.load(file)["project"]["requires-python"].removeprefix(">=")
    assert message.startswith(f"scripts/install: Python {floor} or newer is needed (found: ")
    assert message.count("\n") == 1
    assert not (copy / ".venv").exists()


def test_a_python_below_the_floor_is_not_taken(copy: Path) -> None:
    pyproject = copy / "pyproject.toml"
    text = pyproject.read_text(encoding="utf-8")
    pyproject.write_text(text.replace('requires-python = ">=3.11.2"', 'requires-python = ">=99.1"'), encoding="utf-8")
    status, message = run(copy, "install")
    assert status == 1
    assert message.startswith("scripts/install: Python 99.1 or newer is needed (found: ")
    assert not (copy / ".venv").exists()


def test_demo_checks_then_builds_into_the_named_folder(copy: Path, tmp_path: Path) -> None:
    status, message = run(copy, "demo", "kit", cwd=tmp_path)
    assert status == 0, message
    assert calls(copy)[2:] == [
        "platewright check examples/heddle.toml",
        f"platewright build examples/heddle.toml --out {tmp_path}/kit/heddle",
    ]


def test_demo_stops_when_the_check_fails(copy: Path) -> None:
    run(copy, "install")
    status, _ = run(copy, "demo", CHECK_STATUS="1")
    assert status == 1
    assert calls(copy)[2:] == ["platewright check examples/heddle.toml"]
