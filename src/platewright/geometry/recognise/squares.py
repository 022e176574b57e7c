"""Squares, crosses and triangles of holes: motors by opposite holes, boards by adjacent ones [mm, rad]."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.spatial import cKDTree

from platewright.geometry.recognise.holes import RoundHole, fit_of, fits
from platewright.geometry.recognise.pattern import Doubt, Pattern, weighed
from platewright.geometry.recognise.symmetry import MirrorLine
from platewright.model.catalogue import BoardPattern, Catalogue, MotorPattern

__all__ = ["hole_patterns", "wrong_measures"]

_OFF = 0.2  # holes of a pattern lie this near to their places [mm]
_SQUARE = 0.02  # largest cosine between pairs that stand at right angles [-]
_ALIKE = 0.1  # diameters of the holes of one pattern differ by no more [mm]
_WIDEST_MIDDLE = 12.0  # widest round opening under a motor's shaft [mm]
_WIDEST_SCREW = 5.0  # widest clearance hole of a motor or board [mm]


@dataclass(frozen=True)
class _Cross:
    """Two pairs of opposite holes at right angles with one middle: both distances and the holes, the longer first."""

    middle: complex
    turn: float
    distances: tuple[float, float]
    holes: tuple[RoundHole, ...]

    @property
    def openings(self) -> tuple[int, ...]:
        return tuple(h.opening for h in self.holes)

    @property
    def diameter(self) -> float:
        return sum(h.diameter for h in self.holes) / len(self.holes)


def hole_patterns(holes: Sequence[RoundHole], mirrors: Sequence[MirrorLine], catalogue: Catalogue) -> list[Pattern]:
    """Return every motor and board pattern that the holes may form; one hole may be in several."""
    crosses = list(_crosses(holes, catalogue))
    motors = [p for c in crosses for p in _motors(c, holes, catalogue)]
    motors += list(_triangles(holes, catalogue))
    motors = [_with_others(p, motors) for p in motors]
    return motors + [p for c in crosses for p in _boards(c, holes, mirrors, catalogue)]


def wrong_measures(holes: Sequence[RoundHole], used: set[int], catalogue: Catalogue) -> list[Doubt]:
    """Name squares of holes that are a pattern's size by the wrong measure, 1.414 too large or too small."""
    made = []
    motors = [
        m for m in catalogue.of_class(MotorPattern) if len(set(m.opposite_hole_distances_mm)) == 1 and m.holes == 4
    ]
    for cross in _crosses(holes, catalogue):
        across = sum(cross.distances) / 2
        if abs(cross.distances[0] - cross.distances[1]) > _OFF or used & set(cross.openings):
            continue
        side = across / math.sqrt(2)
        for motor in motors:
            wanted = motor.opposite_hole_distances_mm[0]
            if abs(side - wanted) <= _OFF:
                made.append(_wrong(cross, f"{side:.2f} mm along a side", f"motor {motor.id}", "between opposite holes"))
        for board in catalogue.of_class(BoardPattern):
            if abs(across - board.side_mm) <= _OFF:
                made.append(_wrong(cross, f"{across:.2f} mm across", f"board {board.id}", "between adjacent holes"))
    return made


def _wrong(cross: _Cross, size: str, name: str, measure: str) -> Doubt:
    words = f"four holes {size}: {name} is measured {measure}; is this drawn by the wrong measure (factor 1.414)?"
    return Doubt(words, cross.middle.real, cross.middle.imag, cross.openings)


def _crosses(holes: Sequence[RoundHole], catalogue: Catalogue) -> Iterator[_Cross]:
    """Yield crosses of holes of one size, of any distance that a pattern has by either measure."""
    small = [h for h in holes if h.diameter <= _WIDEST_SCREW]
    wanted = _distances(catalogue)
    if len(small) < 4:
        return
    z = np.array([h.at for h in small])
    pairs = cKDTree(np.column_stack([z.real, z.imag])).query_pairs(max(wanted) + _OFF, output_type="ndarray")
    length = np.abs(z[pairs[:, 0]] - z[pairs[:, 1]])
    sizes = np.array([h.diameter for h in small])
    near = np.abs(length[:, None] - np.array(wanted)).min(axis=1) <= _OFF
    pairs = pairs[near & (np.abs(sizes[pairs[:, 0]] - sizes[pairs[:, 1]]) <= _ALIKE)]
    if len(pairs) < 2:
        return
    one, other = z[pairs[:, 0]], z[pairs[:, 1]]
    middle = (one + other) / 2
    meets = cKDTree(np.column_stack([middle.real, middle.imag])).query_pairs(_OFF, output_type="ndarray")
    for a, b in meets.tolist():
        u, v = other[a] - one[a], other[b] - one[b]
        if abs((u * v.conjugate()).real) > _SQUARE * abs(u) * abs(v):
            continue
        if abs(u) < abs(v):
            a, b, u, v = b, a, v, u  # noqa: PLW2901  the longer pair is named first
        four = [small[k] for k in (*pairs[a].tolist(), *pairs[b].tolist())]
        if np.ptp([h.diameter for h in four]) > _ALIKE:
            continue
        turn = float(cmath.phase(complex(u))) % math.pi
        yield _Cross(complex(middle[a] + middle[b]) / 2, turn, (float(abs(u)), float(abs(v))), tuple(four))


def _distances(catalogue: Catalogue) -> list[float]:
    """Return every distance between opposite holes of a pattern, and of one drawn by the wrong measure."""
    motors = [d for m in catalogue.of_class(MotorPattern) for d in m.opposite_hole_distances_mm]
    boards = [b.side_mm for b in catalogue.of_class(BoardPattern)]
    root = math.sqrt(2)
    return sorted({*motors, *(d * root for d in motors), *boards, *(d * root for d in boards)})


