"""Pieces that lie in openings of others move with them: host and guests as one part for the solver, and back."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import shapely

from platewright.fabrication.nest import NestPart, Piece
from platewright.geometry.loops import Outline

__all__ = ["Group", "grouped", "ungrouped"]

_SAME_TURN = 1e-6  # [rad]


@dataclass(frozen=True)
class Group:
    """A host and what lies in its openings, in the host's own axes; the part has no openings."""

    part: NestPart
    members: tuple[Piece, ...]


def grouped(pieces: Sequence[Piece], parts: Mapping[str, NestPart]) -> tuple[tuple[Piece, ...], dict[str, Group]]:
    """Put pieces that lie within the outer edge of others together with them.

    Parameters
    ----------
    pieces : sequence of Piece
        Pieces of one sheet.
    parts : mapping
        Their parts by name.

    Returns
    -------
    tuple of Piece, dict of Group
        Pieces of which some are groups, and the groups by name.
    """
    polygons = [p.polygon(parts[p.part]) for p in pieces]
    filled = [shapely.Polygon(polygon.exterior) for polygon in polygons]
    guests: dict[int, list[int]] = {}
    tree = shapely.STRtree(filled)
    within = tree.query(filled, predicate="within").T.tolist()
    hosts = dict(sorted((p for p in within if p[0] != p[1]), key=lambda pair: filled[pair[1]].area))
    # the largest piece that holds another is its host
    for guest, host in within:
        if guest != host and hosts.get(guest) == host:
            guests.setdefault(host, []).append(guest)
    inside = {g for found in guests.values() for g in found}
    groups: dict[str, Group] = {}
    made = []
    for n, piece in enumerate(pieces):
        if n in inside:
            continue
        if n not in guests:
            made.append(piece)
            continue
        group = _group(parts, piece, [pieces[g] for g in guests[n]])
        groups[group.part.key] = group
        made.append(Piece(group.part.key, piece.x, piece.y, piece.turn))
    return tuple(made), groups


def ungrouped(pieces: Sequence[Piece], groups: Mapping[str, Group]) -> tuple[Piece, ...]:
    """Return all pieces, those of groups one by one."""
    made = []
    for piece in pieces:
        members = groups[piece.part].members if piece.part in groups else (Piece(piece.part, 0.0, 0.0, 0.0),)
        turn = cmath.exp(1j * piece.turn)
        for member in members:
            shift = turn * complex(member.x, member.y) + complex(piece.x, piece.y)
            made.append(Piece(member.part, shift.real, shift.imag, piece.turn + member.turn))
    return tuple(made)


def _group(parts: Mapping[str, NestPart], host: Piece, guests: Sequence[Piece]) -> Group:
    back = cmath.exp(-1j * host.turn)
    members = [Piece(host.part, 0.0, 0.0, 0.0)]
    for guest in guests:
        shift = back * complex(guest.x - host.x, guest.y - host.y)
        members.append(Piece(guest.part, shift.real, shift.imag, guest.turn - host.turn))
    name = " + ".join(f"{m.part}@{m.x:.3f},{m.y:.3f},{m.turn:.6f}" for m in members)
    whole = parts[host.part]
    part = NestPart(name, Outline(whole.outline.outer), 1, _turns(parts, host, members))
    return Group(part, tuple(members))


def _turns(parts: Mapping[str, NestPart], host: Piece, members: Sequence[Piece]) -> tuple[float, ...] | None:
    """Return turns at which the host and every guest may lie; the present one is among them."""
    limits = [(parts[m.part].turns, m.turn) for m in members]
    known = [(turns, turn) for turns, turn in limits if turns is not None]
    if not known:
        return None
    first, offset = known[0]
    candidates = [t - offset for t in first]
    return tuple(c for c in candidates if all(any(_same(c + turn, t) for t in turns) for turns, turn in known)) or (
        host.turn,
    )


def _same(one: float, other: float) -> bool:
    return abs(math.remainder(one - other, math.tau)) < _SAME_TURN
