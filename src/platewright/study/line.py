"""Several frames as one product line: which parts are one, which nearly are and what would make them so.

Parts are one by shape and laminate, as `identity` says, whatever they are called and wherever they are drawn. Nearly
one: no edge and no hole is farther off than a limit. What a merge saves in stock follows from Poisson sales of kits.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from platewright.assembly.assemble import Assembly
from platewright.assembly.bill import bill_of_materials
from platewright.foundation.errors import RequestError
from platewright.geometry.isometry import Isometry
from platewright.geometry.loops import Outline
from platewright.geometry.near import near_match
from platewright.shop.reorder import LeadDemand, reorder_point
from platewright.study.identity import PartIdentity, identity_of, same_part
from platewright.study.line_differences import advice_of, differences_of
from platewright.study.line_results import (
    LineHardware,
    LineOptions,
    LinePart,
    LineReport,
    MergeSaving,
    NearPair,
    PartUse,
)

__all__ = ["LineStudy", "NearOutlines", "line_study"]

_MONTH = 30.0
_TURNED = 1e-6  # turn that counts [rad]


@dataclass(frozen=True)
class NearOutlines:
    """The outlines of a near pair, the first moved onto the second [mm]."""

    pair: NearPair
    first: Outline
    second: Outline
    motion: Isometry


@dataclass(frozen=True)
class LineStudy:
    """The report, and the outlines of its near pairs for pictures."""

    report: LineReport
    outlines: tuple[NearOutlines, ...]


@dataclass(frozen=True)
class _Kind:
    """One kind of part with all its uses."""

    identity: PartIdentity
    uses: list[PartUse]


def line_study(assemblies: Sequence[Assembly], options: LineOptions) -> LineStudy:
    """Compare frames.

    Parameters
    ----------
    assemblies : sequence of Assembly
        Two frames or more, of different names.
    options : LineOptions
        What near means, and what stock is reckoned with.

    Raises
    ------
    RequestError
        If there are fewer than two frames, or two of one name.
    """
    names = [a.design.frame.name for a in assemblies]
    _check(names, options)
    kinds = _kinds(assemblies)
    near = _near_pairs(kinds, options)
    merged = _components(len(kinds), [(i, j) for i, j, _ in near])
    hardware = _hardware(assemblies)
    report = LineReport(
        tuple(names),
        options,
        tuple(LinePart(k.identity.material, k.identity.thickness, tuple(k.uses)) for k in kinds),
        tuple(n.pair for _, _, n in near),
        tuple(hardware),
        sum(len({use.part for use in k.uses if use.frame == name}) for k in kinds for name in names),
        len(kinds),
        merged,
        sum(len(row.pieces) for row in hardware),
        len(hardware),
    )
    return LineStudy(report, tuple(n for _, _, n in near))


def _check(names: Sequence[str], options: LineOptions) -> None:
    if len(names) < 2:
        msg = f"a product line needs two frames or more (got {len(names)}); name more designs."
        raise RequestError(msg)
    double = sorted({n for n in names if names.count(n) > 1})
    if double:
        msg = f"frames of a line need different names (got '{double[0]}' twice); give [frame] another name."
        raise RequestError(msg)
    for name in options.kits_per_month or {}:
        if name not in names:
            msg = f"no frame of the line is called '{name}'; they are {', '.join(names)}."
            raise RequestError(msg)


def _kinds(assemblies: Sequence[Assembly]) -> list[_Kind]:
    kinds: list[_Kind] = []
    for assembly in assemblies:
        for name, finished in assembly.parts.items():
            identity = identity_of(finished)
            frame = assembly.design.frame.name
            for kind in kinds:
                motion = same_part(identity, kind.identity)
                if motion is not None:
                    kind.uses.append(PartUse(frame, name, finished.quantity, _how(motion)))
                    break
            else:
                kinds.append(_Kind(identity, [PartUse(frame, name, finished.quantity, "")]))
    return kinds


def _near_pairs(kinds: Sequence[_Kind], options: LineOptions) -> list[tuple[int, int, NearOutlines]]:
    found = []
    for (i, one), (j, other) in itertools.combinations(enumerate(kinds), 2):
        match = near_match(one.identity.outline, other.identity.outline, options.within_mm)
        if match is None:
            continue
        first, second = one.uses[0], other.uses[0]
        differences = differences_of(match, one.identity, other.identity, (_name(first), _name(second)))
        pair = NearPair(
            first, second, _how(match.motion), round(match.largest, 3), differences,
            advice_of(match, one.identity, other.identity, (_name(first), _name(second))),
            _saving(one, other, options),
        )  # fmt: skip
        found.append((i, j, NearOutlines(pair, one.identity.outline, other.identity.outline, match.motion)))
    return sorted(found, key=lambda row: (len(row[2].pair.differences), row[2].pair.largest_mm))


def _saving(one: _Kind, other: _Kind, options: LineOptions) -> MergeSaving:
    demands = [_lead_demand(kind.uses, options) for kind in (one, other)]
    both = _lead_demand([*one.uses, *other.uses], options)
    level = options.service_percent / 100
    safety = [reorder_point(d, level) - d.mean for d in (*demands, both)]
    return MergeSaving(
        1,
        round(safety[0] + safety[1], 2),
        round(safety[2], 2),
        options.least_pieces,
        options.design_money,
        1,
    )


def _lead_demand(uses: Sequence[PartUse], options: LineOptions) -> LeadDemand:
    """Return what is asked for in a lead time: kits are Poisson, each takes all its pieces at once."""
    pieces: dict[str, int] = defaultdict(int)
    for use in uses:
        pieces[use.frame] += use.quantity
    rates = {frame: _rate(frame, options) * options.lead_time_days for frame in pieces}
    mean = sum(pieces[f] * rates[f] for f in pieces)
    return LeadDemand(mean, sum(pieces[f] ** 2 * rates[f] for f in pieces))


def _rate(frame: str, options: LineOptions) -> float:
    return (options.kits_per_month or {}).get(frame, options.usual_per_month) / _MONTH


def _components(n: int, links: Sequence[tuple[int, int]]) -> int:
    group = list(range(n))
    for i, j in links:
        group = [group[i] if g == group[j] else g for g in group]
    return len(set(group))


def _hardware(assemblies: Sequence[Assembly]) -> list[LineHardware]:
    found: dict[tuple[str, str], dict[str, int]] = defaultdict(dict)
    for assembly in assemblies:
        for line in bill_of_materials(assembly):
            if line.kind not in ("part", "equipment") and line.quantity:
                pieces = found[line.item, line.kind]
                name = assembly.design.frame.name
                pieces[name] = pieces.get(name, 0) + line.quantity + line.spares
    rows = sorted(found.items(), key=lambda row: (-len(row[1]), row[0]))
    return [LineHardware(item, kind, dict(pieces)) for (item, kind), pieces in rows]


def _how(motion: Isometry) -> str:
    angle = math.degrees(math.atan2(motion.sin, motion.cos))
    said = ["turned over"] if motion.flip else []
    said += [f"turned {angle:.1f} deg"] if abs(motion.sin) > _TURNED or motion.cos < 0 else []
    return ", ".join(said)


def _name(use: PartUse) -> str:
    return f"{use.frame} {use.part}"
