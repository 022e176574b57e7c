"""The locked versions: what is declared, nothing that the oldest Python cannot install, and how they are chosen."""

from __future__ import annotations

import importlib.util
import json
import re
import sys
import tomllib
from collections.abc import Sequence
from importlib import metadata
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PROJECT: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
LINES = (ROOT / "requirements.lock").read_text(encoding="utf-8").splitlines()
VERSIONS = dict(line.split("==") for line in LINES)


@pytest.fixture(scope="module")
def chooser() -> ModuleType:
    spec = importlib.util.spec_from_file_location("choose_versions", ROOT / "scripts" / "choose_versions.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look it up there
    spec.loader.exec_module(module)
    return module


def test_lock_holds_names_and_versions_only() -> None:
    assert [line for line in LINES if not re.fullmatch(r"[a-z0-9-]+==[0-9][0-9a-z.]*", line)] == []
    assert sorted(set(LINES)) == LINES


def test_lock_satisfies_every_declared_requirement(chooser: ModuleType) -> None:
    requirements = [Requirement(line) for line in chooser.wanted(PROJECT)]
    unmet = [str(r) for r in requirements if not r.specifier.contains(VERSIONS.get(canonicalize_name(r.name), "0"))]
    assert len(requirements) >= 30  # the lists were found
    assert unmet == []


def test_the_floor_is_what_debian_12_has(chooser: ModuleType) -> None:
    """The Python of Debian 12 is 3.11.2 (package python3.11, 3.11.2-6)."""
    assert chooser.floor_of(PROJECT) == "3.11.2"


def test_the_oldest_python_can_install_every_locked_version(chooser: ModuleType) -> None:
    """By what the installed packages say of themselves, which are the locked ones."""
    floor = chooser.floor_of(PROJECT)
    shunning, read = {}, 0
    for name, version in VERSIONS.items():
        found = metadata.distribution(name)
        assert found.version == version, f"{name} {found.version} is installed; run sh scripts/install"
        wants = found.metadata["Requires-Python"]
        read += wants is not None
        if wants is not None and floor not in SpecifierSet(wants):
            shunning[name] = wants
    assert read > 100
    assert shunning == {}


def test_report_is_read_as_pip_writes_it(chooser: ModuleType) -> None:
    items = [
        {"metadata": {"name": "Sound_Box", "version": "2.0", "requires_python": ">=3.9"}, "is_yanked": True},
        {"metadata": {"name": "reed", "version": "1.1"}},
    ]
    found = chooser.read_report(json.dumps({"version": "1", "install": items}))
    assert found == [chooser.Chosen("sound-box", "2.0", ">=3.9", True), chooser.Chosen("reed", "1.1")]


@pytest.mark.parametrize(
    ("wants", "yanked", "reason"),
    [
        ("", False, ""),
        (">=3.11.2", False, ""),
        (">=3.8,!=3.11.0,!=3.11.1", False, ""),
        (">=3.11.5", False, "wants Python >=3.11.5"),
        (">=3.12", False, "wants Python >=3.12"),
        (">=3.9,<3.11", False, "wants Python >=3.9,<3.11"),
        ("", True, "was taken back"),
    ],
)
def test_what_may_be_locked(chooser: ModuleType, wants: str, yanked: bool, reason: str) -> None:
    assert chooser.Chosen("reed", "1.0", wants, yanked).shuns("3.11.2") == reason


def test_older_versions_are_asked_for_until_all_fit(chooser: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    offered = {"reed": [("4.1", ">=3.11.5", False), ("3.0", ">=3.11", True), ("2.8", ">=3.9", False)]}

    def resolve(bounds: Sequence[str]) -> list[Any]:
        allowed = SpecifierSet(",".join(b.removeprefix("reed") for b in bounds))
        version, wants, yanked = next(o for o in offered["reed"] if o[0] in allowed)
        return [chooser.Chosen("heald", "1.0"), chooser.Chosen("reed", version, wants, yanked)]

    assert [c.version for c in chooser.choose(resolve, "3.11.2")] == ["1.0", "2.8"]
    assert capsys.readouterr().err.splitlines() == [
        "scripts/lock: reed 4.1 wants Python >=3.11.5; looking for another",
        "scripts/lock: reed 3.0 was taken back; looking for another",
    ]
    assert [c.version for c in chooser.choose(resolve, "3.11.7")] == ["1.0", "4.1"]


def test_what_never_fits_is_one_sentence(chooser: ModuleType) -> None:
    def resolve(bounds: Sequence[str]) -> list[Any]:
        return [chooser.Chosen("reed", f"{99 - len(bounds)}.0", ">=3.12")]

    with pytest.raises(chooser.NoVersionsError, match=r"^no versions that Python 3\.11\.2 can install were found"):
        chooser.choose(resolve, "3.11.2")


def test_a_floor_without_a_lower_bound_is_one_sentence(chooser: ModuleType) -> None:
    with pytest.raises(chooser.NoVersionsError, match=r'^requires-python must have one lower bound.*given: "<4"'):
        chooser.floor_of({"project": {"requires-python": "<4"}})
