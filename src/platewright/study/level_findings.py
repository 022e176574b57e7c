"""Findings about heights: gaps before tightening, bowed plates, tilted plates, plates on too few supports.

Until a plate is solved as a plate, a bow is a natural cubic spline through the heights along the frame.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from platewright.assembly.affine import Affine, Draws
from platewright.assembly.assemble import Assembly
from platewright.assembly.heights import Gap
from platewright.foundation.findings import Finding, Severity

__all__ = ["Bow", "bows", "gap_groups", "level_findings"]

_SAME = 1e-9  # lengths closer than this are one length [mm]
_MOST = 0.5  # share of kits over the limit at which a gap at its limit warns [-]
_SEEN = 0.05  # gaps nobody would notice are left out [mm]
_TILT = 0.002  # rise per mm below which a plate counts as level [-]


@dataclass(frozen=True)
class Bow:
    """A plate bowed along the frame.

    Parameters
    ----------
    instance : str
        The plate.
    stations : tuple of (float, float)
        Position along x and height of the plate's underside once tightened [mm].
    sagitta : float
        Farthest departure from the straight line between its first and last station [mm].
    plane_rise : float
        Most the plate rises over the plane that sets its level [mm].
    rise_at : float
        Where, along x [mm].
    """

    instance: str
    stations: tuple[tuple[float, float], ...]
    sagitta: float
    plane_rise: float
    rise_at: float

    def height(self, x: float) -> float:
        """Height of the bowed underside at x; beyond the ends the curve goes on straight [mm]."""
        return float(self.heights(np.array(x)))

    def heights(self, xs: NDArray[np.float64]) -> NDArray[np.float64]:
        """Heights of the bowed underside at many x; beyond the ends the curve goes on straight [mm]."""
        inside = np.clip(xs, self.stations[0][0], self.stations[-1][0])
        found: NDArray[np.float64] = self._curve(inside) + self._curve(inside, 1) * (xs - inside)
        return found

    def between(self, xs: NDArray[np.float64]) -> NDArray[np.float64]:
        """Heights of the bowed underside at many x from the first station to the last [mm]."""
        heights: NDArray[np.float64] = self._curve(xs)
        return heights

    @cached_property
    def _curve(self) -> CubicSpline:
        return CubicSpline(*zip(*self.stations, strict=True), bc_type="natural")


def gap_groups(assembly: Assembly) -> dict[tuple[str, str], list[Gap]]:
    """Return gaps by instance and by column, so that equal ones are said once."""
    groups: dict[tuple[str, str], list[Gap]] = {}
    owners = {line.name: line.owner for line in assembly.lines}
    for gap in assembly.levels.gaps:
        groups.setdefault((gap.instance, owners[gap.line]), []).append(gap)
    return groups


def bows(assembly: Assembly) -> tuple[Bow, ...]:
    """Return every horizontal plate that columns of different height bend out of its plane."""
    made = []
    for name, instance in assembly.instances.items():
        gaps = [g for g in assembly.levels.gaps if g.instance == name]
        if instance.normal != "z" or max((abs(g.gap.nominal) for g in gaps), default=0.0) < _SEEN:
            continue
        bow = _bow(assembly, name)
        if bow is not None:
            made.append(bow)
    return tuple(made)


def level_findings(assembly: Assembly, draws: Draws) -> Iterator[Finding]:
    """Yield gaps, bows, tilts and plates whose level no plane sets."""
    for (instance, owner), gaps in gap_groups(assembly).items():
        yield from _gap(assembly, instance, owner, gaps, draws)
    for bow in bows(assembly):
        yield _bow_finding(assembly, bow)
    yield from _supports(assembly)
    for name, level in assembly.levels.level.items():
        slope = level.slope
        steepest = max(abs(s) for s in slope)
        if assembly.instances[name].normal == "z" and steepest > _TILT:
            text = f"rises {1000 * slope[0]:.1f} mm per m forward and {1000 * slope[1]:.1f} mm per m to the left."
            why = "its plane passes through the columns that set its level"
            yield Finding("level.tilt", Severity.NOTE, name, text, 1000 * steepest, None, "mm per m", why)


def _supports(assembly: Assembly) -> Iterator[Finding]:
    """Warn of level plates whose `sets_level` names too few supports for a plane; say it once for a place."""
    named = {place for column in assembly.design.column if column.fitted for place in column.sets_level}
    said: set[str] = set()
    for name, level in assembly.levels.level.items():
        place = assembly.instances[name].place.id
        if place not in named or place in said or assembly.instances[name].normal != "z" or level.is_plane:
            continue
        said.add(place)
        points = set(level.points)
        how = f"{len(points)} points in line" if len(points) > 2 else f"only {len(points)} of three points"
        text = (
            f"gets its level from columns with {how}, which set no plane: it is taken as level at their mean height; "
            "name it in sets_level of columns with three points or more that are not in line, or of none."
        )
        yield Finding("level.supports", Severity.WARN, name, text, why="three points not in line set a plane")


def _gap(assembly: Assembly, instance: str, owner: str, gaps: list[Gap], draws: Draws) -> Iterator[Finding]:
    """One finding for all points of a column: the widest gap, and its chance over all of them together."""
    widest = max(gaps, key=lambda g: abs(g.gap.nominal))
    size = widest.gap.nominal
    if abs(size) < _SEEN:
        return
    limit = assembly.design.checks.gap_mm
    together = np.max([np.abs(draws.of(g.gap)) for g in gaps], axis=0)
    over = float(np.mean(together > limit + _SAME))
    low, high = np.percentile(np.concatenate([draws.of(g.gap) for g in gaps]), [2.5, 97.5])
    kind = "stands {0:.2f} mm above" if size > 0 else "overlaps by {0:.2f} mm"
    text = f"{kind.format(abs(size))} its support at {owner} before tightening ({_pair(widest.gap)}; "
    text += f"95 % of kits {low:.2f} to {high:.2f}); tightening bends it by as much there. "
    text += f"{100 * over:.0f} % of kits exceed {limit:g} mm at one of {len(gaps)} points."
    severity = Severity.WARN if abs(size) > limit + _SAME or over > _MOST else Severity.NOTE
    why = "limit checks.gap_mm; stack heights of the columns"
    yield Finding("level.gap", severity, instance, text, abs(size), limit, "mm", why, at_least=False)


def _pair(gap: Affine) -> str:
    return f"worst case {gap.low:.2f} to {gap.high:.2f}, root-sum-square +-{gap.rss:.2f}"


def _bow(assembly: Assembly, name: str) -> Bow | None:
    level = assembly.levels.level[name]
    heights: dict[float, list[float]] = {}
    for line in assembly.lines:
        for n, item in enumerate(line.items):
            span = assembly.levels.spans[line.name][n]
            if item.instance is not None and item.instance.name == name and span is not None:
                heights.setdefault(round(line.a, 3), []).append(span.start.nominal)
    if len(heights) < 3:
        return None
    stations = tuple((x, float(np.mean(z))) for x, z in sorted(heights.items()))
    plain = Bow(name, stations, 0.0, 0.0, 0.0)
    xs = np.linspace(stations[0][0], stations[-1][0], 201)
    curve = plain.between(xs)
    chord = np.interp(xs, [stations[0][0], stations[-1][0]], [stations[0][1], stations[-1][1]])
    rise = curve - (level.at(0.0, 0.0).nominal + level.slope[0] * xs)
    top = int(np.argmax(np.abs(rise)))
    sagitta = float(np.max(np.abs(curve - chord)))
    return Bow(name, stations, sagitta, float(rise[top]), float(xs[top]))


def _bow_finding(assembly: Assembly, bow: Bow) -> Finding:
    limit = assembly.design.checks.bow_mm
    text = f"is bowed by {bow.sagitta:.2f} mm from the straight line between its first and last column, and departs "
    text += f"{bow.plane_rise:+.2f} mm from its level at x = {bow.rise_at:.0f} mm"
    for equipment in assembly.design.equipment:
        if equipment.fitted and equipment.axis == "y":
            x = float(equipment.at_mm[0])
            gain = bow.height(x) - assembly.levels.level[bow.instance].at(x, 0.0).nominal
            text += f"; {equipment.id} at x = {x:.0f} mm gains {gain:+.2f} mm of height"
    severity = Severity.WARN if bow.sagitta > limit + _SAME else Severity.NOTE
    why = "natural cubic spline through the column heights; limit checks.bow_mm"
    return Finding("level.bow", severity, bow.instance, f"{text}.", bow.sagitta, limit, "mm", why, at_least=False)
