"""Runs of a bolt line: the items that touch one another, between its gaps. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.assembly.affine import Affine, exactly
from platewright.assembly.instances import Instance
from platewright.assembly.lines import Line
from platewright.model.stack import ItemKind

__all__ = ["Run", "runs_of"]


@dataclass(frozen=True)
class Run:
    """Items of one line that touch one another, with their places counted from the run's start."""

    line: Line
    indices: tuple[int, ...]
    starts: tuple[Affine, ...]

    def places(self) -> list[tuple[int, Instance]]:
        """Return the placed parts of the run and where in it they stand."""
        return [(k, i) for k, n in enumerate(self.indices) if (i := self.line.items[n].instance) is not None]


def runs_of(line: Line) -> list[Run]:
    """Split a line at its gaps; screws and access places belong to no run."""
    runs: list[Run] = []
    indices: list[int] = []
    starts: list[Affine] = []
    height = exactly(0.0)
    for n, item in enumerate(line.items):
        if item.word.kind is ItemKind.GAP and indices:
            runs.append(Run(line, tuple(indices), tuple(starts)))
            indices, starts, height = [], [], exactly(0.0)
        elif item.touches:
            indices.append(n)
            starts.append(height)
            height = height + item.thickness
    if indices:
        runs.append(Run(line, tuple(indices), tuple(starts)))
    return runs
