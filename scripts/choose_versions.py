"""Choose the newest versions that pyproject.toml allows and print them as name==version; run by scripts/lock.

The floor is the oldest Python that pyproject.toml admits (`requires-python`). Whatever Python this runs on, a version
that the floor's Requires-Python excludes, or that was taken back after it was published, is not chosen: older ones are
asked for until all fit. Needs nothing but pip.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pip._vendor.packaging.specifiers import SpecifierSet
from pip._vendor.packaging.utils import canonicalize_name

MOST_ROUNDS = 30  # each asks for older versions of those that do not fit


class NoVersionsError(Exception):
    """No choice of versions fits; the message is one sentence."""


@dataclass(frozen=True)
class Chosen:
    """One version that pip would install."""

    name: str
    version: str
    requires_python: str = ""
    yanked: bool = False

    def shuns(self, floor: str) -> str:
        """Return why it may not be locked; nothing if it may."""
        if self.yanked:
            return "was taken back"
        if self.requires_python and not SpecifierSet(self.requires_python).contains(floor, prereleases=True):
            return f"wants Python {self.requires_python}"
        return ""

    @property
    def bound(self) -> str:
        """What asks for another version next time."""
        return f"{self.name}{'!=' if self.yanked else '<'}{self.version}"


def floor_of(project: dict[str, Any]) -> str:
    """Return the oldest Python that a project admits: its one lower bound."""
    text = project["project"]["requires-python"]
    lower = [s.version for s in SpecifierSet(text) if s.operator == ">="]
    if len(lower) != 1:
        raise NoVersionsError(f'requires-python must have one lower bound, as in ">=3.11.2" (given: "{text}").')
    return lower[0]


def wanted(project: dict[str, Any]) -> list[str]:
    """Return what building, running and testing need."""
    groups = [project["build-system"]["requires"], project["project"]["dependencies"]]
    groups += project["project"].get("optional-dependencies", {}).values()
    # hatchling asks for the last one when a package is installed in editable form
    return sorted({line for group in groups for line in group} | {"editables"})


def choose(resolve: Callable[[Sequence[str]], list[Chosen]], floor: str) -> list[Chosen]:
    """Return versions that all fit the floor; `resolve` gives the newest ones within bounds.

    Raises
    ------
    NoVersionsError
        If there are none.
    """
    bounds: list[str] = []
    for _ in range(MOST_ROUNDS):
        chosen = resolve(bounds)
        wrong = [(c, reason) for c in chosen if (reason := c.shuns(floor))]
        if not wrong:
            return chosen
        for c, reason in wrong:
            print(f"scripts/lock: {c.name} {c.version} {reason}; looking for another", file=sys.stderr)
        bounds += [c.bound for c, _ in wrong]
    raise NoVersionsError(f"no versions that Python {floor} can install were found in {MOST_ROUNDS} rounds.")


def read_report(text: str) -> list[Chosen]:
    """Return what pip's report of an installation says."""
    return [
        Chosen(
            canonicalize_name(item["metadata"]["name"]),
            item["metadata"]["version"],
            item["metadata"].get("requires_python", ""),
            item.get("is_yanked", False),
        )
        for item in json.loads(text)["install"]
    ]


def resolve_with_pip(lines: Sequence[str], floor: str, folder: Path) -> Callable[[Sequence[str]], list[Chosen]]:
    """Return a function that asks pip, as if nothing were installed."""

    def resolve(bounds: Sequence[str]) -> list[Chosen]:
        (folder / "wanted.txt").write_text("\n".join(lines), encoding="utf-8")
        (folder / "bounds.txt").write_text("\n".join(bounds), encoding="utf-8")
        pip = [sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check", "--no-input", "install"]
        pip += ["--dry-run", "--ignore-installed", "--report", str(folder / "report.json")]
        done = subprocess.run([*pip, "-r", folder / "wanted.txt", "-c", folder / "bounds.txt"], check=False)
        if done.returncode:
            within = f" within {', '.join(bounds)}" if bounds else ""
            raise NoVersionsError(
                f"pip found no versions that Python {floor} can install{within}; see what it printed above."
            )
        return read_report((folder / "report.json").read_text(encoding="utf-8"))

    return resolve


def main() -> int:
    """Print the choice for the project in the current folder."""
    project = tomllib.loads(Path("pyproject.toml").read_text(encoding="utf-8"))
    try:
        floor = floor_of(project)
        if list(sys.version_info[:2]) != [int(n) for n in floor.split(".")[:2]]:
            here = ".".join(str(n) for n in sys.version_info[:3])
            raise NoVersionsError(
                f"what is needed differs between Pythons: choose on {floor} or its kin (this is {here}) and name it "
                "as in 'PYTHON=/path/to/python sh scripts/lock'."
            )
        with tempfile.TemporaryDirectory() as folder:
            chosen = choose(resolve_with_pip(wanted(project), floor, Path(folder)), floor)
    except NoVersionsError as error:
        print(f"scripts/lock: {error}", file=sys.stderr)
        return 1
    print("\n".join(sorted(f"{c.name}=={c.version}" for c in chosen)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