def _motors(cross: _Cross, holes: Sequence[RoundHole], catalogue: Catalogue) -> Iterator[Pattern]:
    known = fits(catalogue)
    for motor in catalogue.of_class(MotorPattern):
        if motor.holes != 4:
            continue
        first, second = motor.opposite_hole_distances_mm * (2 if len(motor.opposite_hole_distances_mm) == 1 else 1)
        low, high = sorted((first, second))
        off = max(abs(cross.distances[0] - high), abs(cross.distances[1] - low))
        if off > _OFF:
            continue
        fit = fit_of(cross.diameter, known, motor.thread)
        middle = _middle_hole(cross.middle, holes, cross.openings)
        confidence, evidence = weighed(
            (0.45, True, f"opposite holes {cross.distances[0]:.2f} and {cross.distances[1]:.2f} mm apart", ""),
            (
                0.25,
                fit is not None,
                f"holes for {motor.thread}",
                f"holes of {cross.diameter:.2f} mm, not for {motor.thread}",
            ),
            (0.15, middle is not None, "an opening in the middle", "no opening in the middle"),
        )
        openings = cross.openings + ((middle.opening,) if middle else ())
        # The catalogue counts from the first distance it names.
        turn = cross.turn if first == high else cross.turn + math.pi / 2
        yield Pattern(
            "motor",
            motor.id,
            cross.middle.real,
            cross.middle.imag,
            turn % math.pi,
            openings,
            motor.thread if fit else "",
            fit.hole if fit else "",
            high,
            confidence,
            evidence,
        )


def _triangles(holes: Sequence[RoundHole], catalogue: Catalogue) -> Iterator[Pattern]:
    """Yield three holes at 120 degrees on the circle of a pattern that has three."""
    known = fits(catalogue)
    for motor in (m for m in catalogue.of_class(MotorPattern) if m.holes == 3):
        own = [h for h in holes if fit_of(h.diameter, known, motor.thread)]
        side = motor.opposite_hole_distances_mm[0] * math.sin(math.pi / 3)
        for i, a in enumerate(own):
            near = [h for h in own[i + 1 :] if abs(abs(h.at - a.at) - side) <= _OFF]
            for j, b in enumerate(near):
                for c in near[j + 1 :]:
                    if abs(abs(b.at - c.at) - side) > _OFF:
                        continue
                    centre = (a.at + b.at + c.at) / 3
                    middle = _middle_hole(centre, holes, (a.opening, b.opening, c.opening))
                    confidence, evidence = weighed(
                        (0.45, True, f"three holes {side:.2f} mm from one another", ""),
                        (0.25, True, f"holes for {motor.thread}", ""),
                        (0.15, middle is not None, "an opening in the middle", "no opening in the middle"),
                    )
                    openings = (a.opening, b.opening, c.opening) + ((middle.opening,) if middle else ())
                    fit = fit_of(a.diameter, known, motor.thread)
                    turn = cmath.phase(a.at - centre) % (2 * math.pi / 3)
                    yield Pattern(
                        *("motor", motor.id, centre.real, centre.imag, turn, openings, motor.thread),
                        *(fit.hole if fit else "", motor.opposite_hole_distances_mm[0], confidence, evidence),
                    )


def _boards(
    cross: _Cross, holes: Sequence[RoundHole], mirrors: Sequence[MirrorLine], catalogue: Catalogue
) -> Iterator[Pattern]:
    known = fits(catalogue)
    sides = tuple(d / math.sqrt(2) for d in cross.distances)
    for board in catalogue.of_class(BoardPattern):
        if max(abs(d - board.side_mm * math.sqrt(2)) for d in cross.distances) > _OFF:
            continue
        own = fit_of(cross.diameter, known, board.thread)
        fit = own or fit_of(cross.diameter, known)
        centred = any(m.distance(cross.middle) < _OFF for m in mirrors)
        plain = _middle_hole(cross.middle, holes, cross.openings) is None
        confidence, evidence = weighed(
            (0.5, True, f"adjacent holes {sum(sides) / 2:.2f} mm apart", ""),
            (
                0.2,
                own is not None,
                f"holes for {board.thread}",
                f"holes of {cross.diameter:.2f} mm, not for {board.thread}",
            ),
            (0.15, centred, "on a mirror line of the plate", "on no mirror line of the plate"),
            (0.15, plain, "no round opening in the middle", "a round opening in the middle, as for a motor"),
        )
        turn = (cross.turn + math.pi / 2 - 1e-6) % (math.pi / 2) - math.pi / 4 + 1e-6  # from -45 to 45 degrees
        yield Pattern(
            "board",
            board.id,
            cross.middle.real,
            cross.middle.imag,
            turn,
            cross.openings,
            fit.thread if fit else "",
            fit.hole if fit else "",
            board.side_mm,
            confidence,
            evidence,
        )


def _with_others(pattern: Pattern, motors: Sequence[Pattern]) -> Pattern:
    """Add weight to a pattern that the plate has more than once."""
    count = sum(1 for p in motors if p.record == pattern.record)
    confidence, words = weighed((0.15, count > 1, f"{count} such patterns", "the only one"))
    return replace(pattern, confidence=round(pattern.confidence + confidence, 2), evidence=(*pattern.evidence, *words))


def _middle_hole(middle: complex, holes: Sequence[RoundHole], own: Sequence[int]) -> RoundHole | None:
    near = [h for h in holes if abs(h.at - middle) <= _OFF and h.opening not in own and h.diameter <= _WIDEST_MIDDLE]
    return near[0] if near else None
